import { css, html, LitElement, nothing, svg } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds } from "#core/plan/setpoint";
import { temperatureSplits, timeSplits } from "#kiosk-ui/chart/axis-splits";
import { timeMark } from "#kiosk-ui/chart/chart-words";
import {
  durationText,
  type TemperatureUnit,
  temperatureText,
  temperatureWithUnit,
  unitSign,
} from "#kiosk-ui/format";
import {
  type DrawnPlan,
  type PlanCurveScene,
  planCurveScene,
  type RatePoint,
} from "#kiosk-ui/screens/plans/plan-curve-scene";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import { baseStyles } from "#kiosk-ui/tokens/touch";

const words = plansWords.curve;
const FONT_PIXELS = 15;
const LEFT = 50;
const RIGHT = 14;
const TOP = 26;
const TIME_AXIS = 28;
const VACUUM_LINE = 24;
const HEAT_WORK = 66;
/** A picture lower than this shows no strip of heat work. */
const LOWEST_WITH_HEAT_WORK = 270;
const TIME_MARK_PIXELS = 86;
/** A picture narrower than this names its strip in two words. */
const NARROW_PIXELS = 400;
/** A top that ends later than this share of the picture is at its end. */
const LATE_FRACTION = 0.8;
/** Room for the temperature beside the top, CSS px. */
const MARK_PIXELS = 90;

/** Where things stand in the picture, CSS px. */
interface Frame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  /** The lower end of the curve; strips and time axis are under it. */
  readonly bottom: number;
  readonly vacuumTop: number;
  readonly heatWorkTop: number;
  readonly heatWorkHeight: number;
  readonly timeTop: number;
  readonly x: (atSeconds: number) => number;
  readonly y: (celsius: number) => number;
}

/**
 * A plan as a curve, over another where there is one: the other dotted in its band, this one firm, with the
 * vacuum of both and where the heat work is done. The same in words for readers of screens.
 *
 *     base ···   plan ──   vacuum ▬▬   heat work ▟▙
 */
@customElement("kiosk-plan-curve")
export class KioskPlanCurve extends LitElement {
  /** The plan. */
  @property({ attribute: false }) plan: Plan | null = null;
  /** What it is laid over; null for nothing. */
  @property({ attribute: false }) base: Plan | null = null;
  /** What the two lines are, for the legend; both empty for none. */
  @property() planName = "";
  @property() baseName = "";
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** Of the heat work, J/mol. */
  @property({ type: Number }) activationEnergyJoulesPerMole = DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE;
  /** True for a sketch in a list: the line alone. */
  @property({ type: Boolean }) isBrief = false;

