import { css, html, LitElement, nothing } from "lit";
import { customElement, property, state } from "lit/decorators.js";
import "#kiosk-ui/chart/kiosk-trace-chart";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-plan-list";
import "#kiosk-ui/components/kiosk-scroll";
import { act } from "#kiosk-ui/components/kiosk-action";
import { planTable } from "#kiosk-ui/components/plan-facts";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { initialKioskState, type KioskState, openBakeOf } from "#kiosk-ui/kiosk-state";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { PlanRevision } from "#shared/plan";

/**
 * The place Plans: what there is, what each does, and beginning with one.
 * @slot - the way back to what runs, in the bottom row
 */
@customElement("kiosk-plans")
export class KioskPlans extends LitElement {
  /** Everything that the page knows. */
  @property({ attribute: false }) state: KioskState = initialKioskState;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  @state() private _chosenPlanId: number | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    css`
      .title {
        display: flex;
        flex-wrap: wrap;
        align-items: baseline;
        gap: 0 var(--space-4);
      }
      .body {
        display: grid;
        grid-template-columns: minmax(260px, 38%) minmax(0, 1fr);
        gap: var(--space-4);
        min-height: 0;
      }
      article {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        grid-template-rows: auto minmax(min-content, 1fr) auto;
        gap: var(--space-2) var(--space-4);
        min-height: 0;
        padding: var(--space-3) var(--space-4) var(--space-4);
        overflow-y: auto;
      }
      header,
      .notes {
        grid-column: 1 / -1;
      }
      .chart {
        display: flex;
        min-height: 0;
      }
      kiosk-trace-chart {
        flex: 1 1 auto;
        min-width: 0;
      }
      dl {
        display: grid;
        grid-template-columns: auto auto;
        gap: var(--space-1) var(--space-3);
        align-content: start;
        max-width: 330px;
        font-size: var(--text-label);
      }
      dt {
        color: var(--color-ink-soft);
      }
      dd {
        font-weight: var(--weight-medium);
      }
      .said {
        align-self: center;
      }
      .whole {
        display: block;
        white-space: nowrap;
      }
      .none {
        padding: var(--space-5);
      }
      @media (max-width: 1100px), (max-height: 700px) {
        dl {
          max-width: 290px;
          font-size: var(--text-caption);
        }
      }
      @media (max-width: 700px) {
        .body {
          display: flex;
          flex-direction: column;
          height: auto;
        }
        article {
          grid-template-columns: 1fr;
        }
        .chart {
          height: 260px;
        }
      }
    `,
  ];

  protected override render() {
    const { plans } = this.state;
    const chosen = plans.find(({ planId }) => planId === this._chosenPlanId) ?? plans[0];
    return html`
      <div class="title">
        <h1>${words.plans.title}</h1>
        <p class="soft">${words.plans.sheetCounts}</p>
      </div>
      ${
        chosen
          ? html`<div class="body">
            <kiosk-scroll>
              <kiosk-plan-list
                .plans=${plans}
                .unit=${this.unit}
                .chosenPlanId=${chosen.planId}
                @plan-chosen=${(event: CustomEvent<number>) => {
                  this._chosenPlanId = event.detail;
                }}
              ></kiosk-plan-list>
            </kiosk-scroll>
            ${this.#renderPlan(chosen)}
          </div>`
          : html`<div class="sheet none">
            <h2>${words.plans.none}</h2>
            <p class="soft">${words.plans.noneHelp}</p>
          </div>`
      }
      <kiosk-foot>
        <slot></slot>
        ${chosen ? this.#renderBegin(chosen.planId) : nothing}
      </kiosk-foot>
    `;
  }

  #renderPlan(revision: PlanRevision) {
    const { plan } = revision;
    const origin = [
      words.plans.revision(revision.revision),
      ...(revision.isDemonstration ? [words.plans.demonstration] : []),
    ].join(", ");
    return html`<article class="sheet">
      <header>
        <h2>${plan.name}</h2>
        <p class="caption soft">${origin}</p>
      </header>
      <div class="chart" aria-label=${words.plans.curve}>
        <kiosk-trace-chart .plan=${plan} .samples=${[]} .unit=${this.unit}></kiosk-trace-chart>
      </div>
      <dl>
        ${planTable(plan, this.unit).map(([word, value]) => html`<dt>${word}</dt><dd>${value}</dd>`)}
      </dl>
      <div class="notes label soft">
        ${plan.notes ? html`<p>${plan.notes}</p>` : nothing}
      </div>
    </article>`;
  }

  #renderBegin(planId: number) {
    const free = this.state.furnaces.filter(({ furnace }) => openBakeOf(this.state, furnace.id) === null);
    if (free.length === 0) return html`<p slot="actions" class="said soft">${words.plans.busy}</p>`;
    return free.map(
      ({ furnace }) =>
        html`<button slot="actions" class="act main" @click=${() => act(this, { kind: "prepare", furnaceId: furnace.id, planId })}>
          ${free.length === 1 && this.state.furnaces.length === 1 ? words.plans.begin : html`${words.plans.beginOn} <span class="whole">${furnace.name}</span>`}
        </button>`,
    );
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-plans": KioskPlans;
  }
}
