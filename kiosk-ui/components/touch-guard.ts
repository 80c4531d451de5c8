/** A second touch sooner than this after one that was taken is a bounce, ms: wet screens invent them. */
export const BOUNCE_MILLISECONDS = 300;

/** The same within a keypad, where a number may well have two equal digits in a row, ms. */
export const KEYPAD_BOUNCE_MILLISECONDS = 150;

/**
 * Leaves out touches that follow another within 300 ms, wherever they land: the same finger, or one that falls
 * through onto what the first one brought up. Keys are never left out. Inside `[data-quick]` (a keypad)
 * only a second touch of the very same key is, and only within 150 ms.
 * @returns takes the guard away again
 */
export function guardTouches(root: HTMLElement): () => void {
  let lastAt = Number.NEGATIVE_INFINITY;
  let lastTarget: EventTarget | undefined;
  const guard = (event: MouseEvent) => {
    const isByKey = event.detail === 0;
    const path = event.composedPath();
    const isQuick = path.some(
      (target) => target instanceof HTMLElement && target.dataset["quick"] !== undefined,
    );
    const limit = isQuick ? KEYPAD_BOUNCE_MILLISECONDS : BOUNCE_MILLISECONDS;
    const isBounce = event.timeStamp - lastAt < limit && !(isQuick && path[0] !== lastTarget);
    if (!isByKey && isBounce) {
      event.stopImmediatePropagation();
      event.preventDefault();
      return;
    }
    lastAt = event.timeStamp;
    lastTarget = path[0];
  };
  root.addEventListener("click", guard, { capture: true });
  return () => root.removeEventListener("click", guard, { capture: true });
}
