import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/chart/kiosk-trace-chart";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-grade-picker";
import "#kiosk-ui/components/kiosk-heat-work-bar";
import "#kiosk-ui/components/kiosk-hot-surface";
import "#kiosk-ui/components/kiosk-probe-record";
import "#kiosk-ui/screens/now/kiosk-bake-head";
import { faultName } from "#core/thermocouple/fault-words";
import { fittedNumbers } from "#kiosk-ui/components/fitted-numbers";
import { windowSentence } from "#kiosk-ui/components/heat-work-words";
import { act } from "#kiosk-ui/components/kiosk-action";
import { thermocoupleWords } from "#kiosk-ui/components/thermocouple-words";
import {
  holdUncertaintyKelvin,
  judgedSentence,
  plusMinusText,
  ratioRangeText,
  sureText,
  withinBriefText,
} from "#kiosk-ui/components/uncertainty-text";
import {
  differenceWithUnit,
  durationText,
  keptTogether,
  numberText,
  percentText,
  type TemperatureUnit,
  temperatureWithUnit,
} from "#kiosk-ui/format";
import type { FinishedBake } from "#kiosk-ui/kiosk-state";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { BakeDetail } from "#shared/bake";
import type { Comparison } from "#shared/comparison";
import type { GradeWord } from "#shared/grade";
import type { HeatWorkWindow } from "#shared/outlook";

/** So many lines fit beside the numbers; the bake's page in Past bakes has them all. */
const MOST_FINDINGS = 4;

/**
 * A bake that ended: its verdict with numbers, and *How did it come out?*
 * @slot actions - buttons of the owner
 */
