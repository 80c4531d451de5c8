import { climbKelvinPerMinute, climbLagKelvin, stalledSeconds } from "#core/compare/climb";
import { type Finding, findings, missedEquivalentSeconds } from "#core/compare/findings";
import { clipped, HOLD_BAND_KELVIN, holdKept } from "#core/compare/hold";
import { type ComparisonUncertainty, comparisonUncertainty } from "#core/compare/measurement-uncertainty";
import { excursion } from "#core/compare/overshoot";
import { isPressureMeasured, plannedReleaseCelsius, type VacuumSeen, vacuumSeen } from "#core/compare/vacuum";
import {
  curveEquivalentSeconds,
  equivalentOffsetKelvin,
  heatWorkEquivalentSeconds,
  type Kinetics,
} from "#core/heat/heat-work";
import { type Leg, legs, type Plan, topCelsius, type VacuumRelease } from "#core/plan/plan";
import { setpointCurve } from "#core/plan/setpoint";
import type { Probe } from "#core/thermocouple/probe";
import { bakeSpan } from "#core/trace/bake-span";
import { firstRiseThrough } from "#core/trace/crossing";
import { despiked } from "#core/trace/despike";
import { noiseKelvin } from "#core/trace/noise";
import type { TracePoint } from "#core/trace/slope";
import { smoothed } from "#core/trace/smooth";
import { type FoundLeg, type FoundStages, stages } from "#core/trace/stages";
import { type Gap, gaps, type Trace, usualStepSeconds } from "#core/trace/trace";
import { trustedTrace } from "#core/trace/trusted";

/** Raised whenever the same trace and plan would be judged differently; kept with every verdict. */
export const COMPARISON_MODEL_VERSION = 2;

/** A led cooling is over this close above where it goes, K: what the furnace does then is not planned. */
const LED_TO_KELVIN = 3;

/** With more than this share of the heat work in gaps an equivalent offset would be a guess. */
const MOST_MISSED = 0.01;

/** The first kelvins of a cooling give its rate. */
const COOLING_RATE_KELVIN = 100;

/** Where a bake stands. */
export interface Stage {
  readonly kind: "drying" | "climb" | "hold" | "cooling" | "done";
  /** Which of its kind, counted from 1. */
  readonly index: number;
}

/** A planned climb beside the one measured. */
export interface ClimbComparison {
  readonly index: number;
  readonly fromCelsius: number;
  readonly toCelsius: number;
  readonly planned: {
    readonly startSeconds: number;
    readonly lengthSeconds: number;
    readonly kelvinPerMinute: number;
  };
  readonly actual: {
    readonly startSeconds: number;
    readonly lengthSeconds: number;
    readonly kelvinPerMinute: number | null;
    readonly isComplete: boolean;
  } | null;
  readonly lagKelvin: number | null;
}

/** A planned hold beside the one measured. */
export interface HoldComparison {
  readonly index: number;
  readonly celsius: number;
  readonly bandKelvin: number;
  readonly planned: { readonly startSeconds: number; readonly lengthSeconds: number };
  readonly actual: {
    readonly startSeconds: number;
    readonly lengthSeconds: number;
    readonly meanCelsius: number | null;
    readonly spreadKelvin: number | null;
    readonly secondsInBand: number;
    readonly isComplete: boolean;
  } | null;
  readonly isReached: boolean;
  readonly overshootKelvin: number;
  readonly overshootSeconds: number;
  readonly undershootKelvin: number;
}

/** The planned vacuum beside the one measured. */
export interface VacuumComparison {
  readonly planned: {
    readonly onAtCelsius: number;
    readonly levelHectopascals: number;
    readonly releaseCelsius: number;
    /** When air was to be let in, on the trace's time; null until that is known. */
    readonly releaseDueSeconds: number | null;
  } | null;
  readonly actual: VacuumSeen | null;
  readonly isMeasured: boolean;
}

/** Heat work planned and delivered, with the activation energy that every such number hangs on. */
export interface HeatWorkComparison {
  readonly referenceCelsius: number;
  readonly activationEnergyJoulesPerMole: number;
  readonly plannedEquivalentSeconds: number;
  readonly deliveredEquivalentSeconds: number;
  readonly ratio: number | null;
  readonly equivalentOffsetKelvin: number | null;
}

