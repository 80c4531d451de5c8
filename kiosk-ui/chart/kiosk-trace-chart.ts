import { css, html, LitElement, type PropertyValues } from "lit";
import { customElement, property, query } from "lit/decorators.js";
import uPlot from "uplot";
import type { Plan } from "#core/plan/plan";
import type { TimeWindow } from "#core/trace/decimate";
import type { Sample } from "#core/trace/trace";
import { temperatureSplits, timeSplits } from "#kiosk-ui/chart/axis-splits";
import { type ChartFrame, isAcrossGap, write } from "#kiosk-ui/chart/chart-frame";
import { type ChartLayout, chartLayout } from "#kiosk-ui/chart/chart-layout";
import { type ChartPalette, chartPalette } from "#kiosk-ui/chart/chart-palette";
import { type ChartScene, type ChartSubject, chartScene } from "#kiosk-ui/chart/chart-scene";
import { chartSummary } from "#kiosk-ui/chart/chart-summary";
import { timeMark } from "#kiosk-ui/chart/chart-words";
import { drawNow, drawTop, drawUnderTrace } from "#kiosk-ui/chart/draw-scene";
import { drawHeatWork, drawVacuum } from "#kiosk-ui/chart/draw-strips";
import type { ComingPeak } from "#kiosk-ui/chart/look-ahead";
import { stageKey } from "#kiosk-ui/chart/stage-choices";
import { type StageSpan, stageSpans } from "#kiosk-ui/chart/stage-spans";
import { type TemperatureUnit, temperatureText, unitSign } from "#kiosk-ui/format";
import { baseStyles } from "#kiosk-ui/tokens/touch";
import type { Comparison } from "#shared/comparison";

/** Room for one mark of the temperature axis, in heights of its type. */
const TEMPERATURE_MARK_LINES = 2.5;
/** Room for one mark of the time axis, CSS px. */
const TIME_MARK_PIXELS = 82;
const SERIES_WIDTH = 3.6;

/**
 * A bake as a picture: plan dotted in its band, trace firm, the area between them warm above and cool below,
 * with vacuum, the rate of heat work, and the top close up. Fills the height that it is given.
 * The same in words stands beside it for those who do not see it.
 * @fires stage-looked-at {CustomEvent<string | null>} the key of a touched stage; the owner decides
 *
 *     plan ···  trace ──  now ●
 */
@customElement("kiosk-trace-chart")
export class KioskTraceChart extends LitElement {
  /** What the bake should do; null while it has no plan. */
  @property({ attribute: false }) plan: Plan | null = null;
  /** What was measured, in rising time; replaced when it grows. */
  @property({ attribute: false }) samples: readonly Sample[] = [];
  /** The bake beside its plan; its plan zero puts the plan on the trace's time. */
  @property({ attribute: false }) comparison: Comparison | null = null;
  /** A second bake to lay over the first, aligned where both plans begin. */
  @property({ attribute: false }) overlay: readonly Sample[] | null = null;
  /** The second bake's comparison, for the alignment. */
  @property({ attribute: false }) overlayComparison: Comparison | null = null;
  /** Unit of the temperature axis. */
  @property() unit: TemperatureUnit = "celsius";
  /** True while the bake runs: the newest sample gets a dot. */
  @property({ type: Boolean }) isLive = false;
  /** The peak that a running bake is coming to; null where nobody knows. */
  @property({ attribute: false }) comingPeak: ComingPeak | null = null;
  /** True where a touch on a stage looks at it alone; for finished bakes. */
  @property({ type: Boolean }) isZoomable = false;
  /** The stage looked at, by its key; null for the whole bake. */
  @property() zoomedStage: string | null = null;

  @query(".plot") private _plot: HTMLElement | undefined;