  @state() private _width = 0;
  @state() private _height = 0;
  @query(".plot") private _plot: HTMLElement | undefined;
  readonly #sizes = new ResizeObserver(() => this.#measure());

  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        flex-direction: column;
        min-width: 0;
        min-height: 0;
      }
      .legend {
        display: flex;
        flex-wrap: wrap;
        gap: 0 var(--space-4);
        font-size: var(--text-caption);
        color: var(--color-ink-soft);
      }
      .legend li {
        display: flex;
        align-items: center;
        gap: var(--space-2);
      }
      .legend svg {
        position: static;
        flex: none;
      }
      .plot {
        position: relative;
        flex: 1 1 auto;
        min-width: 0;
        min-height: 40px;
        overflow: hidden;
      }
      svg {
        position: absolute;
        inset: 0;
        display: block;
        font: 15px var(--font-text);
        font-variant-numeric: tabular-nums;
      }
      text {
        fill: var(--color-ink-soft);
      }
      .grid {
        stroke: var(--color-line);
      }
      .band {
        fill: none;
        stroke: var(--color-band);
        stroke-width: 11;
        stroke-linejoin: round;
      }
      .base {
        fill: none;
        stroke: var(--color-ink-soft);
        stroke-width: 2;
        stroke-dasharray: 1.5 5;
        stroke-linecap: round;
        stroke-linejoin: round;
      }
      .plan {
        fill: none;
        stroke: var(--color-ink);
        stroke-width: 3.4;
        stroke-linejoin: round;
        stroke-linecap: round;
      }
      .brief .plan {
        stroke-width: 2;
        stroke: var(--color-ink-soft);
      }
      .mark {
        fill: var(--color-ink);
        font-weight: var(--weight-strong);
        paint-order: stroke;
        stroke: var(--color-sheet);
        stroke-width: 4;
        stroke-linejoin: round;
      }
      .vacuum {
        fill: var(--color-line-firm);
      }
      .vacuum.under {
        fill: none;
        stroke: var(--color-line-firm);
        stroke-dasharray: 2 3;
      }
      .work {
        fill: var(--color-ink-soft);
        fill-opacity: 0.75;
      }
    `,
  ];

  override connectedCallback(): void {
    super.connectedCallback();
    if (this._plot) this.#sizes.observe(this._plot);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#sizes.disconnect();
  }

  protected override firstUpdated() {
    if (this._plot) this.#sizes.observe(this._plot);
    this.#measure();
  }

  protected override render() {
    const { plan, base } = this;
    if (!plan) return nothing;
    const scene = planCurveScene(plan, base, this.activationEnergyJoulesPerMole);
    return html`
      ${this.isBrief || !this.planName ? nothing : this.#renderLegend()}
      <div
        class="plot ${this.isBrief ? "brief" : ""}"
        role=${this.isBrief ? nothing : "img"}
        aria-hidden=${this.isBrief ? "true" : nothing}
        aria-label=${this.isBrief ? nothing : this.#summary(plan)}
      >
        ${this._width > 40 && this._height > 30 ? this.#renderPicture(scene) : nothing}
      </div>
    `;
  }

  #measure() {
    this._width = this._plot?.clientWidth ?? 0;
    this._height = this._plot?.clientHeight ?? 0;
  }

  #summary(plan: Plan): string {
    const said = (one: Plan, name: string) =>
      words.summary(
        name || words.plan,
        temperatureWithUnit(topCelsius(one), this.unit),
        durationText(planLengthSeconds(one)),
      );
    return [said(plan, this.planName), ...(this.base ? [said(this.base, this.baseName)] : [])].join(" ");
  }

  #renderLegend() {
    return html`<ul class="legend" aria-hidden="true">
      ${this.base ? html`<li>${sample("base")}${this.baseName}</li>` : nothing}
      <li>${sample("plan")}${this.planName}</li>
    </ul>`;
  }

  #renderPicture(scene: PlanCurveScene) {
    const frame = this.isBrief ? this.#briefFrame(scene) : this.#frame(scene);
    const points = ({ curve }: DrawnPlan) =>
      curve.map(({ atSeconds, celsius }) => `${px(frame.x(atSeconds))},${px(frame.y(celsius))}`).join(" ");
    return html`<svg width=${this._width} height=${this._height} aria-hidden="true">
      ${this.isBrief ? nothing : this.#renderAxes(scene, frame)}
      ${
        scene.base
          ? svg`<polyline class="band" points=${points(scene.base)}></polyline>
              <polyline class="base" points=${points(scene.base)}></polyline>`
          : nothing
      }
      ${this.isBrief ? nothing : this.#renderVacuum(scene, frame)}
      ${this.isBrief ? nothing : this.#renderHeatWork(scene, frame)}
      ${svg`<polyline class="plan" points=${points(scene.plan)}></polyline>`}
      ${this.isBrief ? nothing : this.#renderTop(scene, frame)}
    </svg>`;
  }

  #briefFrame({ toSeconds, range }: PlanCurveScene): Frame {
    const bottom = this._height - 4;
    return {
      left: 3,
      right: this._width - 3,
      top: 4,
      bottom,
      vacuumTop: bottom,
      heatWorkTop: bottom,
      heatWorkHeight: 0,
      timeTop: bottom,
      x: (at) => 3 + (at / toSeconds) * (this._width - 6),
      y: (celsius) => bottom - ((celsius - range.fromCelsius) / span(range)) * (bottom - 4),
    };
  }

  #frame({ toSeconds, range, plan, base }: PlanCurveScene): Frame {
    const right = this._width - (isMarkAtEnd(plan, base, toSeconds) ? MARK_PIXELS : RIGHT);
    const timeTop = this._height - TIME_AXIS;
    const heatWorkHeight = this._height >= LOWEST_WITH_HEAT_WORK ? HEAT_WORK : 0;
    const heatWorkTop = timeTop - heatWorkHeight;
    const vacuumHeight = plan.vacuum || base?.vacuum ? VACUUM_LINE : 0;
    const vacuumTop = heatWorkTop - vacuumHeight;
    const bottom = vacuumTop - 4;
    return {
      left: LEFT,
      right,
      top: TOP,
      bottom,
      vacuumTop,
      heatWorkTop,
      heatWorkHeight,
      timeTop,
      x: (at) => LEFT + (at / toSeconds) * (right - LEFT),
      y: (celsius) => bottom - ((celsius - range.fromCelsius) / span(range)) * (bottom - TOP),
    };
  }

  #renderAxes({ range, toSeconds }: PlanCurveScene, frame: Frame) {
    const marks = (frame.bottom - frame.top) / (FONT_PIXELS * 2.4);
    const width = frame.right - frame.left;
    return svg`
      <text x=${frame.left - 9} y=${frame.top - 10} text-anchor="end">${unitSign(this.unit)}</text>
      ${temperatureSplits(range, marks, this.unit)
        .filter((celsius) => frame.y(celsius) > frame.top + 6)
        .map((celsius) => {
          const y = frame.y(celsius);
          return svg`<line class="grid" x1=${frame.left} x2=${frame.right} y1=${px(y)} y2=${px(y)}></line>
            <text x=${frame.left - 9} y=${px(y + 5)} text-anchor="end">${temperatureText(celsius, this.unit)}</text>`;
        })}
      <line class="grid" x1=${frame.left} x2=${frame.right} y1=${frame.timeTop} y2=${frame.timeTop}></line>
      ${timeSplits({ fromSeconds: 0, toSeconds }, width / TIME_MARK_PIXELS)
        .filter((at) => frame.x(at) < frame.right - 16)
        .map(
          (at) =>
            svg`<text x=${px(frame.x(at))} y=${frame.timeTop + 21} text-anchor=${at === 0 ? "start" : "middle"}>${timeMark(at)}</text>`,
        )}`;
  }

  #renderVacuum({ plan, base }: PlanCurveScene, frame: Frame) {
    const bar = (name: string, window: DrawnPlan["vacuum"], y: number, height: number) =>
      window
        ? svg`<rect class=${name} x=${px(frame.x(window.fromSeconds))} y=${y} height=${height} rx="3"
            width=${px(Math.max(2, frame.x(window.toSeconds) - frame.x(window.fromSeconds)))}></rect>`
        : nothing;
    if (!plan.vacuum && !base?.vacuum) return nothing;
    const first = Math.min(
      ...[plan.vacuum, base?.vacuum].flatMap((window) => (window ? [window.fromSeconds] : [])),
    );
    return svg`
      <text x=${px(frame.x(first) - 9)} y=${frame.vacuumTop + 14} text-anchor="end">${words.vacuum}</text>
      ${bar("vacuum under", base?.vacuum ?? null, frame.vacuumTop + 2, 14)}
      ${bar("vacuum", plan.vacuum, frame.vacuumTop + 5, 8)}`;
  }

  #renderHeatWork({ plan, base, mostRate }: PlanCurveScene, frame: Frame) {
    if (frame.heatWorkHeight === 0) return nothing;
    const y = (rate: number) => frame.timeTop - (rate / mostRate) * (frame.heatWorkHeight - 10);
    const points = (rates: readonly RatePoint[]) =>
      rates.map(({ atSeconds, rate }) => `${px(frame.x(atSeconds))},${px(y(rate))}`).join(" ");
    const end = plan.rates.at(-1)?.atSeconds ?? 0;
    return svg`
      <text x=${frame.left} y=${frame.heatWorkTop + 16}>
        ${this._width < NARROW_PIXELS ? words.heatWorkBrief : words.heatWork}
      </text>
      <polygon class="work" points="${px(frame.x(0))},${frame.timeTop} ${points(plan.rates)} ${px(frame.x(end))},${frame.timeTop}"></polygon>
      ${base ? svg`<polyline class="base" points=${points(base.rates)}></polyline>` : nothing}`;
  }

  /** The top of the plan by its temperature: away from the other curve, and over the line where there is no room. */
  #renderTop({ plan, base }: PlanCurveScene, frame: Frame) {
    const isLater = isTopLater(plan, base);
    const from = frame.x(plan.top.atSeconds);
    const to = frame.x(plan.topEndSeconds);
    const y = frame.y(plan.top.celsius);
    const [x, height, anchor] =
      isLater && to + MARK_PIXELS <= this._width + RIGHT
        ? [to + 10, y + 5, "start"]
        : from - frame.left > MARK_PIXELS && !isLater
          ? [from - 10, y + 5, "end"]
          : [to, y - 10, "end"];
    return svg`<text class="mark" x=${px(x)} y=${px(height)} text-anchor=${anchor}>${temperatureWithUnit(plan.top.celsius, this.unit)}</text>`;
  }
}

/** True where the top comes after the other's: its mark stands on the right then. */
function isTopLater(plan: DrawnPlan, base: DrawnPlan | null): boolean {
  return base !== null && plan.top.atSeconds >= base.top.atSeconds;
}

/** True where such a mark would stand at the very end, which then needs room. */
function isMarkAtEnd(plan: DrawnPlan, base: DrawnPlan | null, toSeconds: number): boolean {
  return isTopLater(plan, base) && plan.topEndSeconds > LATE_FRACTION * toSeconds;
}

function span({ fromCelsius, toCelsius }: PlanCurveScene["range"]): number {
  return toCelsius - fromCelsius;
}

function px(value: number): string {
  return value.toFixed(1);
}

function sample(name: "base" | "plan") {
  return html`<svg width="34" height="12">
    ${name === "base" ? svg`<line class="band" x1="2" x2="32" y1="6" y2="6"></line>` : nothing}
    ${svg`<line class=${name} x1="2" x2="32" y1="6" y2="6"></line>`}
  </svg>`;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-plan-curve": KioskPlanCurve;
  }
}