/** A bake beside its plan, stage by stage. All moments are on the trace's time. */
export interface Comparison {
  readonly modelVersion: number;
  readonly stage: Stage;
  /** Where the plan's zero stands on the trace's time: the first climbs are laid on each other. */
  readonly planZeroSeconds: number;
  readonly peakCelsius: number | null;
  readonly peakAtSeconds: number | null;
  /** Of all holds, the largest. */
  readonly overshootKelvin: number;
  readonly overshootSeconds: number;
  readonly undershootKelvin: number;
  readonly drying: {
    readonly planned: { readonly lengthSeconds: number };
    readonly actual: { readonly lengthSeconds: number } | null;
  };
  readonly climbs: readonly ClimbComparison[];
  readonly holds: readonly HoldComparison[];
  readonly cooling: {
    readonly planned: { readonly kelvinPerMinute: number | null; readonly toCelsius: number | null };
    readonly actual: {
      readonly startSeconds: number;
      readonly lengthSeconds: number;
      readonly kelvinPerMinute: number | null;
    } | null;
  };
  readonly vacuum: VacuumComparison;
  readonly heatWork: HeatWorkComparison;
  readonly gaps: readonly Gap[];
  /** In the order of what they did to the heat work. */
  readonly findings: readonly Finding[];
  /** Null where nothing is known of the probe. */
  readonly uncertainty: ComparisonUncertainty | null;
}

/** What a comparison cannot see in the trace itself. */
export interface ComparisonOptions {
  readonly activationEnergyJoulesPerMole: number;
  /** True when nothing more will come: what is missing then counts as missing. */
  readonly isFinished: boolean;
  /** True when the trace is known to begin with the drying, so that its length can be judged. */
  readonly startsWithDrying?: boolean | undefined;
  /** The probe that the bake ran with, for the uncertainty; it changes no other number. */
  readonly probe?: Probe | null | undefined;
}

/**
 * A measured trace beside its plan: live on what there is so far, and afterwards, by the same rules.
 *
 * Heat work counts the whole bake, cooling included. Where the plan leaves cooling free, planned and
 * delivered are both given the trace's own cooling, so that the ratio is not bent by what nobody planned;
 * the equivalent offset shifts only what was planned.
 * @param plan    any plan without refusing findings
 * @param trace   °C (and hPa) over seconds, in rising time; raw: spikes and noise are dealt with here
 * @throws RangeError when two samples are out of time order
 */
export function comparison(plan: Plan, trace: Trace, options: ComparisonOptions): Comparison {
  const planned = legs(plan);
  const { measured, clean, points, noise, wildReadings, otherBakes } = judgedPart(plan, planned, trace);
  const silences = gaps(measured);
  const curve = setpointCurve(plan);
  const found = stages(points, planned);
  const firstClimb = found.legs[0]?.climb ?? null;
  const planZeroSeconds = firstClimb ? firstClimb.startSeconds - (planned[0]?.climbStartSeconds ?? 0) : 0;
  const endSeconds = points.at(-1)?.atSeconds ?? 0;
  const peak = peakOf(points, firstClimb?.startSeconds ?? Number.NEGATIVE_INFINITY);
  const holds = planned.map((leg, index) =>
    holdBeside(leg, index, found, points, noise, endSeconds, planZeroSeconds),
  );
  const worst = holds.reduce<HoldComparison | null>(
    (most, hold) => (!most || hold.overshootKelvin > most.overshootKelvin ? hold : most),
    null,
  );
  const beforeFindings = {
    modelVersion: COMPARISON_MODEL_VERSION,
    stage: stageNow(found, options.isFinished),
    planZeroSeconds,
    peakCelsius: peak?.celsius ?? null,
    peakAtSeconds: peak?.atSeconds ?? null,
    overshootKelvin: worst?.overshootKelvin ?? 0,
    overshootSeconds: worst?.overshootSeconds ?? 0,
    undershootKelvin: Math.max(0, ...holds.map((hold) => hold.undershootKelvin)),
    drying: dryingBeside(planned[0], firstClimb?.startSeconds ?? null, trace, options),
    climbs: planned.map((leg, index) =>
      climbBeside(leg, index, found, points, curve, planZeroSeconds, endSeconds),
    ),
    holds,
    cooling: coolingBeside(plan, points, found.coolingStartSeconds, endSeconds),
    vacuum: vacuumBeside(plan, measured, points, holds),
    heatWork: heatWorkBeside(plan, clean, points, found, silences, options),
    gaps: silences,
    uncertainty: comparisonUncertainty(options.probe, {
      trace: clean,
      topCelsius: topCelsius(plan),
      holds,
      ratioIfHotter: (kelvin) =>
        heatWorkSums(plan, hotter(clean, kelvin), hotter(points, kelvin), found, silences, options).ratio,
    }),
  };
  const stalls = planned.map((leg, index) => stallOf(leg, found.legs[index], points, endSeconds));
  return {
    ...beforeFindings,
    findings: findings(beforeFindings, {
      trace: clean,
      usualStepSeconds: usualStepSeconds(measured),
      wildReadings,
      otherBakes,
      isStartSeen: firstClimb?.isStartSeen ?? true,
      stalledSeconds: stalls,
      isFinished: options.isFinished,
      plannedHeatWork: plannedByLeg(planned, kinetics(plan, options)),
    }),
  };
}

