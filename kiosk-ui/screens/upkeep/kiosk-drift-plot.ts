import { css, html, LitElement, nothing, svg } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import {
  differenceInUnit,
  differenceSign,
  numberText,
  signedText,
  type TemperatureUnit,
} from "#kiosk-ui/format";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { type DriftDot, type DriftScene, driftScene, roundMarks } from "#kiosk-ui/screens/upkeep/drift-scene";
import { driftSummary } from "#kiosk-ui/screens/upkeep/drift-summary";
import { checkDayText } from "#kiosk-ui/screens/upkeep/probe-text";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import type { Check } from "#shared/check";

const words = checkWords.drift;
const FONT_PIXELS = 15;

/** Where things stand in the picture, CSS px. */
interface Frame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly x: (atEpochMilliseconds: number) => number;
  readonly y: (kelvin: number) => number;
}

/**
 * How far a probe was off, check by check, with bars for the uncertainty: what was accepted is filled, what
 * is taken off readings since is a level line, the limit is dotted. The same in words for readers of screens.
 *
 *     ···········  limit
 *       ┼    ●───  accepted, taken off since
 *     ───────────  true
 */
@customElement("kiosk-drift-plot")
export class KioskDriftPlot extends LitElement {
  /** The checks of a furnace, in any order. */
  @property({ attribute: false }) checks: readonly Check[] = [];
  /** True while the last accepted check corrects the probe. */
  @property({ type: Boolean }) isCorrected = false;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** The wall clock, ms. */
  @property({ type: Number }) nowEpochMilliseconds = Date.now();
  /** True for a line of history in a list: no axes. */
  @property({ type: Boolean }) isBrief = false;

  @state() private _width = 0;
  @state() private _height = 0;
  @query(".plot") private _plot: HTMLElement | undefined;
  readonly #sizes = new ResizeObserver(() => this.#measure());

