import type { ReactiveController, ReactiveControllerHost } from "lit";

/** A wedge scanner types faster than a person: gaps under this, ms (people need more; from memory). */
const SCAN_GAP_MILLISECONDS = 30;
const SHORTEST_SCAN = 10;

/** What has been typed fast so far. */
export interface ScanState {
  readonly text: string;
  readonly atMilliseconds: number;
}

/** Nothing typed yet. */
export const noScan: ScanState = { text: "", atMilliseconds: Number.NEGATIVE_INFINITY };

/**
 * The state after a key, and the whole scan when that key ended one:
 * ten or more characters, each within 30 ms of the last, then Enter.
 */
export function nextScan(
  state: ScanState,
  key: string,
  atMilliseconds: number,
): { readonly state: ScanState; readonly scanned: string | null } {
  const isFast = atMilliseconds - state.atMilliseconds < SCAN_GAP_MILLISECONDS;
  if (key === "Enter") {
    const isScan = isFast && state.text.length >= SHORTEST_SCAN;
    return { state: noScan, scanned: isScan ? state.text : null };
  }
  if (key.length !== 1) return { state: key === "Shift" ? state : noScan, scanned: null };
  return { state: { text: isFast ? state.text + key : key, atMilliseconds }, scanned: null };
}

/** Listens for a wedge scanner while its element is on the page; silent while a text field has the focus. */
export class Scanner implements ReactiveController {
  readonly #take: (scanned: string) => void;
  #state = noScan;

  constructor(host: ReactiveControllerHost, take: (scanned: string) => void) {
    this.#take = take;
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener("keydown", this.#onKey, { capture: true });
  }

  hostDisconnected(): void {
    window.removeEventListener("keydown", this.#onKey, { capture: true });
  }

  readonly #onKey = (event: KeyboardEvent) => {
    if (isTextField(event.composedPath()[0])) return;
    const { state, scanned } = nextScan(this.#state, event.key, event.timeStamp);
    this.#state = state;
    if (scanned === null) return;
    event.preventDefault();
    event.stopPropagation();
    this.#take(scanned);
  };
}

function isTextField(target: EventTarget | undefined): boolean {
  return target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement;
}
