import { css, html, LitElement, nothing, render, type TemplateResult } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import { type ProbeBudget, probeBudget } from "#core/thermocouple/uncertainty";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-scroll";
import { differenceWithUnit, numberText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import "#kiosk-ui/screens/upkeep/kiosk-number-field";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { printSheet, printStyles } from "#kiosk-ui/screens/upkeep/print-sheet";
import { probeBasisText, probeKindText } from "#kiosk-ui/screens/upkeep/probe-text";
import { basisText, missingText, uncertaintyRows } from "#kiosk-ui/screens/upkeep/uncertainty-rows";
import { upkeepStyles } from "#kiosk-ui/screens/upkeep/upkeep-styles";
import { upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import type { Check } from "#shared/check";
import type { Furnace } from "#shared/furnace";

const words = checkWords.table;

/**
 * How sure a furnace's reading is at a temperature, line by line, and the same on a sheet to be printed.
 * @slot - the ways back to what runs
 * @fires closed {CustomEvent} back to the furnace's page
 * @fires temperature-chosen {CustomEvent<number>} another temperature, °C; the owner decides
 */
@customElement("kiosk-uncertainty-table")
export class KioskUncertaintyTable extends LitElement {
  /** The furnace whose probe it is. */
  @property({ attribute: false }) furnace: Furnace | null = null;
  /** Its checks, to say what the budget rests on. */
  @property({ attribute: false }) checks: readonly Check[] = [];
  /** The reading, °C. */
  @property({ type: Number }) celsius = 800;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** The wall clock, ms. */
  @property({ type: Number }) nowEpochMilliseconds = Date.now();

  @state() private _sheet: HTMLElement | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    upkeepStyles,
    css`
      .top {
        display: grid;
        grid-template-columns: minmax(260px, 330px) minmax(0, 1fr);
        gap: var(--space-4) var(--space-5);
        align-items: end;
        margin-bottom: var(--space-3);
      }
      .notes {
        display: grid;
        gap: var(--space-1);
        margin-top: var(--space-3);
        font-size: var(--text-label);
      }
      @media (max-width: 700px) {
        .top {
          grid-template-columns: minmax(0, 1fr);
        }
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    const sheet = printStyles.styleSheet;
    if (sheet && !document.adoptedStyleSheets.includes(sheet))
      document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
    this._sheet = document.createElement("div");
    this._sheet.id = "print-sheet";
    document.body.append(this._sheet);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this._sheet?.remove();
    this._sheet = null;
  }

  protected override render() {
    const { furnace } = this;
    if (!furnace) return nothing;
    const budget = probeBudget(furnace.probe, this.celsius);
    return html`
      <div class="head">
        <h1>${words.title}</h1>
        <p class="soft">${furnace.name}, ${probeKindText(furnace.probe)}</p>
      </div>
      <kiosk-scroll label=${words.title}>
        <div class="sheet">
          <div class="top">
            <kiosk-number-field
              .label=${words.at}
              kind="temperature"
              .unit=${this.unit}
              .value=${this.celsius}
              .step=${10}
              .from=${0}
              .to=${1800}
              .decimals=${0}
              @number-changed=${this.#choose}
            ></kiosk-number-field>
            ${this.#renderFigure(budget)}
          </div>
          ${budget.lines.length === 0 ? nothing : html`<div class="wide">${this.#tableOf(budget)}</div>`}
          <div class="notes">
            ${this.#notes(budget).map(
              ({ text, isWarning }) => html`<p class=${isWarning ? "needs" : "soft"}>${text}</p>`,
            )}
          </div>
        </div>
      </kiosk-scroll>
      <kiosk-foot>
        <slot></slot>
        <button slot="actions" ?disabled=${budget.lines.length === 0} @click=${this.#print}>${words.print}</button>
        <button slot="actions" @click=${() => this.dispatchEvent(new CustomEvent("closed"))}>
          ${upkeepWords.back}
        </button>
      </kiosk-foot>
    `;
  }

  protected override updated() {
    if (this._sheet && this.furnace) render(this.#sheetOf(this.furnace), this._sheet);
  }

  #renderFigure(budget: ProbeBudget) {
    if (budget.lines.length === 0) return html`<p class="sentence">${words.empty}</p>`;
    return html`<p>
      <span class="figure">± ${differenceWithUnit(budget.expanded, this.unit, 1)}</span>
      <span class="soft">
        ${upkeepWords.probe.at(temperatureWithUnit(this.celsius, this.unit), numberText(budget.coverageFactor))},
        ${words.coverage}
      </span>
    </p>`;
  }

  /** The table, for the screen and for paper alike. */
  #tableOf(budget: ProbeBudget): TemplateResult {
    const { unit } = this;
    return html`<table>
      <thead>
        <tr>
          <th scope="col">${words.quantity}</th>
          <th scope="col" class="number">${words.given}</th>
          <th scope="col">${words.distribution}</th>
          <th scope="col" class="number">${words.divisor}</th>
          <th scope="col" class="number">${words.standard}</th>
          <th scope="col" class="number">${words.sensitivity}</th>
          <th scope="col" class="number">${words.contribution}</th>
        </tr>
      </thead>
      <tbody>
        ${uncertaintyRows(budget, unit).map(
          (row) => html`<tr>
            <th scope="row">${row.quantity}</th>
            <td class="number">${row.given}</td>
            <td>${row.distribution}</td>
            <td class="number">${row.divisor}</td>
            <td class="number">${row.standard}</td>
            <td class="number">${row.sensitivity}</td>
            <td class="number">${row.contribution}</td>
          </tr>`,
        )}
        <tr>
          <th scope="row" colspan="6">${words.combined}</th>
          <td class="number">${differenceWithUnit(budget.combined, unit, 2)}</td>
        </tr>
        <tr>
          <th scope="row" colspan="6">${words.factor}, ${words.coverage}</th>
          <td class="number">k = ${numberText(budget.coverageFactor)}</td>
        </tr>
        <tr class="total">
          <th scope="row" colspan="6">${words.expanded}</th>
          <td class="number">± ${differenceWithUnit(budget.expanded, unit, 2)}</td>
        </tr>
      </tbody>
    </table>`;
  }

  #notes(budget: ProbeBudget): { readonly text: string; readonly isWarning: boolean }[] {
    const { furnace, unit } = this;
    if (!furnace || budget.lines.length === 0) return [];
    const missing = missingText(budget, furnace.probe, unit);
    return [
      ...(missing ? [{ text: missing, isWarning: true }] : []),
      { text: basisText(budget, furnace.probe, this.checks, this.nowEpochMilliseconds), isWarning: false },
      { text: words.method, isWarning: false },
    ];
  }

  #sheetOf(furnace: Furnace): TemplateResult {
    const { probe } = furnace;
    const { sheet } = words;
    const budget = probeBudget(probe, this.celsius);
    const correction = probe.correction
      ? probeBasisText(probe, this.checks, this.nowEpochMilliseconds, this.unit)
      : sheet.noCorrection;
    return printSheet({
      title: sheet.title,
      facts: [
        [sheet.furnace, furnace.name],
        [sheet.probe, probeKindText(probe)],
        [sheet.correction, correction],
        [sheet.reading, temperatureWithUnit(this.celsius, this.unit)],
        [sheet.date, longDateText(this.nowEpochMilliseconds)],
      ],
      table: this.#tableOf(budget),
      notes: [
        ...this.#notes(budget).map(({ text }) => text),
        sheet.made,
        ...(furnace.isDemonstration ? [sheet.demonstration] : []),
      ],
      signature: sheet.signature,
    });
  }

  readonly #choose = (event: CustomEvent<number | null>) => {
    if (event.detail !== null)
      this.dispatchEvent(new CustomEvent("temperature-chosen", { detail: event.detail }));
  };

  readonly #print = () => {
    window.print();
  };
}

function longDateText(epochMilliseconds: number): string {
  const format: Intl.DateTimeFormatOptions = { day: "numeric", month: "long", year: "numeric" };
  return new Date(epochMilliseconds).toLocaleDateString("en-GB", format);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-uncertainty-table": KioskUncertaintyTable;
  }
  interface HTMLElementEventMap {
    closed: CustomEvent;
    "temperature-chosen": CustomEvent<number>;
  }
}