/** The part of a trace that is held against the plan, without what no chamber can have had. */
function judgedPart(plan: Plan, planned: readonly Leg[], trace: Trace) {
  const trusted = trustedTrace(trace);
  const noise = noiseKelvin(trusted.trace);
  const clean = despiked(trusted.trace, noise);
  const points = smoothed(clean, noise);
  const firstTopCelsius = planned[0]?.toCelsius ?? topCelsius(plan);
  const { first, end, otherBakes } = bakeSpan(points, plan.lowCelsius, firstTopCelsius, topCelsius(plan));
  return {
    measured: trusted.trace.slice(first, end),
    clean: clean.slice(first, end),
    points: points.slice(first, end),
    noise,
    wildReadings: trusted.wildReadings,
    otherBakes,
  };
}

function stallOf(
  leg: Leg,
  found: FoundLeg | undefined,
  points: readonly TracePoint[],
  endSeconds: number,
): number {
  if (!found?.climb) return 0;
  const { startSeconds, fromCelsius, endSeconds: reachedSeconds } = found.climb;
  const topCelsius = found.hold?.levelCelsius ?? leg.toCelsius;
  const softStartCelsius = fromCelsius + 0.1 * (topCelsius - fromCelsius);
  return stalledSeconds(
    points,
    startSeconds,
    reachedSeconds ?? endSeconds,
    softStartCelsius,
    topCelsius,
    leg.kelvinPerMinute,
  );
}

function kinetics(plan: Plan, options: ComparisonOptions): Kinetics {
  return {
    activationEnergyJoulesPerMole: options.activationEnergyJoulesPerMole,
    referenceCelsius: topCelsius(plan),
  };
}

function plannedByLeg(planned: readonly Leg[], how: Kinetics): { climb: number; hold: number }[] {
  return planned.map((leg) => ({
    climb: curveEquivalentSeconds(
      [
        { atSeconds: leg.climbStartSeconds, celsius: leg.fromCelsius },
        { atSeconds: leg.holdStartSeconds, celsius: leg.toCelsius },
      ],
      how,
    ),
    hold: curveEquivalentSeconds(
      [
        { atSeconds: leg.holdStartSeconds, celsius: leg.toCelsius },
        { atSeconds: leg.holdEndSeconds, celsius: leg.toCelsius },
      ],
      how,
    ),
  }));
}

function peakOf(points: readonly TracePoint[], fromSeconds: number): TracePoint | null {
  let peak: TracePoint | null = null;
  for (const point of points)
    if (point.atSeconds >= fromSeconds && (!peak || point.celsius > peak.celsius)) peak = point;
  return peak;
}

function stageNow(found: FoundStages, isFinished: boolean): Stage {
  if (isFinished) return { kind: "done", index: 1 };
  if (found.coolingStartSeconds !== null) return { kind: "cooling", index: 1 };
  const last = found.legs.findLastIndex((leg) => leg.climb !== null);
  if (last < 0) return { kind: "drying", index: 1 };
  return { kind: found.legs[last]?.hold ? "hold" : "climb", index: last + 1 };
}

