import { css, html, LitElement, nothing, type PropertyValues } from "lit";
import { customElement, property } from "lit/decorators.js";
import "#kiosk-ui/chart/kiosk-trace-chart";
import "#kiosk-ui/components/kiosk-foot";
import "#kiosk-ui/components/kiosk-heat-work-bar";
import "#kiosk-ui/components/kiosk-readout";
import "#kiosk-ui/components/kiosk-sentence";
import "#kiosk-ui/components/kiosk-stage-bars";
import "#kiosk-ui/screens/now/kiosk-bake-head";
import { heatWorkWords, windowSentence } from "#kiosk-ui/components/heat-work-words";
import { act } from "#kiosk-ui/components/kiosk-action";
import { heatWorkSide } from "#kiosk-ui/components/kiosk-heat-work-bar";
import {
  allFaults,
  countedFaultsText,
  type ReadingTrust,
  readingTrust,
} from "#kiosk-ui/components/reading-trust";
import { Scanner } from "#kiosk-ui/components/scanner";
import {
  durationText,
  keptTogether,
  percentText,
  type TemperatureUnit,
  temperatureText,
} from "#kiosk-ui/format";
import { type BakeInView, type HeardFurnace, STALE_AFTER_SECONDS } from "#kiosk-ui/kiosk-state";
import { type BakeProgress, bakeProgress, type Countdown } from "#kiosk-ui/screens/now/bake-progress";
import { type BakeSentence, bakeSentence, liveFindingSentence } from "#kiosk-ui/screens/now/bake-sentence";
import { type FindingsSince, findingsSince, settledFindings } from "#kiosk-ui/screens/now/settled-findings";
import { type SteadyOutlook, steadyOutlook } from "#kiosk-ui/screens/now/steady-outlook";
import { wareText } from "#kiosk-ui/screens/now/ware-text";
import { screenStyles } from "#kiosk-ui/tokens/layout";
import { baseStyles, touchStyles } from "#kiosk-ui/tokens/touch";
import { words } from "#kiosk-ui/words";
import { jobNumberSchema } from "#shared/bake";
import type { Outlook } from "#shared/outlook";

/** A difference larger than this gets its colour, K; smaller ones are words alone. */
const COLOURED_KELVIN = 3;

/**
 * A bake while it runs: one number first, plan and trace, the times that matter, heat work, one sentence.
 * @slot actions - buttons of the owner, before this screen's own
 * @fires bake-opened {CustomEvent} "This bake" was pressed
 * @fires plan-wanted {CustomEvent} it is to be given a plan
 */
@customElement("kiosk-running")
export class KioskRunning extends LitElement {
  /** The bake with its samples. */
  @property({ attribute: false }) bake: BakeInView | null = null;
  /** Its furnace, for the newest reading. */
  @property({ attribute: false }) furnace: HeardFurnace | null = null;
  /** Age of that reading by the page's own clock, s. */
  @property({ attribute: false }) ageSeconds: number | null = null;
  /** The scale of the temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** True while the daemon is heard. */
  @property({ type: Boolean }) hearsDaemon = true;
  /** True while this bake makes no sound. */
  @property({ type: Boolean }) isQuiet = false;

  #steady: SteadyOutlook | null = null;
  #findingsSince: FindingsSince = new Map();

