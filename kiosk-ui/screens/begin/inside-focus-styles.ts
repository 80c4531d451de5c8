import { css } from "lit";

/** The focus ring within what it is around: where a list scrolls, its edge would cut off a ring outside. */
export const insideFocusStyles = css`
  :focus-visible {
    outline-offset: -8px;
  }
  button[aria-pressed="true"]:focus-visible {
    outline-color: var(--color-on-press);
  }
`;
