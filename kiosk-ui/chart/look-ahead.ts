import { leastSquaresLine } from "#core/trace/slope";
import type { Sample, Trace } from "#core/trace/trace";

/** Where a running bake is going if nothing changes: straight on from the newest sample, less sure with time. */
export interface LookAhead {
  readonly from: Sample;
  readonly kelvinPerSecond: number;
  /** Half the width of the cone grows by this, K/s. */
  readonly spreadKelvinPerSecond: number;
  readonly lengthSeconds: number;
}

/** The climb is measured over this much of the newest past. */
const PAST_SECONDS = 20;
const FEWEST_SAMPLES = 5;
const AHEAD_SECONDS = 45;
/** Slower than this is a hold or a wait, which needs no cone. */
const SLOWEST_KELVIN_PER_SECOND = 0.05;
/** A controller changes its mind: the cone is never narrower than this share of the climb. */
const LEAST_SPREAD_FRACTION = 0.06;

/**
 * Looks ahead along a climb.
 * @param trace           rising time
 * @param ceilingCelsius  where the plan stops the climb; the cone ends there
 * @returns null in a hold, in the cooling, and with too little to go by
 */
export function lookAhead(trace: Trace, ceilingCelsius: number): LookAhead | null {
  const from = trace.at(-1);
  if (!from || from.celsius >= ceilingCelsius) return null;
  const past = newest(trace, from.atSeconds - PAST_SECONDS);
  const line = past.length < FEWEST_SAMPLES ? null : leastSquaresLine(past);
  if (!line || line.kelvinPerSecond < SLOWEST_KELVIN_PER_SECOND) return null;
  const { kelvinPerSecond } = line;
  let residualSquares = 0;
  let timeSquares = 0;
  for (const { atSeconds, celsius } of past) {
    const late = atSeconds - line.atSeconds;
    residualSquares += (celsius - line.celsius - kelvinPerSecond * late) ** 2;
    timeSquares += late ** 2;
  }
  // standard error of a least-squares slope (any textbook of statistics), twice for about 95 %
  const errorKelvinPerSecond = Math.sqrt(residualSquares / (past.length - 2) / timeSquares);
  return {
    from,
    kelvinPerSecond,
    spreadKelvinPerSecond: Math.max(2 * errorKelvinPerSecond, LEAST_SPREAD_FRACTION * kelvinPerSecond),
    lengthSeconds: Math.min(AHEAD_SECONDS, (ceilingCelsius - from.celsius) / kelvinPerSecond),
  };
}

function newest(trace: Trace, sinceSeconds: number): Trace {
  let start = trace.length;
  while (start > 0 && (trace[start - 1]?.atSeconds ?? 0) >= sinceSeconds) start--;
  return trace.slice(start);
}