  static override styles = [
    baseStyles,
    touchStyles,
    screenStyles,
    css`
      .body {
        display: grid;
        grid-template-columns: minmax(0, 1fr) 330px;
        gap: var(--space-4);
        min-height: 0;
      }
      .chart {
        display: flex;
        flex-direction: column;
        min-height: 0;
        padding: var(--space-3);
        overflow: hidden;
      }
      kiosk-trace-chart {
        flex: 1 1 auto;
        min-width: 0;
        min-height: 0;
      }
      .counted {
        flex: none;
        overflow: hidden;
        text-overflow: ellipsis;
        white-space: nowrap;
      }
      .numbers {
        display: flex;
        flex-direction: column;
        min-height: 0;
        overflow: hidden;
        container-type: size;
      }
      .numbers > * + * {
        margin-top: var(--space-3);
      }
      .plan {
        font-size: var(--text-sentence);
        line-height: 1.2;
        white-space: nowrap;
      }
      .ware {
        font-size: var(--text-lead);
        line-height: 1.2;
        white-space: nowrap;
      }
      .ware small {
        font-size: var(--text-label);
      }
      .numbers > .ware {
        margin-top: 2px;
      }
      .two {
        display: flex;
        justify-content: space-between;
        gap: var(--space-2);
      }
      .figure .end {
        display: inline-grid;
        margin-left: var(--space-2);
        vertical-align: bottom;
        font-size: var(--text-lead);
        line-height: 1.1;
      }
      .end b {
        color: var(--color-ink);
        font-weight: var(--weight-strong);
      }
      .end b.below {
        color: var(--color-cool-text);
      }
      .end b.above {
        color: var(--color-warm-text);
      }
      .end span {
        margin-bottom: 3px;
        font-size: var(--text-caption);
      }
      .end i {
        font-style: normal;
      }
      .window {
        margin-top: var(--space-1);
        line-height: 1.25;
      }
      .below {
        color: var(--color-cool-text);
        font-weight: var(--weight-heavy);
      }
      .above {
        color: var(--color-warm-text);
        font-weight: var(--weight-heavy);
      }
      .rule {
        padding-top: var(--space-3);
        border-top: 2px solid var(--color-line);
      }
      .times {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: var(--space-3);
      }
      dt,
      .label {
        color: var(--color-ink-soft);
        font-size: var(--text-label);
        line-height: 1.25;
      }
      .figure {
        font-size: var(--text-figure);
        font-weight: var(--weight-heavy);
        letter-spacing: -0.02em;
        line-height: 1.1;
        white-space: nowrap;
      }
      .figure small {
        color: var(--color-ink-soft);
        font-size: var(--text-lead);
        font-weight: var(--weight-text);
        letter-spacing: 0;
      }
      .findings li {
        font-size: var(--text-label);
        line-height: 1.3;
      }
      .findings li + li {
        margin-top: var(--space-1);
      }
      .figure .note {
        display: inline-block;
        max-width: 9em;
        margin-left: var(--space-2);
        font-size: var(--text-caption);
        line-height: 1.1;
        white-space: normal;
      }
      .old .figure {
        color: var(--color-ink-soft);
        font-weight: var(--weight-text);
      }
      .give {
        width: 100%;
        font-size: var(--text-lead);
      }
      @media (max-height: 700px), (max-width: 1100px) {
        .body {
          grid-template-columns: minmax(0, 1fr) 262px;
        }
        .numbers > * + * {
          margin-top: var(--space-2);
        }
        .rule {
          padding-top: var(--space-2);
        }
        .findings,
        .explain {
          display: none;
        }
      }
      /* The bar draws the window and the interval, too: their words go first. */
      @container (max-height: 510px) {
        .window,
        .full .findings {
          display: none;
        }
      }
      .full:has(.findings) .window {
        display: none;
      }
      @container (max-height: 420px) {
        .end i {
          display: none;
        }
        .numbers .ware,
        .ware small {
          font-size: var(--text-label);
        }
        .full .times .figure {
          font-size: var(--text-title);
        }
      }
      @container (max-height: 372px) {
        .full kiosk-readout {
          --readout-size: 96px;
        }
      }
      @container (max-height: 345px) {
        .numbers kiosk-readout {
          --readout-size: 84px;
        }
        .full > * + * {
          margin-top: 5px;
        }
        .full .rule {
          padding-top: 5px;
        }
        .note {
          display: none !important;
        }
      }
      /* Something is said above the screen, and takes its room. */
      @container (max-height: 310px) {
        .numbers kiosk-readout {
          --readout-size: 70px;
        }
        .numbers .times .figure {
          font-size: var(--text-lead);
        }
        .numbers .rule > .figure {
          font-size: 28px;
        }
        .times > div {
          display: flex;
          align-items: baseline;
          justify-content: space-between;
        }
        .numbers .times {
          gap: var(--space-4);
        }
      }
      @container (max-height: 276px) {
        .full kiosk-readout {
          --readout-size: 52px;
        }
      }
      @media (max-width: 700px) {
        .numbers {
          container-type: normal;
        }
        .body {
          display: flex;
          flex-direction: column;
        }
        .numbers {
          order: -1;
          overflow: visible;
        }
        .chart {
          height: 360px;
        }
        .findings,
        .explain {
          display: block;
        }
      }
    `,
  ];

