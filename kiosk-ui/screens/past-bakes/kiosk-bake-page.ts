import { css, html, LitElement, nothing } from "lit";
import { customElement, property } from "lit/decorators.js";
import { faultSentence } from "#core/thermocouple/fault-words";
import type { Trace } from "#core/trace/trace";
import "#kiosk-ui/chart/kiosk-trace-chart";
import "#kiosk-ui/components/kiosk-grade-picker";
import "#kiosk-ui/components/kiosk-heat-work-bar";
import "#kiosk-ui/components/kiosk-probe-record";
import "#kiosk-ui/components/kiosk-scroll";
import { caseText } from "#kiosk-ui/components/case-text";
import { windowSentence } from "#kiosk-ui/components/heat-work-words";
import { thermocoupleWords } from "#kiosk-ui/components/thermocouple-words";
import { judgedSentence, sureText } from "#kiosk-ui/components/uncertainty-text";
import { dayText, keptTogether, numberText, type TemperatureUnit, timeOfDayText } from "#kiosk-ui/format";
import type { Asked, OpenedBake } from "#kiosk-ui/screens/past-bakes/bake-library";
import {
  jobText,
  likePlanText,
  planText,
  ratioText,
  startText,
} from "#kiosk-ui/screens/past-bakes/bake-words";
import "#kiosk-ui/screens/past-bakes/kiosk-bake-glass";
import "#kiosk-ui/screens/past-bakes/kiosk-bake-layers";
import "#kiosk-ui/screens/past-bakes/kiosk-choice";
import "#kiosk-ui/screens/past-bakes/kiosk-job-field";
import { windowOfBake } from "#kiosk-ui/screens/past-bakes/layer-table";
import { pastBakesStyles } from "#kiosk-ui/screens/past-bakes/past-bakes-styles";
import { pastBakesWords as pastWords } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import { stageRows } from "#kiosk-ui/screens/past-bakes/stage-table";
import { unplannedStages } from "#kiosk-ui/screens/past-bakes/unplanned-stages";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import type { Comparison } from "#shared/comparison";
import type { BakeGlass } from "#shared/glass";
import type { Grade, GradeWord } from "#shared/grade";
import type { JobLedger } from "#shared/layer";
import type { HeatWorkWindow } from "#shared/outlook";
import type { PlanRevision } from "#shared/plan";
import type { BakePatch } from "#shared/requests";
import type { SensorFault } from "#shared/sensor-fault";

/**
 * One past bake: its curve, the verdict, stage by stage, and how it came out.
 * @fires grade-chosen {CustomEvent<GradeWord>} from the picker
 * @fires bake-changed {CustomEvent<BakePatch>} a plan or job number given afterwards
 */
@customElement("kiosk-bake-page")
export class KioskBakePage extends LitElement {
  /** The bake with its curve. */
  @property({ attribute: false }) opened: OpenedBake | null = null;
  /** The plans that it can be given. */
  @property({ attribute: false }) plans: readonly PlanRevision[] = [];
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** The stage that the curve shows, by its key; null for the whole bake. */
  @property() stage: string | null = null;
  /** True while something is being saved. */
  @property({ type: Boolean }) isSaving = false;
  /** Why the last thing was not saved; empty when it was. */
  @property() refusal = "";
  /** What its trace would have done to a well-built layer. */
  @property({ attribute: false }) glass: Asked<BakeGlass> = { kind: "loading" };
  /** What the layers of its job have had; null without a job number. */
  @property({ attribute: false }) ledger: Asked<JobLedger> | null = null;