function dryingBeside(
  first: Leg | undefined,
  climbStartSeconds: number | null,
  trace: Trace,
  options: ComparisonOptions,
): Comparison["drying"] {
  const start = trace[0];
  const isKnown = options.startsWithDrying === true && climbStartSeconds !== null && start !== undefined;
  return {
    planned: { lengthSeconds: first?.climbStartSeconds ?? 0 },
    actual: isKnown ? { lengthSeconds: climbStartSeconds - start.atSeconds } : null,
  };
}

function climbBeside(
  leg: Leg,
  index: number,
  found: FoundStages,
  points: readonly TracePoint[],
  curve: ReturnType<typeof setpointCurve>,
  planZeroSeconds: number,
  endSeconds: number,
): ClimbComparison {
  const seen: FoundLeg | undefined = found.legs[index];
  const climb = seen?.climb ?? null;
  const toSeconds = climb?.endSeconds ?? endSeconds;
  return {
    index: index + 1,
    fromCelsius: leg.fromCelsius,
    toCelsius: leg.toCelsius,
    planned: {
      startSeconds: leg.climbStartSeconds + planZeroSeconds,
      lengthSeconds: leg.holdStartSeconds - leg.climbStartSeconds,
      kelvinPerMinute: leg.kelvinPerMinute,
    },
    actual: climb && {
      startSeconds: climb.startSeconds,
      lengthSeconds: Math.max(0, toSeconds - climb.startSeconds),
      kelvinPerMinute: climbKelvinPerMinute(points, climb, leg.fromCelsius, topOf(leg, seen), toSeconds),
      isComplete: climb.endSeconds !== null,
    },
    lagKelvin: climb && climbLagKelvin(points, curve, planZeroSeconds, climb.startSeconds, toSeconds),
  };
}

/** Where a climb went: its planned top, or the peak where that was never reached, °C. */
function topOf(leg: Leg, seen: FoundLeg | undefined): number {
  return seen?.hold && !seen.hold.isReached ? seen.hold.levelCelsius : leg.toCelsius;
}

function holdBeside(
  leg: Leg,
  index: number,
  found: FoundStages,
  points: readonly TracePoint[],
  noise: number,
  endSeconds: number,
  planZeroSeconds: number,
): HoldComparison {
  const hold = found.legs[index]?.hold ?? null;
  const went = hold && excursion(points, hold, leg.toCelsius, noise, endSeconds);
  return {
    index: index + 1,
    celsius: leg.toCelsius,
    bandKelvin: HOLD_BAND_KELVIN,
    planned: { startSeconds: leg.holdStartSeconds + planZeroSeconds, lengthSeconds: leg.holdSeconds },
    actual: hold && holdKept(points, hold, leg.toCelsius, endSeconds),
    isReached: hold?.isReached ?? false,
    overshootKelvin: went?.overshootKelvin ?? 0,
    overshootSeconds: went?.overshootSeconds ?? 0,
    undershootKelvin: went?.undershootKelvin ?? 0,
  };
}

function coolingBeside(
  plan: Plan,
  points: readonly TracePoint[],
  startSeconds: number | null,
  endSeconds: number,
): Comparison["cooling"] {
  const steady = plan.cooling.kind === "steady" ? plan.cooling : null;
  return {
    planned: {
      kelvinPerMinute: steady?.kelvinPerMinute ?? null,
      toCelsius:
        steady?.toCelsius ?? (plan.cooling.kind === "free" ? (plan.cooling.openAtCelsius ?? null) : null),
    },
    actual:
      startSeconds === null
        ? null
        : {
            startSeconds,
            lengthSeconds: Math.max(0, endSeconds - startSeconds),
            kelvinPerMinute: coolingKelvinPerMinute(points, startSeconds, steady?.toCelsius ?? null),
          },
  };
}

/** Mean rate over the middle 80 % of the planned fall, or of the first 100 K where none is planned. */
function coolingKelvinPerMinute(
  points: readonly TracePoint[],
  startSeconds: number,
  toCelsius: number | null,
): number | null {
  const after = points.filter((point) => point.atSeconds >= startSeconds);
  const top = after[0];
  if (!top) return null;
  const fallKelvin = toCelsius === null ? COOLING_RATE_KELVIN : top.celsius - toCelsius;
  const upper = after.find((point) => point.celsius <= top.celsius - 0.1 * fallKelvin);
  const lower = after.find((point) => point.celsius <= top.celsius - 0.9 * fallKelvin);
  if (!upper || !lower || lower.atSeconds <= upper.atSeconds) return null;
  return ((upper.celsius - lower.celsius) / (lower.atSeconds - upper.atSeconds)) * 60;
}

