import type { CheckDesk } from "#kiosk-ui/screens/upkeep/kiosk-furnace-page";
import type { Check, CheckRequest } from "#shared/check";
import type { FurnaceStatus } from "#shared/furnace";
import { furnace } from "#tests/helpers/kiosk-messages";
import { madeUpCheck } from "#tests/helpers/made-up-checks";

/** A daemon for a furnace's page alone: keeps what it was asked, answers at once, or refuses everything. */
export interface FakeCheckDesk extends CheckDesk {
  /** Each request by its name, with what came along. */
  readonly asked: (readonly unknown[])[];
  /** The checks that it has, newest first. */
  kept: readonly Check[];
  /** The one line with which it refuses everything; null while it does not. */
  refusal: string | null;
}

/** Opens one over these checks. */
export function fakeCheckDesk(kept: readonly Check[] = []): FakeCheckDesk {
  const desk: FakeCheckDesk = {
    asked: [],
    kept,
    refusal: null,
    checks: () => answer(desk.kept, "checks"),
    addCheck: async (furnaceId, request: CheckRequest) => {
      await answer(null, "addCheck", furnaceId, request);
      const check = madeUpCheck(request, { id: desk.kept.length + 1, furnaceId });
      desk.kept = [check, ...desk.kept];
      return check;
    },
    acceptCheck: (...asked) => answer<FurnaceStatus>(furnace(), "acceptCheck", ...asked),
    withdrawCorrection: (...asked) => answer<FurnaceStatus>(furnace(), "withdrawCorrection", ...asked),
    setCheckDue: (...asked) => answer<FurnaceStatus>(furnace(), "setCheckDue", ...asked),
    changeFurnace: (...asked) => answer<FurnaceStatus>(furnace(), "changeFurnace", ...asked),
  };
  async function answer<Value>(value: Value, ...asked: readonly unknown[]): Promise<Value> {
    desk.asked.push(asked);
    if (desk.refusal !== null) throw new Error(desk.refusal);
    return value;
  }
  return desk;
}

/** All words of an element and of every shadow root in it, spaces as one. */
export function wordsIn(root: ParentNode): string {
  const parts: string[] = [];
  const walk = (node: Node) => {
    if (node instanceof HTMLElement && (node.hidden || node.localName === "style")) return;
    if (node.nodeType === 3) parts.push(node.textContent ?? "");
    if (node instanceof Element && node.shadowRoot)
      for (const child of node.shadowRoot.childNodes) walk(child);
    for (const child of node.childNodes) walk(child);
  };
  for (const child of root.childNodes) walk(child);
  return parts
    .join(" ")
    .replace(/\s+/g, " ")
    .replace(/ (?=[.,;:])/g, "")
    .trim();
}

/** Every element in it, through every shadow root. */
export function elementsIn(root: ParentNode): Element[] {
  return [...root.querySelectorAll("*")].flatMap((element) => [
    element,
    ...(element.shadowRoot ? elementsIn(element.shadowRoot) : []),
  ]);
}

/** The button that says this, or is labelled so. */
export function buttonIn(root: ParentNode, name: string): HTMLButtonElement {
  const button = elementsIn(root)
    .filter((element): element is HTMLButtonElement => element instanceof HTMLButtonElement)
    .find(
      (candidate) =>
        (candidate.getAttribute("aria-label")?.replace(/\s+/g, " ") ?? wordsIn(candidate)) === name,
    );
  if (!button) throw new Error(`No button says “${name}”: ${wordsIn(root)}`);
  return button;
}
