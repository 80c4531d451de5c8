import { css } from "lit";

/** What the pages of Plans share: the head, two columns, sections, tables and the line of what was done. */
export const plansStyles = css`
  .head {
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    gap: 2px var(--space-4);
    min-width: 0;
  }
  .columns {
    display: grid;
    grid-template-columns: minmax(0, 1.3fr) minmax(380px, 1fr);
    gap: var(--space-3);
    min-height: 0;
  }
  .pane {
    display: flex;
    flex-direction: column;
    gap: var(--space-3);
    min-width: 0;
    min-height: 0;
    padding: var(--space-3) var(--space-4);
  }
  .pane > .curve {
    flex: 1 1 auto;
    min-height: 170px;
  }
  .sections {
    display: grid;
    gap: var(--space-4);
    padding: var(--space-3) var(--space-4) var(--space-4);
  }
  .sections section + section {
    padding-top: var(--space-3);
    border-top: 1px solid var(--color-line);
  }
  section > h2 {
    margin-bottom: var(--space-1);
  }
  h3 {
    font-size: var(--text-label);
    font-weight: var(--weight-text);
    color: var(--color-ink-soft);
  }
  .needs {
    padding-left: var(--space-3);
    border-left: 8px solid var(--color-person);
  }
  .refusal {
    color: var(--color-fault);
    font-weight: var(--weight-strong);
  }
  .state {
    display: grid;
    gap: var(--space-3);
    align-content: center;
    justify-items: start;
    padding: var(--space-5);
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: var(--touch-gap);
  }
  .row > * {
    flex: 1 1 auto;
  }
  table {
    width: 100%;
    border-collapse: collapse;
    font-size: var(--text-label);
  }
  th,
  td {
    padding: 7px var(--space-3) 7px 0;
    border-top: 1px solid var(--color-line);
    text-align: left;
    vertical-align: baseline;
    font-weight: var(--weight-text);
  }
  thead th {
    padding-top: 0;
    border-top: 0;
    color: var(--color-ink-soft);
    font-size: var(--text-caption);
    line-height: 1.2;
    vertical-align: bottom;
  }
  .number {
    text-align: right;
    white-space: nowrap;
  }
  th.number {
    white-space: normal;
  }
  .number:last-child {
    padding-right: 0;
  }
  .number small {
    display: block;
    color: var(--color-ink-soft);
    font-size: var(--text-caption);
  }
  .total > * {
    font-weight: var(--weight-strong);
  }
  .facts {
    display: grid;
    grid-template-columns: repeat(2, minmax(0, 1fr));
    gap: 3px var(--space-5);
    font-size: var(--text-label);
  }
  .facts > div {
    display: grid;
    grid-template-columns: minmax(92px, auto) minmax(0, 1fr);
    gap: var(--space-3);
    align-items: baseline;
  }
  .facts dt {
    color: var(--color-ink-soft);
  }
  .facts dd {
    font-weight: var(--weight-medium);
    text-align: right;
  }
  .said {
    align-self: center;
    text-wrap: balance;
    font-size: var(--text-label);
    color: var(--color-ink-soft);
  }
  .said.refusal {
    color: var(--color-fault);
  }
  .head .done {
    font-weight: var(--weight-strong);
  }
  .foot-left ::slotted(*) {
    flex: 0 0 auto;
    max-width: 100%;
  }
  .foot-left {
    display: flex;
    gap: var(--touch-gap);
    min-width: 0;
    height: 100%;
    align-items: stretch;
  }
  kiosk-leave-question,
  .behind {
    display: contents;
  }
  .foot-left > kiosk-sentence {
    flex: 1 1 auto;
  }
  @media (max-width: 1100px), (max-height: 700px) {
    .columns {
      grid-template-columns: minmax(0, 1.1fr) minmax(360px, 1fr);
    }
    .facts {
      font-size: var(--text-caption);
      gap: 2px var(--space-4);
    }
    .facts > div {
      gap: var(--space-2);
      grid-template-columns: auto minmax(0, 1fr);
    }
  }
  @media (max-width: 700px) {
    .columns {
      display: flex;
      flex-direction: column;
    }
    .pane > .curve {
      flex: none;
      height: 280px;
    }
    .facts {
      grid-template-columns: minmax(0, 1fr);
    }
    th,
    td {
      padding-right: var(--space-2);
      font-size: var(--text-caption);
    }
    .foot-left {
      flex-direction: column;
      height: auto;
    }
  }
  @media (forced-colors: active) {
    .needs {
      border-left-color: Highlight;
    }
  }
`;
