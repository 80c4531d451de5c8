import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/chart/kiosk-trace-chart";
import "#kiosk-ui/components/kiosk-scroll";
import { caseText } from "#kiosk-ui/components/case-text";
import type { TemperatureUnit } from "#kiosk-ui/format";
import type { OpenedBake } from "#kiosk-ui/screens/past-bakes/bake-library";
import { jobText, planText, startText } from "#kiosk-ui/screens/past-bakes/bake-words";
import { pairRows } from "#kiosk-ui/screens/past-bakes/pair-table";
import { pastBakesStyles } from "#kiosk-ui/screens/past-bakes/past-bakes-styles";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";

/** Two bakes laid over each other, aligned where both plans begin, with what differs. */
@customElement("kiosk-bake-pair")
export class KioskBakePair extends LitElement {
  /** The firm line. */
  @property({ attribute: false }) first: OpenedBake | null = null;
  /** The thin line. */
  @property({ attribute: false }) second: OpenedBake | null = null;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** The stage that the curves show, by its key; null for the whole bake. */
  @property() stage: string | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    pastBakesStyles,
    css`
      .head {
        justify-content: space-between;
      }
      .grid {
        display: grid;
        grid-template-columns: minmax(0, 1.3fr) minmax(0, 1fr);
        gap: var(--space-3);
        height: 100%;
      }
      .grid > .sheet {
        min-height: 0;
      }
      .chart {
        display: grid;
        padding: var(--space-3) 0 var(--space-2);
      }
      @media (max-height: 700px) and (min-width: 901px) {
        .grid > .sheet:not(.chart) {
          padding-block: var(--space-3) var(--space-1);
        }
        th,
        td {
          padding-block: 5px;
        }
      }
      .legend {
        display: grid;
        gap: 2px;
        font-size: var(--text-label);
      }
      .legend li {
        display: flex;
        align-items: center;
        gap: var(--space-3);
      }
      .legend i {
        flex: none;
        width: 40px;
        border-top: 4px solid var(--color-ink);
      }
      .legend .thin {
        border-top: 2px solid var(--color-ink-soft);
      }
      tbody th {
        white-space: normal;
      }
      @media (max-width: 1100px) and (min-width: 901px) {
        .grid {
          grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
        }
        tbody td:last-child {
          white-space: nowrap;
        }
      }
      @media (max-width: 900px) {
        .grid {
          grid-template-columns: minmax(0, 1fr);
          height: auto;
        }
        .chart {
          height: 460px;
        }
      }
    `,
  ];

  protected override render() {
    const { first, second } = this;
    if (!first || !second) return nothing;
    return html`
      <div class="head">
        <h1>${words.pairTitle}</h1>
        <ul class="legend">
          ${this.#renderLegend(words.first, words.firstLine, "firm", first)}
          ${this.#renderLegend(words.second, words.secondLine, "thin", second)}
        </ul>
      </div>
      <div class="body">
        <div class="grid">
          <section class="sheet chart">
            <kiosk-trace-chart
              .plan=${first.detail.plan?.plan ?? null}
              .samples=${first.samples}
              .comparison=${first.detail.comparison}
              .overlay=${second.samples}
              .overlayComparison=${second.detail.comparison}
              .unit=${this.unit}
              .zoomedStage=${this.stage}
              isZoomable
            ></kiosk-trace-chart>
          </section>
          ${this.#renderTable(first, second)}
        </div>
      </div>
    `;
  }

  #renderLegend(name: string, line: string, kind: string, { detail: { bake } }: OpenedBake) {
    return html`<li>
      <i class=${kind} role="img" aria-label=${line}></i>
      <span><strong>${name}</strong>, ${planText(bake)}, ${bake.furnaceName}, ${jobText(bake)}, ${startText(bake)}</span>
    </li>`;
  }

  #renderTable(first: OpenedBake, second: OpenedBake) {
    const isSamePlan = numbersOf(first) === numbersOf(second);
    return html`<kiosk-scroll class="sheet" .label=${words.whatDiffers}>
      <h2>${words.whatDiffers}</h2>
      ${caseLines(first, second).map((line) => html`<p class="label">${line}</p>`)}
      <div class="wide">
        <table>
          <thead>
            <tr>
              <td></td>
              <th scope="col">${words.first}</th>
              <th scope="col">${words.second}</th>
              <th scope="col">${words.secondAgainstFirst}</th>
            </tr>
          </thead>
          <tbody>
            ${pairRows(first.detail.comparison, second.detail.comparison, this.unit).map(
              ({ name, first: one, second: other, difference }) => html`<tr>
                <th scope="row">${name}</th>
                <td>${one}</td>
                <td>${other}</td>
                <td>${difference}</td>
              </tr>`,
            )}
          </tbody>
        </table>
      </div>
      <p class="caption soft" style="margin-top: var(--space-3)">
        ${isSamePlan ? words.pairAligned : words.differentPlans} ${words.pairFill}
      </p>
    </kiosk-scroll>`;
  }
}

/** The numbers of the plan that a bake ran: one card gives other ones for another case. */
function numbersOf({ detail }: OpenedBake): string {
  return JSON.stringify(detail.plan?.plan ?? null);
}

/** What went in, where that differs. */
function caseLines(first: OpenedBake, second: OpenedBake): string[] {
  const [one, other] = [first, second].map(({ detail }) =>
    detail.bake.case ? caseText(detail.bake.case) : words.caseUnsaid,
  );
  return one === other ? [] : [`${words.first}: ${one}`, `${words.second}: ${other}`];
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-bake-pair": KioskBakePair;
  }
}