function vacuumBeside(
  plan: Plan,
  trace: Trace,
  points: readonly TracePoint[],
  holds: readonly HoldComparison[],
): VacuumComparison {
  const releaseCelsius = plannedReleaseCelsius(plan);
  return {
    planned:
      plan.vacuum && releaseCelsius !== null
        ? {
            onAtCelsius: plan.vacuum.onAtCelsius,
            levelHectopascals: plan.vacuum.levelHectopascals,
            releaseCelsius,
            releaseDueSeconds: releaseDueSeconds(plan.vacuum.release, points, holds),
          }
        : null,
    actual: vacuumSeen(trace, points, plan.vacuum?.levelHectopascals ?? null),
    isMeasured: isPressureMeasured(trace),
  };
}

function releaseDueSeconds(
  release: VacuumRelease,
  points: readonly TracePoint[],
  holds: readonly HoldComparison[],
): number | null {
  if (release.kind === "at-temperature")
    return firstRiseThrough(points, release.celsius, 0)?.atSeconds ?? null;
  const hold = holds[release.hold - 1];
  if (!hold?.actual) return null;
  const { startSeconds, lengthSeconds, isComplete } = hold.actual;
  if (release.kind === "hold-start") return startSeconds;
  return startSeconds + (isComplete ? lengthSeconds : hold.planned.lengthSeconds);
}

function heatWorkBeside(
  plan: Plan,
  clean: Trace,
  points: readonly TracePoint[],
  found: FoundStages,
  silences: readonly Gap[],
  options: ComparisonOptions,
): HeatWorkComparison {
  const how = kinetics(plan, options);
  const { planned, delivered, unplanned, ratio } = heatWorkSums(
    plan,
    clean,
    points,
    found,
    silences,
    options,
  );
  return {
    ...how,
    plannedEquivalentSeconds: planned,
    deliveredEquivalentSeconds: delivered,
    ratio,
    equivalentOffsetKelvin:
      found.coolingStartSeconds === null ||
      missedEquivalentSeconds(clean, silences, how) > MOST_MISSED * planned
        ? null
        : equivalentOffsetKelvin(setpointCurve(plan), delivered - unplanned, how),
  };
}

function heatWorkSums(
  plan: Plan,
  clean: Trace,
  points: readonly TracePoint[],
  found: FoundStages,
  silences: readonly Gap[],
  options: ComparisonOptions,
) {
  const how = kinetics(plan, options);
  const delivered = heatWorkEquivalentSeconds(clean, how, silences);
  const unplanned = unplannedCooling(plan, clean, points, found.coolingStartSeconds, silences, how);
  const planned = curveEquivalentSeconds(setpointCurve(plan), how) + unplanned;
  return { planned, delivered, unplanned, ratio: planned > 0 ? delivered / planned : null };
}

/** The same readings, so many kelvins higher. */
function hotter<Point extends TracePoint>(points: readonly Point[], kelvin: number): Point[] {
  return points.map((point) => ({ ...point, celsius: point.celsius + kelvin }));
}

/** Heat work of the part of the cooling that the plan says nothing about, from the trace itself. */
function unplannedCooling(
  plan: Plan,
  clean: Trace,
  points: readonly TracePoint[],
  coolingStartSeconds: number | null,
  silences: readonly Gap[],
  how: Kinetics,
): number {
  const end = points.at(-1);
  if (coolingStartSeconds === null || !end) return 0;
  const ledTo =
    plan.cooling.kind === "steady" ? plan.cooling.toCelsius + LED_TO_KELVIN : Number.POSITIVE_INFINITY;
  const free = points.find((point) => point.atSeconds >= coolingStartSeconds && point.celsius <= ledTo);
  if (!free) return 0;
  const fromSeconds = plan.cooling.kind === "steady" ? free.atSeconds : coolingStartSeconds;
  return heatWorkEquivalentSeconds(clipped(clean, fromSeconds, end.atSeconds), how, silences);
}