@customElement("kiosk-finished")
export class KioskFinished extends LitElement {
  /** The bake, its verdict once it has come, and its samples. */
  @property({ attribute: false }) finished: FinishedBake | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    css`
      :host {
        grid-template-rows: auto minmax(0, 1fr) auto auto;
      }
      .body {
        display: grid;
        grid-template-columns: minmax(0, 1.1fr) minmax(0, 1fr);
        gap: var(--space-4);
        min-height: 0;
      }
      .chart,
      .verdict {
        display: flex;
        flex-direction: column;
        min-height: 0;
        padding: var(--space-3) var(--space-4);
      }
      .verdict {
        justify-content: space-between;
        gap: var(--space-2);
        overflow-y: auto;
        scrollbar-width: thin;
      }
      kiosk-trace-chart {
        flex: 1 1 auto;
        min-height: 0;
      }
      .short,
      .foot .sure {
        display: none;
      }
      .foot {
        display: grid;
        align-content: center;
        gap: var(--space-1);
      }
      .findings li {
        padding: 0 0 0 var(--space-3);
        border-left: 5px solid var(--color-line);
        font-size: var(--text-body);
        line-height: 1.25;
      }
      .findings li.needs {
        border-left-color: var(--color-person);
        font-weight: var(--weight-strong);
      }
      .findings li + li {
        margin-top: 5px;
      }
      .heat {
        display: grid;
        grid-template-columns: auto minmax(0, 1fr);
        align-items: end;
        gap: 0 var(--space-4);
      }
      .figure {
        font-size: var(--text-figure);
        font-weight: var(--weight-heavy);
        letter-spacing: -0.02em;
        line-height: 1.05;
        white-space: nowrap;
      }
      .figure small {
        color: var(--color-ink-soft);
        font-size: var(--text-lead);
        font-weight: var(--weight-text);
      }
      .window {
        grid-column: 1 / -1;
      }
      dl {
        display: grid;
        grid-template-columns: repeat(4, auto);
        gap: var(--space-2) var(--space-3);
        padding-top: var(--space-2);
        border-top: 2px solid var(--color-line);
      }
      dt,
      .label {
        color: var(--color-ink-soft);
        font-size: var(--text-label);
      }
      dd {
        font-size: var(--text-lead);
        font-weight: var(--weight-strong);
      }
      dd small {
        display: block;
        color: var(--color-ink-soft);
        font-size: var(--text-caption);
        font-weight: var(--weight-text);
      }
      .grade {
        display: grid;
        gap: var(--space-2);
        padding: var(--space-2) var(--space-4) var(--space-3);
      }
      .question {
        display: flex;
        flex-wrap: wrap;
        align-items: baseline;
        gap: 0 var(--space-3);
      }
      @media (max-height: 700px) and (min-width: 701px) {
        .body {
          grid-template-columns: minmax(0, 1fr);
        }
        .chart,
        .went-in,
        .verdict .sure {
          display: none;
        }
        .short,
        .foot .sure {
          display: block;
        }
        .verdict {
          display: grid;
          grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
          grid-template-rows: auto auto;
          align-content: safe center;
          gap: 2px var(--space-5);
          padding-block: 2px;
          line-height: 1.15;
        }
        .heat .figure {
          font-size: 32px;
        }
        .verdict .window,
        dd small {
          line-height: 1.15;
        }
        .findings {
          grid-row: 1 / 3;
        }
        .findings li {
          font-size: var(--text-label);
        }
        dt {
          font-size: var(--text-caption);
        }
        dl {
          padding-top: var(--space-1);
        }
        dd {
          font-size: var(--text-body);
        }
      }
      @media (max-width: 700px) {
        .heat {
          grid-template-columns: 1fr;
        }
        dl {
          grid-template-columns: 1fr 1fr;
        }
        .body {
          display: flex;
          flex-direction: column-reverse;
        }
        .chart {
          height: 320px;
        }
      }
    `,
  ];

  protected override render() {
    const { finished } = this;
    if (!finished) return nothing;
    const { bake, detail, samples } = finished;
    return html`
      <kiosk-bake-head .bake=${bake}></kiosk-bake-head>
      <div class="body">
        <section class="verdict sheet" tabindex="0" aria-label=${words.finished.title}>${this.#renderVerdict(finished)}</section>
        <section class="chart sheet" aria-label=${words.running.chart}>
          <kiosk-trace-chart
            .plan=${detail?.plan?.plan ?? null}
            .samples=${samples}
            .comparison=${detail?.comparison ?? null}
            .unit=${this.unit}
          ></kiosk-trace-chart>
          ${detail ? this.#renderThermocouple(detail) : nothing}
          ${
            detail?.comparison
              ? html`<p class="caption soft">
                  ${words.finished.energy(numberText(detail.comparison.heatWork.activationEnergyJoulesPerMole / 1000))}
                </p>`
              : nothing
          }
        </section>
      </div>
      <section class="grade sheet">
        <div class="question">
          <h2>${words.finished.question}</h2>
          <p class="label">${words.finished.questionLater}</p>
        </div>
        <kiosk-grade-picker
          .grade=${bake.grade}
          @grade-chosen=${(event: CustomEvent<GradeWord>) =>
            act(this, { kind: "grade", bakeId: bake.id, grade: event.detail })}
        ></kiosk-grade-picker>
      </section>
      <kiosk-foot>
        <div class="foot">
          <kiosk-hot-surface></kiosk-hot-surface>
          ${detail?.comparison ? this.#renderSure(detail.comparison) : nothing}
          ${detail ? this.#renderWentIn(detail) : nothing}
        </div>
        <slot name="actions" slot="actions"></slot>
        <button slot="actions" class="act" @click=${() => act(this, { kind: "looked-at", bakeId: bake.id })}>
          ${bake.grade === null ? words.finished.later : words.finished.done}
        </button>
      </kiosk-foot>
    `;
  }

  #renderVerdict({ detail, window: known }: FinishedBake) {
    const window = known ?? null;
    if (!detail) return html`<p class="soft">${words.finished.loading}</p>`;
    const { comparison } = detail;
    if (!comparison)
      return html`<p>${words.finished.withoutPlan}</p>
        <div class="short">${this.#renderThermocouple(detail)}</div>`;
    return html`
      ${this.#renderFindings(detail, comparison)} ${this.#renderHeatWork(comparison, window)}
      ${this.#renderNumbers(comparison)} ${this.#renderSure(comparison)}
    `;
  }

  /** What the card changed for the case and which layers were put on; Past bakes tells what became of them. */
  #renderWentIn({ plan, layers }: BakeDetail) {
    const fitted = plan ? fittedNumbers(plan, this.unit) : "";
    const said = [
      ...(fitted ? [words.finished.fitted(fitted)] : []),
      ...(layers.length > 0 ? [words.finished.layers(layers.map(({ name }) => name).join(", "))] : []),
    ];
    return said.length === 0
      ? nothing
      : html`<p class="went-in caption soft">${keptTogether(said.join(" "))}</p>`;
  }

  /** Faults of the thermocouple stand under the curve, and before the findings where there is no room for it. */
  #renderFindings({ sensorFaults }: BakeDetail, { findings, uncertainty }: Comparison) {
    const faults = sensorFaults.filter(({ needsPerson }) => needsPerson);
    const most = MOST_FINDINGS - (findings.length > MOST_FINDINGS ? 1 : 0);
    const shown = findings.slice(0, most);
    const more = findings.length - shown.length;
    return html`<ul class="findings">
      ${faults.map(
        (fault) =>
          html`<li class="needs short">${thermocoupleWords.seePastBakes(faultName(fault.kind))}</li>`,
      )}
      ${shown.map(
        (finding) =>
          html`<li class=${finding.needsPerson ? "needs" : ""}>${keptTogether(judgedSentence(finding, uncertainty, this.unit))}</li>`,
      )}
      ${more > 0 ? html`<li class="soft">${words.finished.allFindings(more)}</li>` : nothing}
    </ul>`;
  }

  #renderSure({ uncertainty }: Comparison) {
    return html`<p class="sure caption soft">${keptTogether(sureText(uncertainty, this.unit))}</p>`;
  }

  #renderThermocouple({ bake, probe, sensorFaults }: BakeDetail) {
    return html`<kiosk-probe-record
      .probe=${probe}
      .faults=${sensorFaults}
      .startedAtEpochMilliseconds=${bake.startedAtEpochMilliseconds}
      .unit=${this.unit}
      isBrief
    ></kiosk-probe-record>`;
  }

  #renderHeatWork({ heatWork, uncertainty }: Comparison, window: HeatWorkWindow | null) {
    const range = ratioRangeText(uncertainty);
    return html`<div class="heat">
      <div>
        <p class="label">${words.finished.heatWork}</p>
        <p class="figure">
          ${heatWork.ratio === null ? words.reading.noReading : percentText(heatWork.ratio)}<small> %${range ? `, ${range}` : ""}</small>
        </p>
      </div>
      <kiosk-heat-work-bar
        .ratio=${heatWork.ratio}
        .range=${uncertainty?.heatWorkRatio ?? null}
        .window=${window}
        .isFinal=${true}
      ></kiosk-heat-work-bar>
      <p class="window caption soft">${window ? windowSentence(window) : words.running.windowNote}</p>
    </div>`;
  }

  #renderNumbers(comparison: Comparison) {
    const { unit } = this;
    const { holds, uncertainty } = comparison;
    const hold = holds.findLast(({ actual }) => actual !== null);
    const isSeveral = holds.length > 1;
    const overshot = holds.find(({ overshootKelvin }) => overshootKelvin === comparison.overshootKelvin);
    const rows: (readonly [string, string, string])[] = [
      [words.finished.offset, offsetWords(comparison.heatWork.equivalentOffsetKelvin, unit), ""],
      [
        words.finished.peak,
        comparison.peakCelsius === null
          ? words.reading.noReading
          : temperatureWithUnit(comparison.peakCelsius, unit),
        [
          ...(uncertainty ? [plusMinusText(uncertainty.topKelvin, unit)] : []),
          words.finished.of(temperatureWithUnit(comparison.heatWork.referenceCelsius, unit)),
        ].join(", "),
      ],
      [
        words.finished.overshoot,
        differenceWithUnit(comparison.overshootKelvin, unit, 1),
        [
          ...(isSeveral && overshot && comparison.overshootKelvin > 0
            ? [words.finished.hold(overshot.index, isSeveral)]
            : []),
          withinBriefText(
            comparison.overshootKelvin,
            overshot ? holdUncertaintyKelvin(uncertainty, overshot.index) : null,
            unit,
          ) || (comparison.overshootSeconds > 0 ? durationText(comparison.overshootSeconds) : ""),
        ]
          .filter(Boolean)
          .join(", "),
      ],
    ];
    if (hold?.actual)
      rows.push([
        words.finished.hold(hold.index, isSeveral),
        durationText(hold.actual.lengthSeconds),
        words.finished.of(durationText(hold.planned.lengthSeconds)),
      ]);
    return html`<dl>
      ${rows.map(
        ([word, value, more]) =>
          html`<div>
            <dt>${word}</dt>
            <dd>${value}${more ? html`<small>${more}</small>` : nothing}</dd>
          </div>`,
      )}
    </dl>`;
  }
}

/** What the heat work amounts to: the whole plan, so much hotter or colder. */
export function offsetWords(kelvin: number | null, unit: TemperatureUnit): string {
  if (kelvin === null) return words.reading.noReading;
  if (Math.abs(kelvin) < 0.05) return words.finished.asPlanned;
  const amount = differenceWithUnit(kelvin, unit, 1);
  return kelvin > 0 ? words.finished.hotter(amount) : words.finished.colder(amount);
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-finished": KioskFinished;
  }
}
