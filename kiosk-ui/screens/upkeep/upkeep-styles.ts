import { css } from "lit";

/** What the pages of a furnace share: the head, sheets in columns, statements and tables. */
export const upkeepStyles = css`
  .head {
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    gap: 2px var(--space-4);
  }
  .sheet {
    padding: var(--space-3) var(--space-4);
  }
  .stack {
    display: grid;
    gap: var(--space-3);
    align-content: start;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: var(--touch-gap);
  }
  .row > button {
    flex: 1 1 auto;
  }
  .fields {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 278px), 1fr));
    gap: var(--space-3) var(--space-4);
    align-items: end;
  }
  .figure {
    font-size: var(--text-figure);
    font-weight: var(--weight-heavy);
    line-height: 1.1;
  }
  .sentence {
    font-size: var(--text-sentence);
    font-weight: var(--weight-strong);
    line-height: 1.2;
  }
  .needs {
    padding-left: var(--space-3);
    border-left: 8px solid var(--color-person);
  }
  .refusal,
  .fault {
    color: var(--color-fault);
    font-weight: var(--weight-strong);
  }
  .state {
    display: grid;
    gap: var(--space-3);
    align-content: center;
    justify-items: start;
    min-height: 220px;
  }
  .choice p {
    margin-bottom: var(--space-1);
    color: var(--color-ink-soft);
    font-size: var(--text-label);
  }
  .choice small {
    display: block;
    font-size: var(--text-caption);
    font-weight: var(--weight-text);
  }
  table {
    width: 100%;
    border-collapse: collapse;
    font-size: var(--text-label);
  }
  th,
  td {
    padding: 8px var(--space-3) 8px 0;
    border-top: 1px solid var(--color-line);
    text-align: left;
    vertical-align: baseline;
    font-weight: var(--weight-text);
  }
  thead th,
  thead td {
    padding-top: 0;
    border-top: 0;
    color: var(--color-ink-soft);
    font-size: var(--text-caption);
  }
  .number {
    text-align: right;
    white-space: nowrap;
  }
  .total th,
  .total td {
    font-weight: var(--weight-strong);
  }
  .wide {
    overflow-x: auto;
  }
  kiosk-foot button {
    min-height: var(--touch-target-act);
  }
  .said {
    align-self: center;
    color: var(--color-ink-soft);
    font-size: var(--text-label);
  }
`;
