import {
  type CurvePoint,
  DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE,
  heatWorkRate,
  type Kinetics,
} from "#core/heat/heat-work";
import { legs, type Plan, topCelsius } from "#core/plan/plan";
import { setpointCurve } from "#core/plan/setpoint";
import { decimate, type TimeWindow } from "#core/trace/decimate";
import { type Gap, gaps, type Sample, type Trace } from "#core/trace/trace";
import { type DifferencePiece, differenceArea } from "#kiosk-ui/chart/difference-area";
import { type ComingPeak, type LookAhead, lookAhead } from "#kiosk-ui/chart/look-ahead";
import { plannedVacuumWindow, type StageSpan, stageSpans } from "#kiosk-ui/chart/stage-spans";
import type { Comparison } from "#shared/comparison";

/** What the chart is asked to show. */
export interface ChartSubject {
  readonly plan: Plan | null;
  readonly samples: Trace;
  readonly comparison: Comparison | null;
  /** A second bake laid over the first. */
  readonly overlay: Trace | null;
  readonly overlayComparison: Comparison | null;
  readonly isLive: boolean;
  /** The peak that a running bake is coming to; null where nobody knows. */
  readonly comingPeak: ComingPeak | null;
  /** The stretch looked at; null for the whole bake. */
  readonly zoom: TimeWindow | null;
}

/** A stretch of temperature, °C. */
export interface CelsiusRange {
  readonly fromCelsius: number;
  readonly toCelsius: number;
}

/** Rate of heat work at a moment: 1 at the reference temperature. */
export interface RatePoint {
  readonly atSeconds: number;
  readonly rate: number;
}

/** The vacuum strip: when it was planned, when it was there, and how deep. */
export interface VacuumScene {
  readonly planned: TimeWindow | null;
  readonly actual: TimeWindow | null;
  readonly hectopascals: number | null;
  /** False when the bake is there and its pressure is not. */
  readonly isMeasured: boolean;
  readonly isStarted: boolean;
}

/** Everything that the chart draws, on the trace's time and in °C. */
export interface ChartScene {
  readonly window: TimeWindow;
  readonly range: CelsiusRange;
  readonly plan: readonly CurvePoint[];
  readonly bandKelvin: number;
  readonly trace: Trace;
  readonly overlay: Trace;
  readonly areas: readonly DifferencePiece[];
  readonly gaps: readonly Gap[];
  readonly stages: readonly StageSpan[];
  readonly vacuum: VacuumScene | null;
  readonly plannedRates: readonly RatePoint[];
  readonly deliveredRates: readonly RatePoint[];
  /** The top, close up: null while it is far, and while a stretch is looked at. */
  readonly top: { readonly window: TimeWindow; readonly range: CelsiusRange } | null;
  readonly newest: Sample | null;
  /** Where a running climb is going; null when there is none. */
  readonly ahead: LookAhead | null;
}

const BAND_KELVIN = 3;
const LEAST_RANGE_KELVIN = 24;
const RATE_STEP_SECONDS = 5;
const TOP_BEFORE_SECONDS = 60;
const TOP_AFTER_SECONDS = 25;

/**
 * What the chart draws of a bake.
 * @param columns pixel columns of the plot
 */
export function chartScene(subject: ChartSubject, columns: number): ChartScene {
  const { plan, samples, comparison, zoom } = subject;
  const zeroSeconds = comparison?.planZeroSeconds ?? 0;
  const shifted = (point: CurvePoint) => ({
    atSeconds: point.atSeconds + zeroSeconds,
    celsius: point.celsius,
  });
  const planCurve = plan ? setpointCurve(plan).map(shifted) : [];
  const overlay = alignedOverlay(subject, zeroSeconds);
  const newest = samples.at(-1) ?? null;
  const window = zoom ?? wholeWindow(planCurve, samples, overlay);
  const trace = decimate(samples, columns, zoom ?? undefined);
  const drawnOverlay = decimate(overlay, columns, zoom ?? undefined);
  const silences = comparison?.gaps ?? gaps(samples);
  const kinetics = chartKinetics(plan, comparison);
  return {
    window,
    range: celsiusRange([planCurve, trace, drawnOverlay], window),
    plan: planCurve,
    bandKelvin: comparison?.holds.at(-1)?.bandKelvin ?? BAND_KELVIN,
    trace,
    overlay: drawnOverlay,
    areas: differenceArea(trace, overlay.length > 0 ? drawnOverlay : planCurve, silences),
    gaps: silences,
    stages: plan ? stageSpans(plan, comparison, newest?.atSeconds ?? 0) : [],
    vacuum: vacuumScene(subject, zeroSeconds),
    plannedRates: kinetics ? ratesAlong(planCurve, kinetics) : [],
    deliveredRates: kinetics ? ratesOf(trace, kinetics) : [],
    top: zoom || !plan ? null : topCloseUp(plan, subject, zeroSeconds),
    newest,
    ahead: plan && subject.isLive ? ahead(plan, subject, newest) : null,
  };
}

