import type { Comparison } from "#core/compare/comparison";
import { type Leg, legs, type Plan } from "#core/plan/plan";
import { firstRiseThrough, lastFallThrough, momentAround } from "#core/trace/crossing";
import type { TracePoint } from "#core/trace/slope";

/** A furnace's ways are kept in steps of this length, s. */
export const MEMORY_STEP_SECONDS = 2;

/**
 * A hold is remembered from where the climb passes this far below it, K: the corner into a hold is the
 * furnace's own way, and where it lies hangs on how it creeps; a passage is the same for all.
 */
const PASSAGE_KELVIN = 10;

/** The rate of a cooling is that of so many kelvins below that level. */
const RATE_KELVIN = 30;

/** A chamber follows its set point by about this, s; the same for all bakes, so that its size matters little. */
const LAG_SECONDS = 5;

/** A passage is told by the readings so far to either side of it, s. */
const PASSING_SECONDS = 5;

/** A cooling is remembered for so long, s: by then it does no heat work any more. */
const COOLING_SECONDS = 360;

/** How a furnace went into a hold and kept it. */
export interface RememberedHold {
  readonly celsius: number;
  /** As planned: the climb before it, K/min, and its own length, s. */
  readonly kelvinPerMinute: number;
  readonly plannedSeconds: number;
  /** From the passage below the hold to its end, s. */
  readonly lengthSeconds: number;
  /** Its end after what the plan says, counted from the start of its climb, s. */
  readonly lateSeconds: number;
  /** Readings minus the planned temperature, K, in steps from the passage to the end. */
  readonly deviationsKelvin: readonly number[];
}

/** How a furnace cooled from its last hold. */
export interface RememberedCooling {
  readonly kind: Plan["cooling"]["kind"];
  /** As planned; null for a free cooling. */
  readonly kelvinPerMinute: number | null;
  /** The corner that a comparison finds, s after the furnace was told to cool: free cooling counts from there. */
  readonly cornerSeconds: number;
  /** Readings minus the last hold's planned temperature, K, in steps from when it was told to cool, about. */
  readonly fallsKelvin: readonly number[];
}

/** What a furnace's earlier bake tells of its ways: its holds by climb, null where one tells nothing. */
export interface RememberedBake {
  readonly holds: readonly (RememberedHold | null)[];
  readonly cooling: RememberedCooling | null;
}

/**
 * What a finished bake tells of its furnace's ways.
 * @param trace       as it was recorded
 * @param comparison  of this trace with this plan
 * @returns null when it tells nothing: no hold of it was come near to
 */
export function rememberedBake(
  plan: Plan,
  trace: readonly TracePoint[],
  comparison: Comparison,
): RememberedBake | null {
  const last = legs(plan).at(-1);
  if (!last) return null;
  const cooling = coolingStart(plan, last, trace);
  const holds = legs(plan).map((leg, index) => rememberedHold(leg, index, trace, comparison, cooling));
  const bake = {
    holds,
    cooling:
      cooling === null
        ? null
        : rememberedCooling(plan, trace, last, cooling, comparison.cooling.actual?.startSeconds ?? cooling),
  };
  return holds.some((hold) => hold !== null) ? bake : null;
}

/**
 * When the climb to a hold passed the level from which holds are remembered, s; null when it has not.
 * @param climbStartSeconds  of the climb to this hold, on the trace's time
 */
export function passageSeconds(
  leg: Leg,
  trace: readonly TracePoint[],
  climbStartSeconds: number,
): number | null {
  const level = passageCelsius(leg);
  // Two in a row: a lone spike is no passage.
  const index = trace.findIndex(
    (point, at) =>
      point.atSeconds >= climbStartSeconds &&
      point.celsius >= level &&
      (trace[at + 1]?.celsius ?? Number.NEGATIVE_INFINITY) >= level,
  );
  const crossing = index < 0 ? null : firstRiseThrough(trace, level, index);
  return crossing && momentAround(trace, crossing, level, PASSING_SECONDS);
}

/** The level from which a hold is remembered, °C. */
export function passageCelsius(leg: Leg): number {
  return leg.toCelsius - Math.min(PASSAGE_KELVIN, 0.3 * Math.abs(leg.toCelsius - leg.fromCelsius));
}

function rememberedHold(
  leg: Leg,
  index: number,
  trace: readonly TracePoint[],
  { holds, climbs }: Comparison,
  coolingStartSeconds: number | null,
): RememberedHold | null {
  const hold = holds[index]?.actual;
  const climb = climbs[index]?.actual;
  if (!hold?.isComplete || !climb) return null;
  const passage = passageSeconds(leg, trace, climb.startSeconds);
  const isLast = index === holds.length - 1;
  const end = isLast ? coolingStartSeconds : hold.startSeconds + hold.lengthSeconds;
  if (passage === null || end === null) return null;
  const deviations = stepMeans(trace, passage, end - passage);
  return (
    deviations && {
      celsius: leg.toCelsius,
      kelvinPerMinute: leg.kelvinPerMinute,
      plannedSeconds: leg.holdSeconds,
      lengthSeconds: end - passage,
      lateSeconds: end - (climb.startSeconds + leg.holdEndSeconds - leg.climbStartSeconds),
      deviationsKelvin: deviations.map((celsius) => celsius - leg.toCelsius),
    }
  );
}