  constructor() {
    super();
    new Scanner(this, (scanned) => this.#takeJob(scanned));
  }

  protected override willUpdate(changed: PropertyValues<this>) {
    if (!changed.has("bake")) return;
    const { bake } = this;
    const isSame = changed.get("bake")?.bake.id === bake?.bake.id;
    const atSeconds = secondsOf(bake);
    const known = isSame ? this.#findingsSince : new Map();
    this.#steady = steadyOutlook(isSame ? this.#steady : null, bake?.outlook ?? null, atSeconds);
    this.#findingsSince = findingsSince(known, bake?.comparison?.findings ?? [], atSeconds);
  }

  protected override render() {
    const bake = this.bake && { ...this.bake, outlook: this.#steady?.shown ?? null };
    if (!bake) return nothing;
    const plan = bake.plan?.plan ?? null;
    const progress = plan && bakeProgress(plan, bake.samples, bake.comparison);
    const isOld = !this.hearsDaemon || this.ageSeconds === null || this.ageSeconds > STALE_AFTER_SECONDS;
    const faults = allFaults(bake.sensorFaults, this.furnace?.sensorFaults ?? []);
    const trust = readingTrust(faults);
    const isSilent = isOld && this.furnace?.link.kind !== "listening";
    const sentence = bakeSentence(
      { ...bake, comparison: this.#settled(bake) },
      this.unit,
      this.ageSeconds,
      this.hearsDaemon,
      isSilent ? [] : faults,
      this.#steady?.isSaid === true,
    );
    const counted = countedFaultsText(faults);
    const isBlind = isOld || trust.kind === "missing";
    const isBelieved = !isOld && trust.kind === "believed";
    // what is reckoned from a reading that nobody should act on is not to be acted on either
    const shown = isBelieved ? bake : { ...bake, outlook: null, ware: null };
    return html`
      <kiosk-bake-head .bake=${bake.bake}>
        ${
          progress
            ? html`<kiosk-stage-bars .bars=${progress.stageBars} .unit=${this.unit}></kiosk-stage-bars>`
            : nothing
        }
      </kiosk-bake-head>
      <div class="body">
        <section class="chart sheet" aria-label=${words.running.chart}>
          <kiosk-trace-chart
            .plan=${plan}
            .samples=${bake.samples}
            .comparison=${bake.comparison}
            .unit=${this.unit}
            .comingPeak=${shown.outlook?.peak ?? null}
            .isLive=${true}
          ></kiosk-trace-chart>
          ${counted ? html`<p class="counted caption soft">${counted}</p>` : nothing}
        </section>
        <section class="numbers ${isBlind ? "old" : shown.outlook || shown.ware ? "full" : ""}">
          ${this.#renderTemperature(progress, trust, isBelieved)}
          ${this.#renderWare(shown)} ${this.#renderRest(shown, progress, isBlind, sentence)}
        </section>
      </div>
      <kiosk-foot>
        <kiosk-sentence
          .text=${sentence.text}
          .detail=${sentence.detail}
          .needsPerson=${sentence.needsPerson}
          .isHot=${sentence.isHot === true}
        ></kiosk-sentence>
        <slot name="actions" slot="actions"></slot>
        <button slot="actions" class="act" @click=${() => this.dispatchEvent(new CustomEvent("bake-opened"))}>
          ${words.running.thisBake}
        </button>
        <button
          slot="actions"
          class="act"
          aria-pressed=${this.isQuiet}
          @click=${() => act(this, { kind: "quiet", bakeId: bake.bake.id, isQuiet: !this.isQuiet })}
        >
          ${this.isQuiet ? words.running.quietOn : words.running.quiet}
        </button>
      </kiosk-foot>
    `;
  }

  /** The comparison with those findings that have lasted. */
  #settled(bake: BakeInView): BakeInView["comparison"] {
    const { comparison } = bake;
    if (!comparison) return null;
    const findings = settledFindings(this.#findingsSince, comparison.findings, secondsOf(bake));
    return { ...comparison, findings };
  }

  #renderTemperature(progress: BakeProgress | null, trust: ReadingTrust, isBelieved: boolean) {
    return html`
      <kiosk-readout
        .celsius=${progress?.celsius ?? this.furnace?.latest?.sample.celsius ?? null}
        .unit=${this.unit}
        .ageSeconds=${this.ageSeconds}
        .trust=${trust}
      ></kiosk-readout>
      ${progress && isBelieved ? this.#renderDifference(progress) : nothing}
    `;
  }

  #renderDifference({ celsius, plannedCelsius, differenceKelvin }: BakeProgress) {
    if (celsius === null || plannedCelsius === null || differenceKelvin === null)
      return html`<p class="plan soft">${words.running.planFree}</p>`;
    const isColoured = Math.abs(differenceKelvin) >= COLOURED_KELVIN;
    const inUnit = (shown: number) => Number(temperatureText(shown, this.unit));
    const shownDifference = inUnit(celsius) - inUnit(plannedCelsius);
    const side = isColoured ? (differenceKelvin < 0 ? "below" : "above") : "";
    return html`<p class="plan">
      <span class="soft">${words.running.plan(temperatureText(plannedCelsius, this.unit))} ·</span>
      <span class=${side}>${differenceWords(shownDifference)}</span>
    </p>`;
  }

  #renderRest(bake: BakeInView, progress: BakeProgress | null, isOld: boolean, sentence: BakeSentence) {
    if (!progress) return this.#renderWithoutPlan(bake);
    return html`
      ${
        isOld
          ? nothing
          : html`<dl class="times rule">
              ${progress.countdowns.map((countdown) => this.#renderCountdown(countdown))}
            </dl>`
      }
      <div class="rule">${this.#renderHeatWork(bake, isOld)}</div>
      ${this.#renderFindings(bake, sentence)}
    `;
  }

  /** What the ware has taken up of the chamber's heat, as it is estimated; nothing where nobody knows the case. */
  #renderWare({ ware }: BakeInView) {
    if (!ware) return nothing;
    const { about, between } = wareText(ware, this.unit);
    return html`<p class="ware soft">${about}${between ? html`<small>, ${between}</small>` : nothing}</p>`;
  }

  /** Delivered so far, where it will end, and within what it should. */
  #renderHeatWork({ comparison, outlook, ware, window }: BakeInView, isOld: boolean) {
    const wareRatio = ware?.heatWorkRatio ?? null;
    const end = outlook?.asGoing ?? null;
    return html`
      <p class="label two">
        <span>${words.running.heatWork}</span>
        ${wareRatio === null ? nothing : html`<span>${heatWorkWords.ware(percentText(wareRatio))}</span>`}
      </p>
      <p class="figure">
        ${percentText(comparison?.heatWork.ratio ?? 0)}<small> ${words.running.heatWorkNow}</small>
        ${end ? this.#renderEnd(end, heatWorkSide(end.ratio, window)) : nothing}
        ${isOld || end || window ? nothing : html`<small class="note">${words.running.windowNoteBrief}</small>`}
      </p>
      <kiosk-heat-work-bar
        .ratio=${comparison?.heatWork.ratio ?? null}
        .window=${window}
        .end=${end}
        .wareRatio=${wareRatio}
      ></kiosk-heat-work-bar>
      ${
        window || end
          ? html`<p class="window caption soft">${window ? windowSentence(window) : words.running.windowNote}</p>`
          : nothing
      }
    `;
  }

