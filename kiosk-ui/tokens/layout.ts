import { css } from "lit";

/** A screen: its head, a body that takes the room, and the foot; on a telephone one under the other. */
export const screenStyles = css`
  :host {
    display: grid;
    grid-template-rows: auto minmax(0, 1fr) auto;
    gap: var(--space-3);
    height: 100%;
    min-height: 0;
  }
  @media (max-width: 700px) {
    :host {
      display: flex;
      flex-direction: column;
      height: auto;
    }
  }
`;

/** A dialog on the ground colour, as wide as its content asks for by --dialog-width. */
export const dialogStyles = css`
  dialog {
    width: min(var(--dialog-width, 760px), calc(100vw - 2 * var(--space-3)));
    max-height: calc(100vh - 2 * var(--space-3));
    padding: var(--space-4);
    overflow: auto;
    border: 2px solid var(--color-ink-soft);
    border-radius: var(--radius-sheet);
    background: var(--color-ground);
    color: var(--color-ink);
  }
  dialog::backdrop {
    background: rgb(0 0 0 / 45%);
  }
  dialog header {
    display: flex;
    align-items: center;
    justify-content: space-between;
    gap: var(--space-3);
    margin-bottom: var(--space-3);
  }
`;