/** To the peak that is foreseen, where the climb that runs leads there; else straight on. */
function ahead(plan: Plan, { samples, comparison, comingPeak }: ChartSubject, newest: Sample | null) {
  const ceiling = ceilingCelsius(plan, comparison, newest);
  const isLast = comparison?.stage.kind === "climb" && ceiling === topCelsius(plan);
  return lookAhead(samples, ceiling, isLast ? comingPeak : null);
}

/** Where the climb that runs is planned to stop. */
function ceilingCelsius(plan: Plan, comparison: Comparison | null, newest: Sample | null): number {
  const planLegs = legs(plan);
  const stage = comparison?.stage;
  const running = stage?.kind === "climb" ? planLegs[stage.index - 1] : undefined;
  const next = planLegs.find((leg) => leg.toCelsius > (newest?.celsius ?? 0));
  return (running ?? next)?.toCelsius ?? topCelsius(plan);
}

/** A second bake on the first one's time, so that both plans begin together. */
function alignedOverlay(subject: ChartSubject, zeroSeconds: number): Trace {
  if (!subject.overlay) return [];
  const shiftSeconds = zeroSeconds - (subject.overlayComparison?.planZeroSeconds ?? 0);
  if (shiftSeconds === 0) return subject.overlay;
  return subject.overlay.map((sample) => ({ ...sample, atSeconds: sample.atSeconds + shiftSeconds }));
}

function wholeWindow(...curves: readonly (readonly CurvePoint[])[]): TimeWindow {
  const ends = curves.flatMap((curve) => [curve[0]?.atSeconds ?? 0, curve.at(-1)?.atSeconds ?? 0]);
  const fromSeconds = Math.min(0, ...ends);
  return { fromSeconds, toSeconds: Math.max(fromSeconds + 60, ...ends) };
}

/** The temperatures that a window shows of some curves, with air above and below. */
export function celsiusRange(curves: readonly (readonly CurvePoint[])[], window: TimeWindow): CelsiusRange {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  const meet = (celsius: number) => {
    low = Math.min(low, celsius);
    high = Math.max(high, celsius);
  };
  for (const curve of curves) {
    for (const { atSeconds, celsius } of curve)
      if (atSeconds >= window.fromSeconds && atSeconds <= window.toSeconds) meet(celsius);
    for (const edgeSeconds of [window.fromSeconds, window.toSeconds]) {
      const celsius = celsiusAt(curve, edgeSeconds);
      if (celsius !== null) meet(celsius);
    }
  }
  if (low > high) return { fromCelsius: 0, toCelsius: 100 };
  const air = Math.max(0.05 * (high - low), (LEAST_RANGE_KELVIN - (high - low)) / 2, 2);
  return { fromCelsius: low - air, toCelsius: high + air };
}

/** A curve's temperature at a moment; null before its start and after its end. */
export function celsiusAt(curve: readonly CurvePoint[], atSeconds: number): number | null {
  const next = curve.findIndex((point) => point.atSeconds >= atSeconds);
  const to = curve[next];
  if (!to) return null;
  if (to.atSeconds === atSeconds) return to.celsius;
  const from = curve[next - 1];
  if (!from) return null;
  const share = (atSeconds - from.atSeconds) / (to.atSeconds - from.atSeconds);
  return from.celsius + share * (to.celsius - from.celsius);
}