  static override styles = [
    baseStyles,
    touchStyles,
    pastBakesStyles,
    css`
      .grid {
        display: grid;
        grid-template-columns: minmax(0, 1.9fr) minmax(280px, 1fr);
        gap: var(--space-3);
      }
      :host {
        container-type: size;
      }
      /* The head above, which may take two lines, and below it the next question, are left in sight. */
      .chart {
        padding: var(--space-3) 0 var(--space-2);
        min-height: calc(100cqh - 160px);
        display: grid;
      }
      .heat {
        display: grid;
        grid-template-columns: auto minmax(0, 1fr);
        align-items: end;
        gap: 0 var(--space-3);
      }
      .heat .label {
        grid-column: 1 / -1;
      }
      .figure {
        font-size: var(--text-figure);
        font-weight: var(--weight-heavy);
        line-height: 1.1;
      }
      .figure small {
        color: var(--color-ink-soft);
        font-size: var(--text-label);
        font-weight: var(--weight-text);
        white-space: nowrap;
      }
      .sure {
        margin-top: var(--space-3);
      }
      .findings {
        display: grid;
        gap: var(--space-2);
        margin-top: var(--space-2);
      }
      .findings li {
        padding-left: var(--space-3);
        border-left: 5px solid var(--color-line);
        font-size: var(--text-body);
        line-height: 1.3;
      }
      .findings .needs {
        border-left-color: var(--color-person);
        font-weight: var(--weight-strong);
      }
      .beside {
        display: grid;
        gap: var(--space-3);
        align-content: start;
      }
      .whole {
        grid-column: 1 / -1;
      }
      .two {
        display: grid;
        grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
        gap: var(--space-5);
      }
      .refusal {
        margin-bottom: var(--space-2);
        color: var(--color-fault);
        font-weight: var(--weight-strong);
      }
      .record {
        display: grid;
        align-content: start;
        gap: var(--space-2);
      }
      .grades {
        display: grid;
        gap: 2px;
        margin-top: var(--space-3);
        font-size: var(--text-label);
      }
      @media (max-height: 700px) and (min-width: 701px) {
        .verdict,
        .sheet.verdict {
          padding-block: var(--space-3);
        }
        .verdict h2 {
          display: none;
        }
        .grid {
          grid-template-columns: minmax(0, 1.5fr) minmax(280px, 1fr);
        }
        .sure {
          margin-top: var(--space-2);
          font-size: var(--text-caption);
        }
        .findings {
          gap: var(--space-1);
        }
        .findings li {
          font-size: var(--text-label);
          line-height: 1.25;
        }
      }
      @media (max-width: 700px) {
        :host {
          container-type: normal;
        }
        .chart {
          min-height: 420px;
        }
      }
      @media (max-width: 860px) {
        .two,
        .grid {
          grid-template-columns: minmax(0, 1fr);
        }
      }
    `,
  ];

  protected override render() {
    const { opened } = this;
    if (!opened) return nothing;
    const { detail, samples } = opened;
    const { bake, plan, comparison } = detail;
    const window = this.ledger?.kind === "ready" ? windowOfBake(this.ledger.value, detail) : null;
    return html`
      <div class="head">
        <h1>${planText(bake)}</h1>
        <p class="about soft">
          ${bake.case ? `${caseText(bake.case)} · ` : ""}${bake.furnaceName} · ${jobText(bake)} · ${startText(bake)}
        </p>
      </div>
      <kiosk-scroll class="body">
        <div class="grid">
          <section class="sheet chart">
            <kiosk-trace-chart
              .plan=${plan?.plan ?? null}
              .samples=${samples}
              .comparison=${comparison}
              .unit=${this.unit}
              .zoomedStage=${this.stage}
              isZoomable
            ></kiosk-trace-chart>
          </section>
          <section class="sheet verdict">
            <h2>${pastWords.verdict}</h2>
            ${comparison ? this.#renderVerdict(comparison, detail.sensorFaults, window) : this.#renderUnplanned(samples)}
          </section>
          <section class="sheet whole">
            <h2>${pastWords.question}</h2>
            ${this.refusal ? html`<p class="refusal" role="alert">${this.refusal}</p>` : nothing}
            <kiosk-grade-picker
              .grade=${bake.grade}
              .label=${pastWords.question}
              ?isBusy=${this.isSaving}
            ></kiosk-grade-picker>
            ${this.#renderGrades(detail.grades)}
          </section>
          ${comparison ? this.#renderStages(comparison, window) : nothing}
          <div class="beside">${this.#renderThermocouple(opened)} ${this.#renderRecord(opened)}</div>
          <section class="sheet whole two">
            <kiosk-bake-layers .detail=${detail} .ledger=${this.ledger} .unit=${this.unit}></kiosk-bake-layers>
            <kiosk-bake-glass .glass=${this.glass} .unit=${this.unit}></kiosk-bake-glass>
          </section>
        </div>
      </kiosk-scroll>
    `;
  }