  #chart: uPlot | null = null;
  #layout: ChartLayout | null = null;
  #scene: ChartScene | null = null;
  #palette: ChartPalette | null = null;
  #frameRequest = 0;
  /** Reused from draw to draw. */
  readonly #seconds: number[] = [];
  readonly #celsius: (number | null)[] = [];
  readonly #sizes = new ResizeObserver(() => this.#drawSoon());
  readonly #themes = new MutationObserver(() => this.#drawSoon());
  readonly #darkness = matchMedia("(prefers-color-scheme: dark)");

  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        flex-direction: column;
        min-height: 0;
        font-family: var(--font-text);
        color: var(--color-ink);
      }
      .plot {
        position: relative;
        flex: 1 1 0;
        min-height: 140px;
        min-width: 0;
        overflow: hidden;
        touch-action: pan-y;
      }
      .uplot {
        position: absolute;
        inset: 0;
        line-height: 1.5;
      }
      .u-wrap {
        position: relative;
      }
      .u-over,
      .u-under {
        position: absolute;
        pointer-events: none;
      }
      canvas {
        display: block;
        position: relative;
        width: 100%;
        height: 100%;
      }
    `,
  ];

  override connectedCallback() {
    super.connectedCallback();
    this.#themes.observe(document.documentElement, { attributeFilter: ["data-theme", "style", "class"] });
    this.#darkness.addEventListener("change", this.#drawSoon);
    document.fonts?.addEventListener?.("loadingdone", this.#drawSoon);
    if (this._plot) this.#sizes.observe(this._plot);
    this.#drawSoon();
  }

  override disconnectedCallback() {
    super.disconnectedCallback();
    cancelAnimationFrame(this.#frameRequest);
    this.#frameRequest = 0;
    this.#sizes.disconnect();
    this.#themes.disconnect();
    this.#darkness.removeEventListener("change", this.#drawSoon);
    document.fonts?.removeEventListener?.("loadingdone", this.#drawSoon);
    this.#destroyChart();
  }

  protected override firstUpdated() {
    if (this._plot) this.#sizes.observe(this._plot);
  }

  protected override updated(_changed: PropertyValues) {
    this.#drawSoon();
  }

  protected override render() {
    return html`
      <div
        class="plot"
        role="img"
        aria-label=${chartSummary(this.#subject(), this.unit)}
        @click=${this.#onPlotClick}
      ></div>
    `;
  }

  #lookAt(stage: string | null) {
    this.dispatchEvent(new CustomEvent("stage-looked-at", { detail: stage, bubbles: true, composed: true }));
  }

  #onPlotClick(event: MouseEvent) {
    const chart = this.#chart;
    if (!this.isZoomable || !chart) return;
    if (this.zoomedStage !== null) {
      this.#lookAt(null);
      return;
    }
    const fromLeft = event.clientX - chart.over.getBoundingClientRect().left;
    const atSeconds = chart.posToVal(fromLeft, "x");
    const stage = this.#stages().find((span) => span.fromSeconds <= atSeconds && atSeconds < span.toSeconds);
    if (stage) this.#lookAt(stageKey(stage));
  }

  #stages(): StageSpan[] {
    return this.plan ? stageSpans(this.plan, this.comparison, this.samples.at(-1)?.atSeconds ?? 0) : [];
  }

  #subject(): ChartSubject {
    const { plan, samples, comparison, overlay, overlayComparison, isLive, comingPeak } = this;
    return { plan, samples, comparison, overlay, overlayComparison, isLive, comingPeak, zoom: this.#zoom() };
  }

  #zoom(): TimeWindow | null {
    if (!this.isZoomable || this.zoomedStage === null) return null;
    const stage = this.#stages().find((span) => stageKey(span) === this.zoomedStage);
    if (!stage) return null;
    const airSeconds = Math.max(5, (stage.toSeconds - stage.fromSeconds) * 0.08);
    return {
      fromSeconds: Math.max(0, stage.fromSeconds - airSeconds),
      toSeconds: stage.toSeconds + airSeconds,
    };
  }

  /** Draws with the next frame, however often it is asked until then. */
  readonly #drawSoon = () => {
    if (this.#frameRequest !== 0 || !this.isConnected) return;
    this.#frameRequest = requestAnimationFrame(() => {
      this.#frameRequest = 0;
      this.#draw();
    });
  };

  #draw() {
    const plot = this._plot;
    const width = plot?.clientWidth ?? 0;
    const height = plot?.clientHeight ?? 0;
    if (!plot || width < 80 || height < 80) return;
    this.#palette = chartPalette(this);
    const scene = chartScene(this.#subject(), Math.round(width * devicePixelRatio));
    this.#scene = scene;
    const shows = { vacuum: scene.vacuum !== null, heatWork: scene.plannedRates.length > 0 };
    const layout = chartLayout(width, height, shows);
    if (!this.#chart || !hasSameAxes(layout, this.#layout)) this.#createChart(plot, layout, width, height);
    this.#layout = layout;
    const chart = this.#chart;
    if (!chart) return;
    if (chart.width !== width || chart.height !== height) chart.setSize({ width, height });
    this.#fillSeries(scene);
    const { fromCelsius, toCelsius } = scene.range;
    chart.batch(() => {
      chart.setData([this.#seconds, this.#celsius], false);
      chart.setScale("x", { min: scene.window.fromSeconds, max: scene.window.toSeconds });
      chart.setScale("y", {
        min: fromCelsius - (toCelsius - fromCelsius) * this.#stripsShare(layout, height),
        max: toCelsius,
      });
    });
    chart.redraw(true, true);
  }

  /** Height of the strips as a share of the height that the curve has. */
  #stripsShare(layout: ChartLayout, height: number): number {
    const strips = layout.vacuumHeight + layout.heatWorkHeight;
    return strips / (height - layout.paddingTop - layout.timeAxisHeight - strips);
  }

  #fillSeries({ trace, gaps, window }: ChartScene) {
    this.#seconds.length = 0;
    this.#celsius.length = 0;
    const push = (atSeconds: number, celsius: number | null) => {
      this.#seconds.push(atSeconds);
      this.#celsius.push(celsius);
    };
    const first = trace[0];
    const last = trace.at(-1);
    if (!first || first.atSeconds > window.fromSeconds) push(window.fromSeconds, null);
    let from = first;
    for (const sample of trace) {
      if (from && from !== sample && isAcrossGap(from, sample, gaps))
        push((from.atSeconds + sample.atSeconds) / 2, null);
      push(sample.atSeconds, sample.celsius);
      from = sample;
    }
    if (!last || last.atSeconds < window.toSeconds) push(window.toSeconds, null);
  }

  #createChart(plot: HTMLElement, layout: ChartLayout, width: number, height: number) {
    this.#destroyChart();
    if (!document.createElement("canvas").getContext("2d")) return;
    const font = `${layout.fontPixels}px ${this.#palette?.fontFamily ?? "sans-serif"}`;
    const softInk = () => this.#palette?.softInk ?? "";
    const grid = { stroke: () => this.#palette?.line ?? "", width: 1 };
    this.#chart = new uPlot(
      {
        width,
        height,
        padding: [layout.paddingTop, layout.paddingRight, 0, 0],
        legend: { show: false },
        cursor: { show: false },
        select: { show: false, left: 0, top: 0, width: 0, height: 0 },
        scales: { x: { time: false, auto: false }, y: { auto: false } },
        axes: [
          {
            font,
            stroke: softInk,
            size: layout.timeAxisHeight,
            gap: 4,
            grid: { show: false },
            ticks: { show: false },
            splits: () => this.#timeSplits(),
            values: (_chart, splits) => splits.map(timeMark),
          },
          {
            font,
            stroke: softInk,
            size: layout.temperatureAxisWidth,
            gap: 8,
            grid,
            ticks: { show: false },
            splits: () => this.#temperatureSplits(),
            values: (_chart, splits) => splits.map((celsius) => temperatureText(celsius, this.unit)),
          },
        ],
        series: [
          {},
          {
            stroke: () => this.#palette?.ink ?? "",
            width: SERIES_WIDTH,
            points: { show: false },
            pxAlign: 0,
          },
        ],
        hooks: { drawAxes: [() => this.#drawUnder()], draw: [() => this.#drawOver()] },
      },
      [
        [0, 1],
        [null, null],
      ],
      plot,
    );
  }

  #destroyChart() {
    this.#chart?.destroy();
    this.#chart = null;
  }

  #timeSplits(): number[] {
    const widthPixels = (this.#chart?.bbox.width ?? 0) / devicePixelRatio;
    return this.#scene ? timeSplits(this.#scene.window, widthPixels / TIME_MARK_PIXELS) : [];
  }

  #temperatureSplits(): number[] {
    const frame = this.#frame();
    if (!frame || !this.#scene) return [];
    const marks = frame.box.height / frame.ratio / (frame.fontPixels * TEMPERATURE_MARK_LINES);
    const room = (frame.fontPixels * frame.ratio) / 2;
    return temperatureSplits(this.#scene.range, marks, this.unit).filter(
      (celsius) => frame.y(celsius) - frame.box.top > room,
    );
  }

  #drawUnder() {
    const frame = this.#frame();
    if (frame && this.#scene) drawUnderTrace(frame, this.#scene);
  }

  #drawOver() {
    const frame = this.#frame();
    const scene = this.#scene;
    const layout = this.#layout;
    if (!frame || !scene || !layout) return;
    const { box, ratio } = frame;
    write(frame, unitSign(this.unit), box.left - 8 * ratio, box.top - 4 * ratio, { align: "right" });
    const under = { left: box.left, width: box.width, top: box.top + box.height };
    if (scene.vacuum && layout.vacuumHeight > 0)
      drawVacuum(frame, { ...under, height: layout.vacuumHeight * ratio }, scene.vacuum);
    if (layout.heatWorkHeight > 0)
      drawHeatWork(
        frame,
        {
          ...under,
          top: under.top + layout.vacuumHeight * ratio,
          height: (layout.heatWorkHeight - 2) * ratio,
        },
        scene.plannedRates,
        scene.deliveredRates,
      );
    if (this.isLive && scene.newest) drawNow(frame, scene.newest);
    drawTop(frame, scene, this.unit, layout.inset, this.isLive);
  }

  /** The plot above the strips, with its scales. */
  #frame(): ChartFrame | null {
    const chart = this.#chart;
    const scene = this.#scene;
    const layout = this.#layout;
    const palette = this.#palette;
    const context = chart?.ctx;
    if (!chart || !context || !scene || !layout || !palette) return null;
    const ratio = devicePixelRatio;
    const strips = (layout.vacuumHeight + layout.heatWorkHeight) * ratio;
    const { left, top, width } = chart.bbox;
    const box = { left, top, width, height: chart.bbox.height - strips };
    const { window, range } = scene;
    const pixelsPerSecond = width / (window.toSeconds - window.fromSeconds);
    const pixelsPerKelvin = box.height / (range.toCelsius - range.fromCelsius);
    return {
      context,
      palette,
      ratio,
      fontPixels: layout.fontPixels,
      box,
      x: (atSeconds) => left + (atSeconds - window.fromSeconds) * pixelsPerSecond,
      y: (celsius) => top + (range.toCelsius - celsius) * pixelsPerKelvin,
    };
  }
}

/** True where a layout can keep the chart that was made for another. */
function hasSameAxes(one: ChartLayout, other: ChartLayout | null): boolean {
  return one.fontPixels === other?.fontPixels && one.temperatureAxisWidth === other.temperatureAxisWidth;
}

declare global {
  interface HTMLElementTagNameMap {
    "kiosk-trace-chart": KioskTraceChart;
  }
  interface HTMLElementEventMap {
    "stage-looked-at": CustomEvent<string | null>;
  }
}
