import { css, html, type TemplateResult } from "lit";

/**
 * The paper: black on white, A4 or Letter, and nothing of the page but the sheet. On a screen the sheet is not
 * there. It stands in the document itself, because a style sheet for paper cannot hide from inside a shadow root.
 */
export const printStyles = css`
  #print-sheet {
    display: none;
  }
  @media print {
    @page {
      margin: 16mm 18mm;
    }
    html,
    body {
      height: auto;
      background: #fff;
    }
    body > :not(#print-sheet) {
      display: none !important;
    }
    #print-sheet {
      display: block;
      color: #000;
      background: #fff;
      font: 400 10.5pt/1.35 var(--font-text);
      font-variant-numeric: tabular-nums;
    }
    #print-sheet h1 {
      margin: 0 0 5mm;
      font-size: 17pt;
      line-height: 1.15;
    }
    #print-sheet dl {
      display: grid;
      grid-template-columns: max-content 1fr;
      gap: 1mm 6mm;
      margin: 0 0 6mm;
    }
    #print-sheet dt {
      font-weight: 640;
    }
    #print-sheet dd,
    #print-sheet p {
      margin: 0;
    }
    #print-sheet table {
      width: 100%;
      border-collapse: collapse;
      font-size: 9pt;
    }
    #print-sheet th,
    #print-sheet td {
      padding: 1.6mm 2mm 1.6mm 0;
      border-bottom: 0.2mm solid #000;
      font-weight: 400;
      text-align: left;
      vertical-align: bottom;
    }
    #print-sheet thead th {
      border-bottom-width: 0.5mm;
      font-size: 8pt;
    }
    #print-sheet .number {
      text-align: right;
      white-space: nowrap;
    }
    #print-sheet .total > * {
      font-weight: 640;
    }
    #print-sheet .notes {
      display: grid;
      gap: 2mm;
      margin-top: 6mm;
    }
    #print-sheet .signature {
      width: 90mm;
      margin-top: 24mm;
      padding-top: 1.5mm;
      border-top: 0.3mm solid #000;
      font-size: 8.5pt;
    }
  }
`;

/** What stands on a sheet. */
export interface PrintSheet {
  readonly title: string;
  /** Words and values over the table. */
  readonly facts: readonly (readonly [string, string])[];
  readonly table: TemplateResult;
  readonly notes: readonly string[];
  readonly signature: string;
}

/** A sheet for a signature. */
export function printSheet({ title, facts, table, notes, signature }: PrintSheet): TemplateResult {
  return html`
    <h1>${title}</h1>
    <dl>${facts.map(([word, value]) => html`<dt>${word}</dt><dd>${value}</dd>`)}</dl>
    ${table}
    <div class="notes">${notes.map((note) => html`<p>${note}</p>`)}</div>
    <p class="signature">${signature}</p>
  `;
}
