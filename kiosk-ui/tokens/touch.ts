import { css } from "lit";

/**
 * Tells the style sheet how large a millimetre is on this panel: sets `--mm`.
 * @param root                 the document's element
 * @param millimetresPerPixel  width of one CSS pixel, mm
 */
export function applyPixelPitch(root: HTMLElement, millimetresPerPixel: number): void {
  root.style.setProperty("--mm", `${(1 / millimetresPerPixel).toFixed(3)}px`);
}

/**
 * What can be pressed. `button` is 15 mm at least; `.act` is 20 mm with 3 mm around it, for what starts,
 * stops or confirms; `.main` is the one to press next; `.plain` has no edge of its own.
 */
export const touchStyles = css`
  button,
  select,
  input,
  textarea {
    font: inherit;
    font-variant-numeric: tabular-nums;
    color: inherit;
    box-sizing: border-box;
    min-height: var(--touch-target);
    border-radius: var(--radius-button);
  }
  button {
    min-width: var(--touch-target);
    padding: 0 var(--space-4);
    border: 2px solid var(--color-press);
    background: var(--color-sheet);
    color: var(--color-press);
    font-weight: var(--weight-strong);
    line-height: 1.2;
    cursor: pointer;
    touch-action: manipulation;
    transition: background var(--motion-quick);
  }
  button:active {
    background: var(--color-band);
  }
  button.act {
    min-height: var(--touch-target-act);
    min-width: var(--touch-target-act);
  }
  button.main,
  button[aria-pressed="true"],
  button[aria-checked="true"] {
    background: var(--color-press);
    color: var(--color-on-press);
  }
  button.main:active {
    opacity: 0.85;
  }
  button.plain {
    border-color: transparent;
    background: transparent;
  }
  button:disabled {
    border-color: var(--color-line-firm);
    background: transparent;
    color: var(--color-ink-soft);
    cursor: default;
  }
  select,
  input,
  textarea {
    width: 100%;
    padding: 0 var(--space-3);
    border: 2px solid var(--color-line-firm);
    background: var(--color-sheet);
    user-select: text;
  }
  :focus-visible {
    outline: var(--focus-ring);
    outline-offset: 3px;
  }
  @media (forced-colors: active) {
    button.main,
    button[aria-pressed="true"],
    button[aria-checked="true"] {
      forced-color-adjust: none;
      border-color: Highlight;
      background: Highlight;
      color: HighlightText;
    }
  }
`;

/** What every element's shadow root starts with: boxes, hidden things, and text for readers alone. */
export const baseStyles = css`
  :host {
    box-sizing: border-box;
  }
  :host([hidden]),
  [hidden] {
    display: none !important;
  }
  *,
  *::before,
  *::after {
    box-sizing: border-box;
  }
  h1,
  h2,
  h3,
  p,
  ul,
  ol,
  dl,
  dd {
    margin: 0;
    padding: 0;
  }
  ul,
  ol {
    list-style: none;
  }
  h1 {
    font-size: var(--text-title);
    font-weight: var(--weight-heavy);
    line-height: 1.15;
  }
  h2 {
    font-size: var(--text-lead);
    font-weight: var(--weight-strong);
    line-height: 1.25;
  }
  .soft {
    color: var(--color-ink-soft);
  }
  .caption {
    font-size: var(--text-caption);
  }
  .label {
    font-size: var(--text-label);
  }
  .sheet {
    border-radius: var(--radius-sheet);
    background: var(--color-sheet);
  }
  @media (forced-colors: active) {
    .sheet {
      border: 1px solid CanvasText;
    }
  }
  .reader-only {
    position: absolute;
    width: 1px;
    height: 1px;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
`;