function chartKinetics(plan: Plan | null, comparison: Comparison | null): Kinetics | null {
  if (comparison) return comparison.heatWork;
  if (!plan) return null;
  return {
    activationEnergyJoulesPerMole: DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE,
    referenceCelsius: topCelsius(plan),
  };
}

function ratesAlong(curve: readonly CurvePoint[], kinetics: Kinetics): RatePoint[] {
  const rates: RatePoint[] = [];
  for (const [index, to] of curve.entries()) {
    const from = curve[index - 1];
    if (!from) continue;
    const steps = Math.max(1, Math.ceil((to.atSeconds - from.atSeconds) / RATE_STEP_SECONDS));
    for (let step = index === 1 ? 0 : 1; step <= steps; step++) {
      const share = step / steps;
      const celsius = from.celsius + share * (to.celsius - from.celsius);
      const atSeconds = from.atSeconds + share * (to.atSeconds - from.atSeconds);
      rates.push({ atSeconds, rate: heatWorkRate(celsius, kinetics) });
    }
  }
  return rates;
}

function ratesOf(trace: Trace, kinetics: Kinetics): RatePoint[] {
  return trace.map(({ atSeconds, celsius }) => ({ atSeconds, rate: heatWorkRate(celsius, kinetics) }));
}

function vacuumScene(subject: ChartSubject, zeroSeconds: number): VacuumScene | null {
  const { plan, comparison, samples, isLive } = subject;
  const newest = samples.at(-1);
  const planned = plan ? plannedVacuumWindow(plan) : null;
  const actual = comparison?.vacuum.actual ?? null;
  const isMeasured =
    newest === undefined || (comparison?.vacuum.isMeasured ?? newest.hectopascals !== undefined);
  if (!planned && !actual && newest?.hectopascals === undefined) return null;
  const lowest = comparison || isLive ? null : lowestHectopascals(samples);
  return {
    planned: planned && {
      fromSeconds: planned.fromSeconds + zeroSeconds,
      toSeconds: planned.toSeconds + zeroSeconds,
    },
    actual: actual && {
      fromSeconds: actual.onAtSeconds,
      toSeconds: actual.releaseAtSeconds ?? newest?.atSeconds ?? actual.onAtSeconds,
    },
    hectopascals: (isLive ? newest?.hectopascals : (actual?.levelHectopascals ?? lowest)) ?? null,
    isMeasured,
    isStarted: newest !== undefined,
  };
}

function lowestHectopascals(samples: Trace): number | null {
  let lowest: number | null = null;
  for (const { hectopascals } of samples)
    if (hectopascals !== undefined && (lowest === null || hectopascals < lowest)) lowest = hectopascals;
  return lowest;
}

/** The last minute of the climb to the top, and the hold there. */
function topCloseUp(plan: Plan, subject: ChartSubject, zeroSeconds: number): ChartScene["top"] {
  const { comparison, samples } = subject;
  const planLegs = legs(plan);
  const place = planLegs.findIndex((leg) => leg.toCelsius === topCelsius(plan));
  const leg = planLegs[place];
  const newestSeconds = samples.at(-1)?.atSeconds;
  if (!leg || newestSeconds === undefined) return null;
  const plannedStartSeconds = zeroSeconds + leg.holdStartSeconds;
  const hold = comparison?.holds.find(({ index }) => index === place + 1)?.actual;
  const startSeconds = Math.min(plannedStartSeconds, hold?.startSeconds ?? plannedStartSeconds);
  if (newestSeconds < startSeconds - TOP_BEFORE_SECONDS) return null;
  const endSeconds = Math.max(
    zeroSeconds + leg.holdEndSeconds,
    hold ? hold.startSeconds + hold.lengthSeconds : plannedStartSeconds,
  );
  const overshootKelvin = Math.max(0, (comparison?.peakCelsius ?? leg.toCelsius) - leg.toCelsius);
  return {
    window: { fromSeconds: startSeconds - TOP_BEFORE_SECONDS, toSeconds: endSeconds + TOP_AFTER_SECONDS },
    range: {
      fromCelsius: leg.toCelsius - Math.min(50, Math.max(20, leg.kelvinPerMinute + 6)),
      toCelsius: leg.toCelsius + Math.max(9, overshootKelvin + 4),
    },
  };
}