/**
 * When the furnace was told to cool, about: reckoned back from where the trace fell through a level, at the
 * rate at which it fell. The corner itself lies elsewhere for every overshoot; only differences between bakes
 * of one furnace count here.
 */
function coolingStart(plan: Plan, last: Leg, trace: readonly TracePoint[]): number | null {
  const upperCelsius = last.toCelsius - PASSAGE_KELVIN;
  const upper = lastFallThrough(trace, upperCelsius, 0);
  const lower = lastFallThrough(trace, upperCelsius - RATE_KELVIN, 0);
  if (!upper || !lower || lower.atSeconds <= upper.atSeconds) return null;
  const upperSeconds = momentAround(trace, upper, upperCelsius, PASSING_SECONDS);
  const lowerSeconds = momentAround(trace, lower, upperCelsius - RATE_KELVIN, PASSING_SECONDS);
  const secondsPerKelvin = (lowerSeconds - upperSeconds) / RATE_KELVIN;
  const fellLevelSeconds = upperSeconds - PASSAGE_KELVIN * secondsPerKelvin;
  // A led cooling starts from the planned temperature, a free one from where the chamber is.
  const above =
    plan.cooling.kind === "steady"
      ? 0
      : meanBetween(trace, fellLevelSeconds - 15, fellLevelSeconds - 5) - last.toCelsius;
  return fellLevelSeconds - above * secondsPerKelvin - LAG_SECONDS;
}

function meanBetween(trace: readonly TracePoint[], fromSeconds: number, toSeconds: number): number {
  const inside = trace.filter(({ atSeconds }) => atSeconds >= fromSeconds && atSeconds <= toSeconds);
  return inside.reduce((sum, { celsius }) => sum + celsius / inside.length, 0);
}

function rememberedCooling(
  plan: Plan,
  trace: readonly TracePoint[],
  last: Leg,
  startSeconds: number,
  cornerSeconds: number,
): RememberedCooling | null {
  const end = trace.at(-1)?.atSeconds ?? 0;
  const means = stepMeans(trace, startSeconds, Math.min(COOLING_SECONDS, end - startSeconds));
  return (
    means && {
      kind: plan.cooling.kind,
      kelvinPerMinute: plan.cooling.kind === "steady" ? plan.cooling.kelvinPerMinute : null,
      cornerSeconds: Math.max(0, cornerSeconds - startSeconds),
      fallsKelvin: means.map((celsius) => celsius - last.toCelsius),
    }
  );
}

/**
 * How a running bake has gone from the passage below a hold on: as `RememberedHold.deviationsKelvin`.
 * @returns empty while too little has come
 */
export function deviationsSoFar(
  leg: Leg,
  trace: readonly TracePoint[],
  passageSeconds: number,
): readonly number[] {
  const end = trace.at(-1)?.atSeconds ?? passageSeconds;
  const means = stepMeans(trace, passageSeconds, end - passageSeconds) ?? [];
  return means.map((celsius) => celsius - leg.toCelsius);
}

/** Mean reading of each step, straight across steps without a reading; null where there are too few. */
function stepMeans(
  trace: readonly TracePoint[],
  startSeconds: number,
  lengthSeconds: number,
): number[] | null {
  const count = Math.max(0, Math.floor(lengthSeconds / MEMORY_STEP_SECONDS));
  const sums = new Array<number>(count).fill(0);
  const counts = new Array<number>(count).fill(0);
  for (const { atSeconds, celsius } of trace) {
    const step = Math.floor((atSeconds - startSeconds) / MEMORY_STEP_SECONDS);
    if (step < 0 || step >= count) continue;
    sums[step] = (sums[step] ?? 0) + celsius;
    counts[step] = (counts[step] ?? 0) + 1;
  }
  const known = counts.flatMap((n, step) => (n > 0 ? [{ step, celsius: (sums[step] ?? 0) / n }] : []));
  if (known.length < 2) return null;
  return sums.map((_, step) => between(known, step));
}

function between(known: readonly { step: number; celsius: number }[], step: number): number {
  const after = known.findIndex((other) => other.step >= step);
  const to = known[after];
  const from = known[after - 1];
  if (!to) return known.at(-1)?.celsius ?? 0;
  if (!from || to.step === step) return to.celsius;
  return from.celsius + ((step - from.step) / (to.step - from.step)) * (to.celsius - from.celsius);
}
