import type { Comparison } from "#core/compare/comparison";
import { deviationsSoFar, passageSeconds } from "#core/compare/remembered-bake";
import { legs, type Plan } from "#core/plan/plan";
import { leastSquaresLine } from "#core/trace/slope";
import type { Trace } from "#core/trace/trace";

/** The present temperature is that of a line through the last readings, s. */
const NOW_SECONDS = 6;

/** The climb goes on as it went for so long, s. */
const RATE_SECONDS = 30;

/** A chamber that falls like this for so long cools, once the corner into the hold is behind it. */
const FALLING_KELVIN_PER_SECOND = -0.3;
const FALL_SECONDS = 8;
const CORNER_SECONDS = 20;

/** Where the bake stands. */
export interface Standing {
  /** Which leg, counted from 0. */
  readonly leg: number;
  /** `hold`: past the passage below it. */
  readonly kind: "climb" | "hold" | "cooling";
  /** Seconds since the passage, or into the cooling. */
  readonly sinceSeconds: number;
  /** Kelvins above the hold so far, in steps of memory since the passage. */
  readonly deviationsKelvin: readonly number[];
  /** Since the start of this climb, s. */
  readonly climbingSeconds: number;
  readonly celsius: number;
  readonly kelvinPerSecond: number;
  readonly deliveredEquivalentSeconds: number;
  /** What of it nobody planned: free cooling so far. */
  readonly unplannedEquivalentSeconds: number;
}

/**
 * Where a running bake stands on its plan.
 * @param plannedSeconds  heat work of the planned curve, equivalent s
 * @returns null before the first climb and at the end
 */
export function standingOf(
  plan: Plan,
  trace: Trace,
  comparison: Comparison,
  plannedSeconds: number,
): Standing | null {
  const { stage, heatWork } = comparison;
  const end = trace.at(-1);
  const isCooling = stage.kind === "cooling" || isFalling(plan, trace, comparison);
  const planned = legs(plan);
  const index = isCooling ? planned.length - 1 : stage.index - 1;
  const leg = planned[index];
  if (!end || !leg || stage.kind === "drying" || stage.kind === "done") return null;
  const climbStart = comparison.climbs[index]?.actual?.startSeconds ?? end.atSeconds;
  const passage = passageSeconds(leg, trace, climbStart);
  const since = isCooling ? comparison.cooling.actual?.startSeconds : passage;
  return {
    leg: index,
    kind: isCooling ? "cooling" : passage === null ? "climb" : "hold",
    sinceSeconds: Math.max(0, end.atSeconds - (since ?? end.atSeconds)),
    deviationsKelvin: passage === null ? [] : deviationsSoFar(leg, trace, passage),
    climbingSeconds: Math.max(0, end.atSeconds - climbStart),
    celsius: lineThrough(trace, NOW_SECONDS).celsius,
    kelvinPerSecond: lineThrough(trace, RATE_SECONDS).kelvinPerSecond,
    deliveredEquivalentSeconds: heatWork.deliveredEquivalentSeconds,
    unplannedEquivalentSeconds: Math.max(0, heatWork.plannedEquivalentSeconds - plannedSeconds),
  };
}

/** Past the corner into its last hold and falling fast: the cooling has begun, if nobody has seen it yet. */
function isFalling(plan: Plan, trace: Trace, { stage, climbs }: Comparison): boolean {
  const last = legs(plan).at(-1);
  const climb = climbs.at(-1)?.actual;
  if (stage.kind === "drying" || stage.index < climbs.length || !last || !climb) return false;
  const passage = passageSeconds(last, trace, climb.startSeconds);
  const end = trace.at(-1)?.atSeconds ?? 0;
  if (passage === null || end - passage < CORNER_SECONDS) return false;
  return lineThrough(trace, FALL_SECONDS).kelvinPerSecond < FALLING_KELVIN_PER_SECOND;
}

/** A least-squares line through the last seconds of a trace: its end and its slope. */
function lineThrough(trace: Trace, seconds: number): { celsius: number; kelvinPerSecond: number } {
  const end = trace.at(-1)?.atSeconds ?? 0;
  const first = trace.findLastIndex(({ atSeconds }) => atSeconds < end - seconds) + 1;
  const line = leastSquaresLine(trace.slice(Math.min(first, Math.max(trace.length - 2, 0))));
  if (!line) return { celsius: trace.at(-1)?.celsius ?? 0, kelvinPerSecond: 0 };
  const { atSeconds, celsius, kelvinPerSecond } = line;
  return { celsius: celsius + kelvinPerSecond * (end - atSeconds), kelvinPerSecond };
}
