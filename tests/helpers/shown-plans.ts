import { vi } from "vitest";
import type { KioskAction } from "#kiosk-ui/components/kiosk-action";
import { initialKioskState, nextKioskState } from "#kiosk-ui/kiosk-state";
import { KioskPlans } from "#kiosk-ui/screens/plans/kiosk-plans";
import type { PlanDesk } from "#kiosk-ui/screens/plans/plan-desk";
import { snapshot } from "#tests/helpers/kiosk-messages";
import { madeUpCards, madeUpMaterials } from "#tests/helpers/made-up-jobs";

/** What a daemon answers, by the end of the path; a missing answer is refused. */
export type Answers = Readonly<Record<string, (body: unknown) => unknown>>;

/** The place Plans in a document, over the demonstration's cards and a daemon that answers from a table. */
export async function shownPlans(answers: Answers = {}, changes: Partial<ReturnType<typeof snapshot>> = {}) {
  const element = new KioskPlans();
  const everything = { ...snapshot(), plans: madeUpCards(), materials: madeUpMaterials(), ...changes };
  element.state = nextKioskState(initialKioskState, { kind: "snapshot", snapshot: everything, atSeconds: 1 });
  const asked: { path: string; body: unknown }[] = [];
  const desk: PlanDesk = {
    ask: async (path, schema, body) => {
      asked.push({ path, body });
      const answer = Object.entries(answers).find(([end]) => path.endsWith(end))?.[1];
      if (!answer) throw new Error(`No answer to ${path}.`);
      return schema.parse(answer(body));
    },
  };
  element.client = desk;
  const actions: KioskAction[] = [];
  element.addEventListener("kiosk-action", (event) => actions.push(event.detail));
  document.body.append(element);
  await settled();
  const buttons = () => deep(element, "button, a.button").filter((one) => !isInClosedDialog(one));
  const button = (name: string | RegExp) => buttons().find((one) => fits(nameOf(one), name));
  return {
    element,
    asked,
    actions,
    button,
    /** Presses buttons by their names, one after the other. */
    press: async (...names: (string | RegExp)[]) => {
      for (const name of names) {
        const found = button(name);
        if (!found) throw new Error(`No button ${name} among ${buttons().map(nameOf).join(" | ")}`);
        found.click();
        await settled();
      }
    },
    text: () => plain(deepText(element)),
    find: (selector: string) => deep(element, selector),
  };
}

/** Until pages that come late have come, and every element is drawn. */
export async function settled(): Promise<void> {
  for (let turn = 0; turn < 5; turn++) {
    await vi.dynamicImportSettled();
    await new Promise((resolve) => setTimeout(resolve, 0));
  }
}

function fits(text: string, name: string | RegExp): boolean {
  return typeof name === "string" ? text === name : name.test(text);
}

function nameOf(element: HTMLElement): string {
  return plain(element.getAttribute("aria-label") ?? element.textContent ?? "");
}

function plain(text: string): string {
  return text
    .replace(/[\s\u00a0]+/g, " ")
    .replace(/ ([,.;:])/g, "$1")
    .trim();
}

function isInClosedDialog(element: Element): boolean {
  const dialog = element.closest("dialog");
  return dialog !== null && !dialog.open;
}

/** Everything that a selector finds, through every shadow root. */
function deep(root: Element, selector: string): HTMLElement[] {
  const inside = root.shadowRoot;
  if (!inside) return [];
  const here = [...inside.querySelectorAll<HTMLElement>(selector)];
  return [...here, ...[...inside.querySelectorAll("*")].flatMap((child) => deep(child, selector))];
}

function deepText(node: Node): string {
  if (!(node instanceof Element)) return node.nodeType === Node.TEXT_NODE ? (node.textContent ?? "") : "";
  if (node.tagName === "STYLE" || (node.tagName === "DIALOG" && !node.hasAttribute("open"))) return "";
  return [...(node.shadowRoot?.childNodes ?? []), ...node.childNodes].map(deepText).join(" ");
}