  #renderEnd({ ratio, lowRatio, highRatio }: Outlook["asGoing"], side: string) {
    return html`<small class="end">
      <b class=${END_COLOURS[side] ?? ""}>${heatWorkWords.goingTo(percentText(ratio))}</b>
      <span
        >${heatWorkWords.atTheEnd}<i>, ${heatWorkWords.between(percentText(lowRatio), percentText(highRatio))}</i></span
      >
    </small>`;
  }

  #renderCountdown({ kind, seconds }: Countdown) {
    return html`<div>
      <dt>${COUNTDOWN_WORDS[kind]}</dt>
      <dd class="figure">${durationText(seconds)}</dd>
    </div>`;
  }

  /** What else was seen: the finding that the sentence below says already is left out. */
  #renderFindings({ comparison, outlook }: BakeInView, { finding: said }: BakeSentence) {
    const findings = (comparison?.findings ?? []).filter(({ code }) => code !== "as-planned");
    const others = findings.filter((finding) => finding !== said).slice(0, outlook ? 1 : 2);
    const stage = comparison?.stage;
    if (others.length === 0 || !stage) return nothing;
    return html`<ul class="findings rule" aria-label=${words.running.findings}>
      ${others.map((finding) => html`<li>${keptTogether(liveFindingSentence(finding, stage, this.unit))}</li>`)}
    </ul>`;
  }

  #renderWithoutPlan(bake: BakeInView) {
    const last = bake.samples.at(-1);
    const highest = bake.samples.reduce(
      (top, { celsius }) => Math.max(top, celsius),
      Number.NEGATIVE_INFINITY,
    );
    return html`
      <dl class="times rule">
        <div>
          <dt>${words.running.sinceBegin}</dt>
          <dd class="figure">${durationText(last?.atSeconds ?? 0)}</dd>
        </div>
        <div>
          <dt>${words.running.highest}</dt>
          <dd class="figure">${last ? temperatureText(highest, this.unit) : words.reading.noReading}</dd>
        </div>
      </dl>
      <div class="explain rule">
        <h2>${words.running.noPlan}</h2>
        <p class="soft">${words.running.noPlanHelp}</p>
      </div>
      <button class="act main give" @click=${() => this.dispatchEvent(new CustomEvent("plan-wanted"))}>
        ${words.running.givePlan}
      </button>
    `;
  }

  /** A scanned ticket names a bake that has no job number yet; it never overwrites one. */
  #takeJob(scanned: string) {
    const job = jobNumberSchema.safeParse(scanned);
    if (!this.bake || this.bake.bake.jobNumber !== null || !job.success) return;
    act(this, { kind: "change-bake", bakeId: this.bake.bake.id, patch: { jobNumber: job.data } });
  }
}

const COUNTDOWN_WORDS: Readonly<Record<Countdown["kind"], string>> = {
  "to-top": words.running.toTop,
  "late-for-top": words.running.lateForTop,
  "hold-left": words.running.holdLeft,
  "hold-over": words.running.holdOver,
  "since-top": words.running.sinceTop,
  "to-opening": words.running.toOpening,
  "to-hold-end": words.running.toHoldEnd,
};

/** Cool for too little, warm for too much; the bar says it in words. */
const END_COLOURS: Readonly<Record<string, string>> = { short: "below", excess: "above" };

/** Of its newest sample, s. */
function secondsOf(bake: BakeInView | null): number {
  return bake?.samples.at(-1)?.atSeconds ?? 0;
}

/** A difference in words, by the whole degrees that are shown: "12 below", "3 above", "on plan". */
function differenceWords(degrees: number): string {
  if (degrees === 0) return words.running.onPlan;
  return degrees < 0 ? words.running.below(String(-degrees)) : words.running.above(String(degrees));
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-running": KioskRunning;
  }
}
