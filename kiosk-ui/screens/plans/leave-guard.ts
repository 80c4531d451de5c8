import type { ReactiveController, ReactiveControllerHost } from "lit";
import { act, type KioskAction } from "#kiosk-ui/components/kiosk-action";

/**
 * Asks once before unsaved changes are left: by the way to the other places, or by a way back to a running bake
 * that stands in the element's `.ways`. What was tapped is done after a yes.
 */
export class LeaveGuard implements ReactiveController {
  readonly #host: ReactiveControllerHost & HTMLElement;
  readonly #hasChanges: () => boolean;
  readonly #ask: () => Promise<boolean>;
  #isLeaving = false;

  /** @param ask resolves with true for leaving */
  constructor(
    host: ReactiveControllerHost & HTMLElement,
    hasChanges: () => boolean,
    ask: () => Promise<boolean>,
  ) {
    this.#host = host;
    this.#hasChanges = hasChanges;
    this.#ask = ask;
    host.addController(this);
  }

  hostConnected(): void {
    this.#host.addEventListener("click", this.#onClick, { capture: true });
    this.#host.addEventListener("kiosk-action", this.#onAction, { capture: true });
  }

  hostDisconnected(): void {
    this.#host.removeEventListener("click", this.#onClick, { capture: true });
    this.#host.removeEventListener("kiosk-action", this.#onAction, { capture: true });
  }

  /** Does something that leaves, after a yes where there are changes. */
  async leave(then: () => void): Promise<void> {
    if (this.#hasChanges() && !(await this.#ask())) return;
    this.#isLeaving = true;
    then();
    this.#isLeaving = false;
  }

  readonly #onClick = (event: Event) => {
    const path = event.composedPath();
    const isWayBack = path.some((part) => part instanceof HTMLElement && part.classList.contains("ways"));
    const target = path[0];
    if (!isWayBack || this.#isLeaving || !this.#hasChanges() || !(target instanceof HTMLElement)) return;
    event.stopImmediatePropagation();
    event.preventDefault();
    void this.leave(() => target.click());
  };

  readonly #onAction = (event: CustomEvent<KioskAction>) => {
    if (this.#isLeaving || !this.#hasChanges() || event.detail.kind !== "open-places") return;
    event.stopImmediatePropagation();
    const action = event.detail;
    void this.leave(() => act(this.#host, action));
  };
}
