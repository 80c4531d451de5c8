import { css } from "lit";

/** Tables of words and numbers, cool and warm where a side is meant. */
export const tableStyles = css`
  table {
    width: 100%;
    border-collapse: collapse;
    font-size: var(--text-label);
    font-variant-numeric: tabular-nums;
  }
  th,
  td {
    padding: 9px var(--space-3) 9px 0;
    border-top: 1px solid var(--color-line);
    text-align: left;
    vertical-align: baseline;
    font-weight: var(--weight-text);
  }
  thead th,
  thead td {
    border-top: 0;
    padding-top: 0;
    font-size: var(--text-caption);
    color: var(--color-ink-soft);
  }
  tbody th {
    font-weight: var(--weight-strong);
    white-space: nowrap;
  }
  td.soft {
    color: var(--color-ink-soft);
  }
  .wide {
    overflow-x: auto;
  }
  .cold {
    color: var(--color-cool-text);
    font-weight: var(--weight-strong);
  }
  .hot {
    color: var(--color-warm-text);
    font-weight: var(--weight-strong);
  }
`;

/** What the parts of the past bakes share: a head, a body that scrolls, sheets and tables. */
export const pastBakesStyles = css`
  ${tableStyles}
  :host {
    display: flex;
    flex-direction: column;
    min-height: 0;
    min-width: 0;
    height: 100%;
  }
  .head {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    gap: var(--space-2) var(--space-4);
    margin-bottom: var(--space-3);
  }
  .head .about {
    flex: 1 1 260px;
    min-width: 0;
  }
  .body {
    flex: 1 1 auto;
    min-height: 0;
  }
  .sheet {
    padding: var(--space-4);
  }
  .sheet h2 {
    margin-bottom: var(--space-2);
  }
  .state {
    display: grid;
    gap: var(--space-3);
    justify-items: start;
    align-content: center;
    min-height: 60%;
    padding: var(--space-5);
  }
  .state h2 {
    font-size: var(--text-sentence);
  }
`;

/** A button that says a name over what is chosen, and opens a dialog. */
export const openerStyles = css`
  :host {
    display: block;
    min-width: 0;
  }
  .opener {
    display: grid;
    align-content: center;
    width: 100%;
    height: 100%;
    text-align: left;
  }
  .opener small {
    font-size: var(--text-caption);
    font-weight: var(--weight-text);
  }
  .opener span {
    overflow: hidden;
    text-overflow: ellipsis;
    white-space: nowrap;
  }
  .opener.set {
    background: var(--color-press);
    color: var(--color-on-press);
  }
`;