  static override styles = [
    baseStyles,
    css`
      :host {
        display: grid;
        min-width: 0;
        min-height: 0;
      }
      .plot {
        position: relative;
        min-width: 0;
        min-height: 0;
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
      .true {
        stroke: var(--color-line-firm);
      }
      .limit {
        stroke: var(--color-ink-soft);
        stroke-width: 1.5;
        stroke-dasharray: 1.5 5;
        stroke-linecap: round;
      }
      .run {
        fill: none;
        stroke: var(--color-line-firm);
        stroke-width: 1.5;
      }
      .bar {
        stroke: var(--color-ink);
        stroke-width: 2;
      }
      .level {
        stroke: var(--color-ink);
        stroke-width: 1.5;
        stroke-dasharray: 7 4;
      }
      .dot {
        fill: var(--color-sheet);
        stroke: var(--color-ink);
        stroke-width: 2.5;
      }
      .dot.accepted {
        fill: var(--color-ink);
      }
      .marked {
        fill: var(--color-ink);
        font-weight: var(--weight-strong);
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
    const scene = driftScene(this.checks, this.nowEpochMilliseconds, this.isCorrected);
    const summary = driftSummary(scene, this.nowEpochMilliseconds, this.unit);
    return html`<div class="plot" role="img" aria-label=${summary}>
      ${scene && this._width > 60 && this._height > 30 ? this.#renderPicture(scene) : nothing}
    </div>`;
  }

  #measure() {
    this._width = this._plot?.clientWidth ?? 0;
    this._height = this._plot?.clientHeight ?? 0;
  }

  #renderPicture(scene: DriftScene) {
    const frame = this.#frame(scene);
    const points = scene.dots.map(
      ({ atEpochMilliseconds, differenceKelvin }) =>
        `${frame.x(atEpochMilliseconds).toFixed(1)},${frame.y(differenceKelvin).toFixed(1)}`,
    );
    return html`<svg width=${this._width} height=${this._height} aria-hidden="true">
      ${this.isBrief ? nothing : this.#renderAxes(scene, frame)} ${this.#renderLimits(scene, frame)}
      ${scene.levels.map(({ fromEpochMilliseconds: from, toEpochMilliseconds: to, differenceKelvin }) =>
        level("level", frame.y(differenceKelvin), Math.max(frame.left, frame.x(from)), frame.x(to)),
      )}
      ${svg`<polyline class="run" points=${points.join(" ")}></polyline>`}
      ${scene.dots.map((dot) => this.#renderDot(dot, frame))}
    </svg>`;
  }

  #frame({ fromEpochMilliseconds: from, toEpochMilliseconds: to, lowKelvin, highKelvin }: DriftScene): Frame {
    const left = this.isBrief ? 8 : 52;
    const right = this._width - (this.isBrief ? 8 : 16);
    const top = this.isBrief ? 6 : 26;
    const bottom = this._height - (this.isBrief ? 6 : 28);
    return {
      left,
      right,
      top,
      bottom,
      x: (at) => left + 10 + ((at - from) / (to - from)) * (right - left - 20),
      y: (kelvin) => top + ((highKelvin - kelvin) / (highKelvin - lowKelvin)) * (bottom - top),
    };
  }

  #renderAxes(scene: DriftScene, frame: Frame) {
    const { unit } = this;
    const perKelvin = differenceInUnit(1, unit);
    const most = (frame.bottom - frame.top) / (FONT_PIXELS * 2.2);
    const marks = roundMarks(scene.lowKelvin * perKelvin, scene.highKelvin * perKelvin, most);
    const day = (at: number) => checkDayText(at, this.nowEpochMilliseconds);
    return svg`
      <text x=${frame.left - 8} y=${frame.top - 12} text-anchor="end">${differenceSign(unit)}</text>
      ${marks.map((mark) => {
        const y = frame.y(mark / perKelvin);
        return svg`${level("grid", y, frame.left, frame.right)}
          <text x=${frame.left - 8} y=${y + 5} text-anchor="end">${signedText(mark, Number.isInteger(mark) ? 0 : 1)}</text>`;
      })}
      <text x=${frame.left + 2} y=${frame.bottom + 21}>${day(scene.fromEpochMilliseconds)}</text>
      <text x=${frame.right} y=${frame.bottom + 21} text-anchor="end">${words.now}</text>`;
  }

  #renderLimits({ limitKelvin }: DriftScene, frame: Frame) {
    const limit = `± ${numberText(differenceInUnit(limitKelvin, this.unit), 1)} ${differenceSign(this.unit)}`;
    return svg`
      ${level("true", frame.y(0), frame.left, frame.right)}
      ${level("limit", frame.y(limitKelvin), frame.left, frame.right)}
      ${level("limit", frame.y(-limitKelvin), frame.left, frame.right)}
      ${this.isBrief ? nothing : svg`<text x=${frame.right} y=${frame.y(limitKelvin) - 7} text-anchor="end">${words.limit(limit)}</text>`}`;
  }

  #renderDot(dot: DriftDot, frame: Frame) {
    const x = frame.x(dot.atEpochMilliseconds);
    const y = frame.y(dot.differenceKelvin);
    const top = frame.y(dot.differenceKelvin + dot.expandedKelvin);
    const bottom = frame.y(dot.differenceKelvin - dot.expandedKelvin);
    const isAtRight = x > frame.right - 90;
    const cap = this.isBrief ? 3 : 6;
    return svg`
      <path class="bar" d=${`M${x} ${top}V${bottom}M${x - cap} ${top}h${2 * cap}M${x - cap} ${bottom}h${2 * cap}`}></path>
      <circle class=${dot.isAccepted ? "dot accepted" : "dot"} cx=${x} cy=${y} r=${this.isBrief ? 4 : 6}></circle>
      ${
        this.isBrief || !dot.isAccepted
          ? nothing
          : svg`<text class="marked" x=${isAtRight ? x - 11 : x + 11} y=${y - 9} text-anchor=${isAtRight ? "end" : "start"}>${words.accepted}</text>`
      }`;
  }
}

function level(name: string, y: number, fromX: number, toX: number) {
  return svg`<line class=${name} x1=${fromX.toFixed(1)} x2=${toX.toFixed(1)} y1=${y.toFixed(1)} y2=${y.toFixed(1)}></line>`;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-drift-plot": KioskDriftPlot;
  }
}
