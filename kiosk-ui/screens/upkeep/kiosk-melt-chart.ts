import { css, html, LitElement, nothing, svg } from "lit";
import { customElement, property, query, state } from "lit/decorators.js";
import { decimate } from "#core/trace/decimate";
import type { Trace } from "#core/trace/trace";
import type { MeltPlateau } from "#core/upkeep/melt-plateau";
import { durationText, type TemperatureUnit, temperatureText, temperatureWithUnit } from "#kiosk-ui/format";
import { roundMarks } from "#kiosk-ui/screens/upkeep/drift-scene";
import { baseStyles } from "#kiosk-ui/tokens/touch";

const LEFT = 58;
const RIGHT = 18;
const TOP = 14;
const BOTTOM = 30;
/** At least so much is shown below and above the melting point, K. */
const BELOW_KELVIN = 45;
const ABOVE_KELVIN = 25;
/** The picture is at least so wide, s. */
const LEAST_SECONDS = 120;

/** The last minutes of a trace around a melting point, which is a dotted line; a plateau is a thick one. */
@customElement("kiosk-melt-chart")
export class KioskMeltChart extends LitElement {
  /** °C over seconds, uncorrected. */
  @property({ attribute: false }) samples: Trace = [];
  /** Where the metal melts, °C. */
  @property({ type: Number }) fixedPointCelsius = 0;
  /** The plateau, once there is one. */
  @property({ attribute: false }) plateau: MeltPlateau | null = null;
  /** Unit of temperatures. */
  @property() unit: TemperatureUnit = "celsius";
  /** The picture in words, for those who do not see it. */
  @property() summary = "";

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
        min-height: 150px;
        overflow: hidden;
      }
      svg {
        position: absolute;
        inset: 0;
        font: 15px var(--font-text);
        font-variant-numeric: tabular-nums;
      }
      text {
        fill: var(--color-ink-soft);
      }
      .grid {
        stroke: var(--color-line);
      }
      .melts {
        stroke: var(--color-ink);
        stroke-width: 2;
        stroke-dasharray: 2 6;
        stroke-linecap: round;
      }
      .trace {
        fill: none;
        stroke: var(--color-ink);
        stroke-width: 3.2;
        stroke-linejoin: round;
      }
      .plateau {
        stroke: var(--color-press);
        stroke-width: 9;
        stroke-linecap: round;
        opacity: 0.55;
      }
      .now {
        fill: var(--color-ink);
      }
      .firm {
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
    return html`<div class="plot" role="img" aria-label=${this.summary}>
      ${this._width > 100 && this._height > 80 ? this.#renderPicture() : nothing}
    </div>`;
  }

  #measure() {
    this._width = this._plot?.clientWidth ?? 0;
    this._height = this._plot?.clientHeight ?? 0;
  }

  #renderPicture() {
    const { samples, fixedPointCelsius, plateau, unit } = this;
    const newest = samples.at(-1);
    const toSeconds = newest?.atSeconds ?? LEAST_SECONDS;
    const fromSeconds = Math.min(samples[0]?.atSeconds ?? 0, toSeconds - LEAST_SECONDS);
    const high = Math.max(fixedPointCelsius + ABOVE_KELVIN, (newest?.celsius ?? 0) + 8);
    const low = fixedPointCelsius - BELOW_KELVIN;
    const right = this._width - RIGHT;
    const bottom = this._height - BOTTOM;
    const x = (at: number) => LEFT + ((at - fromSeconds) / (toSeconds - fromSeconds)) * (right - LEFT);
    const y = (celsius: number) => TOP + ((high - celsius) / (high - low)) * (bottom - TOP);
    const curve = decimate(samples, Math.max(1, Math.round(right - LEFT)))
      .map(({ atSeconds, celsius }) => `${x(atSeconds).toFixed(1)},${y(celsius).toFixed(1)}`)
      .join(" ");
    return html`<svg width=${this._width} height=${this._height} aria-hidden="true">
      ${marksOf(low, high, unit, (bottom - TOP) / 48).map(
        ({ celsius, text }) => svg`
          <line class="grid" x1=${LEFT} x2=${right} y1=${y(celsius)} y2=${y(celsius)}></line>
          <text x=${LEFT - 9} y=${y(celsius) + 5} text-anchor="end">${text}</text>`,
      )}
      <line class="melts" x1=${LEFT} x2=${right} y1=${y(fixedPointCelsius)} y2=${y(fixedPointCelsius)}></line>
      <text class="firm" x=${LEFT + 8} y=${y(fixedPointCelsius) - 9}>${temperatureWithUnit(fixedPointCelsius, unit, 1)}</text>
      ${
        plateau
          ? svg`<line class="plateau" x1=${x(plateau.fromSeconds)} x2=${x(plateau.toSeconds)} y1=${y(plateau.celsius)} y2=${y(plateau.celsius)}></line>`
          : nothing
      }
      <svg width=${this._width} height=${bottom}><polyline class="trace" points=${curve}></polyline></svg>
      ${newest && newest.celsius > low ? svg`<circle class="now" cx=${x(newest.atSeconds)} cy=${y(newest.celsius)} r="7"></circle>` : nothing}
      <text x=${LEFT} y=${this._height - 8}>−${durationText(toSeconds - fromSeconds)}</text>
      <text x=${right} y=${this._height - 8} text-anchor="end">0:00</text>
    </svg>`;
  }
}

/** Marks that are round in the unit shown. */
function marksOf(low: number, high: number, unit: TemperatureUnit, most: number) {
  const perKelvin = unit === "fahrenheit" ? 1.8 : 1;
  const zero = unit === "fahrenheit" ? 32 : 0;
  return roundMarks(low * perKelvin + zero, high * perKelvin + zero, most).map((mark) => {
    const celsius = (mark - zero) / perKelvin;
    return { celsius, text: temperatureText(celsius, unit) };
  });
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-melt-chart": KioskMeltChart;
  }
}
