import { css } from "lit";

/** What the four steps share: a wide part and one aside, and answers as rows of paper that can be pressed. */
export const connectStyles = css`
  :host {
    display: grid;
    grid-template-columns: minmax(0, 1fr) minmax(260px, 30%);
    gap: var(--space-5);
    min-height: 0;
  }
  kiosk-scroll {
    height: 100%;
  }
  .rows {
    display: grid;
    gap: var(--space-2);
    align-content: start;
  }
  .rows button {
    display: flex;
    align-items: center;
    justify-content: space-between;
    gap: var(--space-4);
    width: 100%;
    padding: var(--space-2) var(--space-4);
    border-color: transparent;
    color: var(--color-ink);
    text-align: left;
  }
  .rows button[aria-pressed="true"] {
    color: var(--color-on-press);
  }
  .rows button[aria-pressed="true"] * {
    color: inherit;
  }
  .big {
    display: block;
    font-size: var(--text-lead);
  }
  small {
    display: block;
    margin-top: 3px;
    color: var(--color-ink-soft);
    font-size: var(--text-caption);
    font-weight: var(--weight-text);
    overflow-wrap: anywhere;
  }
  .note {
    flex: none;
    max-width: 40%;
    color: var(--color-ink-soft);
    font-size: var(--text-label);
    font-weight: var(--weight-text);
    text-align: right;
  }
  .main small {
    color: inherit;
  }
  .ways {
    display: grid;
    gap: var(--space-2);
    align-content: start;
  }
  .ways button {
    width: 100%;
    padding: var(--space-2) var(--space-4);
  }
  .ways button:has(small) {
    text-align: left;
  }
  aside {
    display: flex;
    flex-direction: column;
    gap: var(--space-3);
    min-width: 0;
    min-height: 0;
  }
  label,
  .over {
    display: block;
    margin-bottom: var(--space-1);
    color: var(--color-ink-soft);
    font-size: var(--text-label);
  }
  .refusal {
    color: var(--color-fault);
    font-weight: var(--weight-strong);
  }
  .said {
    padding: var(--space-4);
    border-left: 12px solid var(--color-person);
  }
  @media (max-width: 700px) {
    :host {
      grid-template-columns: minmax(0, 1fr);
    }
    kiosk-scroll {
      height: auto;
    }
  }
`;
