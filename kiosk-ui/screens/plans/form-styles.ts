import { css } from "lit";

/** Groups of steppers: a heading, and as many side by side as there is room for. */
export const formStyles = css`
  :host {
    display: grid;
    gap: var(--space-3);
  }
  .group {
    display: grid;
    gap: var(--space-2);
  }
  .group + .group {
    padding-top: var(--space-3);
    border-top: 1px solid var(--color-line);
  }
  .fields {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(calc(2 * var(--touch-target) + 96px), 1fr));
    gap: var(--space-2) var(--touch-gap);
    align-items: end;
  }
  .line {
    display: flex;
    flex-wrap: wrap;
    gap: var(--space-2) var(--space-3);
    align-items: end;
  }
  .line > kiosk-stepper,
  .line > kiosk-choices {
    flex: 1 1 calc(2 * var(--touch-target) + 92px);
  }
  .line > kiosk-stepper {
    max-width: calc(2 * var(--touch-target) + 150px);
  }
  .line > button {
    flex: none;
    padding: 0 var(--space-2);
    font-size: var(--text-label);
  }
  .line > .end {
    margin-left: auto;
  }
  .buttons {
    display: flex;
    flex-wrap: wrap;
    gap: var(--touch-gap);
  }
  h3 {
    font-size: var(--text-label);
    font-weight: var(--weight-strong);
  }
  .help {
    font-size: var(--text-label);
    color: var(--color-ink-soft);
  }
  @media (max-width: 1100px), (max-height: 700px) {
    :host {
      --stepper-value-size: 18px;
    }
    .fields,
    .line > kiosk-stepper {
      column-gap: var(--space-2);
    }
    .fields {
      grid-template-columns: repeat(auto-fill, minmax(calc(3 * var(--touch-target) + 2 * var(--space-1)), 1fr));
    }
    .line {
      gap: var(--space-2);
    }
    .line > kiosk-stepper,
    .line > kiosk-choices {
      flex-basis: calc(3 * var(--touch-target) + 2 * var(--space-1));
    }
  }
`;