  #renderUnplanned(samples: Trace) {
    const stages = unplannedStages(samples, this.unit);
    return html`<p>${pastWords.noComparison}</p>
      ${
        stages.length === 0
          ? nothing
          : html`<p class="label soft" style="margin-top: var(--space-3)">${pastWords.whatItDid}</p>
              <ul class="findings">
                ${stages.map((stage) => html`<li>${stage}</li>`)}
              </ul>`
      }`;
  }

  #renderVerdict(comparison: Comparison, faults: readonly SensorFault[], window: HeatWorkWindow | null) {
    const { heatWork, findings, uncertainty } = comparison;
    return html`
      <div class="heat">
        <p class="label soft">${pastWords.heatWorkOfPlan}</p>
        <p class="figure">${ratioText(heatWork.ratio)}</p>
        <kiosk-heat-work-bar
          .ratio=${heatWork.ratio}
          .range=${uncertainty?.heatWorkRatio ?? null}
          .window=${window}
          ?isFinal=${this.ledger?.kind !== "loading"}
        ></kiosk-heat-work-bar>
      </div>
      ${
        heatWork.equivalentOffsetKelvin === null
          ? nothing
          : html`<p>${likePlanText(heatWork.equivalentOffsetKelvin, this.unit)}</p>`
      }
      <ul class="findings">
        ${findings.map(
          (finding) =>
            html`<li class=${finding.needsPerson ? "needs" : ""}>${keptTogether(judgedSentence(finding, uncertainty, this.unit))}</li>`,
        )}
        ${faults
          .filter(({ needsPerson }) => needsPerson)
          .map((fault) => html`<li class="needs">${keptTogether(faultSentence(fault, this.unit))}</li>`)}
      </ul>
      <p class="sure label soft">${keptTogether(sureText(uncertainty, this.unit))}</p>
    `;
  }

  #renderGrades(grades: readonly Grade[]) {
    if (grades.length === 0) return html`<p class="grades soft">${pastWords.notGraded}</p>`;
    const newestFirst = [...grades].sort((a, b) => b.gradedAtEpochMilliseconds - a.gradedAtEpochMilliseconds);
    return html`<ul class="grades" aria-label=${pastWords.earlierGrades}>
      ${newestFirst.map(
        (
          { grade, gradedAtEpochMilliseconds: at, by, note },
          index,
        ) => html`<li class=${index === 0 ? "" : "soft"}>
          ${pastWords.graded} <strong>${words.grades[grade]}</strong>, ${dayText(at)},
          ${timeOfDayText(at)}${by ? ` ${pastWords.by(by)}` : ""}${note ? `: ${note}` : ""}
        </li>`,
      )}
    </ul>`;
  }

  #renderStages(comparison: Comparison, window: HeatWorkWindow | null) {
    const kilojoules = numberText(comparison.heatWork.activationEnergyJoulesPerMole / 1000);
    return html`<section class="sheet">
      <h2>${pastWords.stages}</h2>
      <div class="wide">
        <table>
          <thead>
            <tr>
              <th scope="col">${pastWords.stage}</th>
              <th scope="col">${pastWords.planned}</th>
              <th scope="col">${pastWords.actual}</th>
              <th scope="col">${pastWords.remark}</th>
            </tr>
          </thead>
          <tbody>
            ${stageRows(comparison, this.unit).map(
              ({ stage, planned, actual, remark }) => html`<tr>
                <th scope="row">${stage}</th>
                <td class="soft">${planned}</td>
                <td>${actual}</td>
                <td>${remark}</td>
              </tr>`,
            )}
          </tbody>
        </table>
      </div>
      <p class="caption soft">${words.finished.energy(kilojoules)} ${window ? windowSentence(window) : words.running.windowNote}</p>
    </section>`;
  }

  #renderThermocouple({ detail: { bake, probe, sensorFaults } }: OpenedBake) {
    return html`<section class="sheet">
      <h2>${thermocoupleWords.title}</h2>
      <kiosk-probe-record
        .probe=${probe}
        .faults=${sensorFaults}
        .startedAtEpochMilliseconds=${bake.startedAtEpochMilliseconds}
        .unit=${this.unit}
      ></kiosk-probe-record>
    </section>`;
  }

  #renderRecord({ detail }: OpenedBake) {
    const { bake, note } = detail;
    const known = this.plans.map(({ planId, plan }) => ({ value: String(planId), name: plan.name }));
    const ran = { value: String(bake.planId ?? ""), name: planText(bake) };
    const choices = known.some(({ value }) => value === ran.value) ? known : [ran, ...known];
    return html`<section class="sheet record">
      <h2>${pastWords.record}</h2>
      <kiosk-choice
        .label=${pastWords.changePlan}
        .choices=${choices}
        .value=${ran.value}
        @choice-made=${(event: CustomEvent<string>) =>
          this.#change({ planId: event.detail === "" ? null : Number(event.detail) })}
      ></kiosk-choice>
      <kiosk-job-field
        .label=${pastWords.giveJob}
        .value=${bake.jobNumber ?? ""}
        .none=${pastWords.none}
        @job-entered=${(event: CustomEvent<string>) => this.#change({ jobNumber: event.detail || null })}
      ></kiosk-job-field>
      ${bake.isDemonstration ? html`<p class="label soft">${pastWords.invented}</p>` : nothing}
      ${note ? html`<p><span class="soft">${pastWords.note}:</span> ${note}</p>` : nothing}
    </section>`;
  }

  #change(patch: BakePatch) {
    this.dispatchEvent(new CustomEvent("bake-changed", { detail: patch }));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-bake-page": KioskBakePage;
  }
  interface HTMLElementEventMap {
    "grade-chosen": CustomEvent<GradeWord>;
  }
}
