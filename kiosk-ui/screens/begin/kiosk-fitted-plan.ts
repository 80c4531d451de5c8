import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/chart/kiosk-trace-chart";
import "#kiosk-ui/components/kiosk-scroll";
import "#kiosk-ui/screens/begin/kiosk-layer-list";
import type { AdaptationEffects } from "#core/plan/adaptation-effects";
import { keptTogether, numberText, type TemperatureUnit } from "#kiosk-ui/format";
import { asSentence } from "#kiosk-ui/screens/begin/begin-sentence";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import { effectRows } from "#kiosk-ui/screens/begin/effect-rows";
import type { FittedCard } from "#kiosk-ui/screens/begin/fitted-card";
import { forecastRow } from "#kiosk-ui/screens/begin/layer-rows";
import { planRows } from "#kiosk-ui/screens/begin/plan-rows";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { PlanRevision } from "#shared/plan";

type Fitted = Extract<FittedCard, { ok: true }>;

/**
 * The effective plan of a card: the numbers to set on the furnace and where each came from, its curve, what it
 * makes of the layers, and what the adaptations do; or why the card gives no plan.
 */
@customElement("kiosk-fitted-plan")
export class KioskFittedPlan extends LitElement {
  /** The card. */
  @property({ attribute: false }) card: PlanRevision | null = null;
  /** The same, fitted. */
  @property({ attribute: false }) fitted: FittedCard | null = null;
  /** The name of the card's material; empty for none. */
  @property() materialName = "";
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    css`
      :host {
        display: block;
        min-width: 0;
        min-height: 0;
      }
      article {
        display: grid;
        grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
        gap: var(--space-3) var(--space-5);
        padding: var(--space-3) var(--space-4) var(--space-4);
      }
      header {
        grid-column: 1 / -1;
        display: flex;
        flex-wrap: wrap;
        align-items: baseline;
        gap: 0 var(--space-3);
      }
      .side {
        display: flex;
        flex-direction: column;
        gap: var(--space-4);
        min-width: 0;
      }
      .chart {
        display: flex;
        flex: none;
        height: 270px;
      }
      kiosk-trace-chart {
        flex: 1 1 auto;
        min-width: 0;
      }
      dl div {
        display: grid;
        grid-template-columns: 6em minmax(0, 1fr);
        align-items: baseline;
        gap: 0 var(--space-3);
        padding: 5px 0;
        border-top: 1px solid var(--color-line);
      }
      dl div:first-child {
        border-top: 0;
      }
      dt {
        color: var(--color-ink-soft);
        font-size: var(--text-label);
      }
      .value {
        font-weight: var(--weight-strong);
      }
      .source {
        grid-column: 1 / -1;
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
        line-height: 1.25;
      }
      h3 {
        margin-bottom: var(--space-1);
        font-size: var(--text-label);
        font-weight: var(--weight-strong);
      }
      .sentences {
        display: grid;
        gap: var(--space-1);
        margin-bottom: var(--space-2);
      }
      .remarks li {
        padding-left: var(--space-3);
        border-left: 6px solid var(--color-person);
        font-size: var(--text-label);
      }
      .remarks {
        display: grid;
        gap: var(--space-1);
      }
      table {
        width: 100%;
        border-collapse: collapse;
        font-size: var(--text-label);
      }
      th,
      td {
        padding: 4px 0 4px var(--space-2);
        border-top: 1px solid var(--color-line);
        font-weight: var(--weight-text);
        text-align: right;
        white-space: nowrap;
      }
      th:first-child {
        padding-left: 0;
        text-align: left;
        white-space: normal;
      }
      thead th {
        border-top: 0;
        vertical-align: bottom;
        white-space: normal;
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
      }
      .basis td {
        padding: 0 0 4px;
        border-top: 0;
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
        line-height: 1.1;
        text-align: left;
        white-space: normal;
      }
      .total > * {
        font-weight: var(--weight-strong);
      }
      .refused {
        grid-column: 1 / -1;
        display: grid;
        gap: var(--space-3);
        max-width: 40em;
        padding: var(--space-4) 0;
      }
      .refused li {
        padding-left: var(--space-3);
        border-left: 8px solid var(--color-person);
      }
      @media (max-width: 1100px), (max-height: 700px) {
        article {
          grid-template-columns: minmax(0, 13fr) minmax(0, 11fr);
          gap: var(--space-2) var(--space-4);
        }
        .chart {
          height: 205px;
        }
        dl div {
          padding: 3px 0;
        }
      }
      @media (max-width: 700px) {
        article {
          grid-template-columns: minmax(0, 1fr);
        }
      }
    `,
  ];

  protected override render() {
    const { card, fitted } = this;
    if (!card || !fitted) return nothing;
    return html`<article class="sheet">
      <header>
        <h2>${card.plan.name}</h2>
        <p class="caption soft">${this.#origin(card)}</p>
      </header>
      ${fitted.ok ? this.#renderPlan(fitted) : this.#renderRefusals(fitted.refusals)}
    </article>`;
  }

  #origin({ revision, isDemonstration }: PlanRevision): string {
    return [
      words.plans.revision(revision),
      ...(this.materialName ? [beginWords.materialOf(this.materialName)] : []),
      ...(isDemonstration ? [words.plans.demonstration] : []),
    ].join(", ");
  }

  #renderRefusals(refusals: Extract<FittedCard, { ok: false }>["refusals"]) {
    return html`<div class="refused" role="alert">
      <h2>${beginWords.noPlanForCase}</h2>
      <ul>
        ${refusals.map(({ sentence }) => html`<li>${asSentence(sentence)}</li>`)}
      </ul>
    </div>`;
  }

  /** The effects stand where there is room: beside the numbers, or below them where the layers take it. */
  #renderPlan(fitted: Fitted) {
    const hasLayers = fitted.forecasts.length > 0;
    return html`
      <div class="side">
        <dl>
          ${planRows(fitted.plan, fitted.sources, this.unit).map(
            ({ label, value, sources }) => html`<div>
              <dt>${label}</dt>
              <dd class="value">${keptTogether(value)}</dd>
              ${sources.map((source) => html`<dd class="source">${source}</dd>`)}
            </div>`,
          )}
        </dl>
        ${hasLayers ? this.#renderEffects(fitted) : nothing}
      </div>
      <div class="side">
        ${this.#renderRemarks(fitted)}
        <div class="chart" aria-label=${words.plans.curve}>
          <kiosk-trace-chart .plan=${fitted.plan} .samples=${[]} .unit=${this.unit}></kiosk-trace-chart>
        </div>
        ${hasLayers ? this.#renderLayers(fitted) : this.#renderEffects(fitted)}
      </div>
    `;
  }

  /** The first one stands below, beside Begin, unless a layer that would be overfired stands there. */
  #renderRemarks({ findings, forecasts }: Fitted) {
    const isLayerSaid = forecasts.some(({ sideAfter }) => sideAfter === "excess");
    if (findings.length < (isLayerSaid ? 1 : 2)) return nothing;
    return html`<section>
      <h3>${beginWords.remarks}</h3>
      <ul class="remarks">
        ${findings.map(({ sentence }) => html`<li>${asSentence(sentence)}</li>`)}
      </ul>
    </section>`;
  }

  /** What a layer has had, which is said first, stands in its line already: one alone needs no more. */
  #renderLayers({ forecasts, sentences: all }: Fitted) {
    const sentences = forecasts.length === 1 ? all.slice(1) : all;
    return html`<section>
      <h3>${beginWords.ledger}</h3>
      <kiosk-layer-list
        .rows=${forecasts.map((forecast) => forecastRow(forecast, this.unit))}
      ></kiosk-layer-list>
      ${
        sentences.length > 0
          ? html`<div class="sentences">${sentences.map((sentence) => html`<p>${keptTogether(sentence)}</p>`)}</div>`
          : nothing
      }
    </section>`;
  }

  #renderEffects({ effects, activationEnergyJoulesPerMole }: Fitted) {
    if (!effects || effects.steps.length === 0) return html`<p class="label soft">${beginWords.asCard}</p>`;
    const kilojoules = numberText(activationEnergyJoulesPerMole / 1000);
    return html`<section>
      <h3>${beginWords.effects}</h3>
      ${renderEffectTable(effects)}
      <p class="caption soft">${beginWords.reckonedWith(kilojoules)}</p>
    </section>`;
  }
}

function renderEffectTable(effects: AdaptationEffects) {
  const rows = effectRows(effects);
  return html`<table>
    <thead>
      <tr>
        <th><span class="reader-only">${beginWords.effectOf}</span></th>
        <th scope="col">${beginWords.chamber}</th>
        <th scope="col">${beginWords.ware}</th>
        <th scope="col">${beginWords.length}</th>
      </tr>
    </thead>
    <tbody>
      ${rows.map(
        ({ name, chamber, ware, length, basis }, index) => html`<tr
            class=${index === rows.length - 1 && rows.length > 1 ? "total" : ""}
          >
            <th scope="row">${name}</th>
            <td>${chamber}</td>
            <td>${ware}</td>
            <td>${length}</td>
          </tr>
          ${basis ? html`<tr class="basis"><td colspan="4">${basis}</td></tr>` : nothing}`,
      )}
    </tbody>
  </table>`;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-fitted-plan": KioskFittedPlan;
  }
}
