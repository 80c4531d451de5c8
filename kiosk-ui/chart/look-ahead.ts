import { leastSquaresLine } from "#core/trace/slope";
import type { Sample, Trace } from "#core/trace/trace";

/** Where a running bake is going if nothing changes: straight on from the newest sample, less sure with time. */
export interface LookAhead {
  readonly from: Sample;
  readonly kelvinPerSecond: number;
  /** Half the width of the cone grows by this, K/s. */
  readonly spreadKelvinPerSecond: number;
  readonly lengthSeconds: number;
  /** True where it ends at the coming peak. */
  readonly endsAtPeak: boolean;
}

/** The climb is measured over this much of the newest past. */
const PAST_SECONDS = 20;
const FEWEST_SAMPLES = 5;
const AHEAD_SECONDS = 45;
/** Towards a peak that is foreseen the cone goes farther, but no farther than the climb is worth looking at. */
const FORESEEN_SECONDS = 150;
/** Slower than this is a hold or a wait, which needs no cone. */
const SLOWEST_KELVIN_PER_SECOND = 0.05;
/** A controller changes its mind: the cone is never narrower than this share of the climb. */
const LEAST_SPREAD_FRACTION = 0.06;

/** The highest temperature that is coming, and when. */
export interface ComingPeak {
  readonly celsius: number;
  readonly inSeconds: number;
}

/**
 * Looks ahead along a climb.
 * @param trace           rising time
 * @param ceilingCelsius  where the plan stops the climb; the cone ends there
 * @param peak            where the climb that runs is foreseen to end; null where nobody knows
 * @returns null in a hold, in the cooling, and with too little to go by
 */
export function lookAhead(
  trace: Trace,
  ceilingCelsius: number,
  peak: ComingPeak | null = null,
): LookAhead | null {
  const from = trace.at(-1);
  if (!from || from.celsius >= Math.max(ceilingCelsius, peak?.celsius ?? 0)) return null;
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
  const spreadKelvinPerSecond = Math.max(2 * errorKelvinPerSecond, LEAST_SPREAD_FRACTION * kelvinPerSecond);
  const toPeak = peak && towards(peak, from);
  if (toPeak) return { from, spreadKelvinPerSecond, ...toPeak };
  const lengthSeconds = Math.min(AHEAD_SECONDS, (ceilingCelsius - from.celsius) / kelvinPerSecond);
  return lengthSeconds > 0
    ? { from, kelvinPerSecond, spreadKelvinPerSecond, lengthSeconds, endsAtPeak: false }
    : null;
}

/** Straight on to a peak; null where it is as good as reached. */
function towards({ celsius, inSeconds }: ComingPeak, from: Sample) {
  if (inSeconds < 1 || celsius <= from.celsius) return null;
  return {
    kelvinPerSecond: (celsius - from.celsius) / inSeconds,
    lengthSeconds: Math.min(FORESEEN_SECONDS, inSeconds),
    endsAtPeak: inSeconds <= FORESEEN_SECONDS,
  };
}

function newest(trace: Trace, sinceSeconds: number): Trace {
  let start = trace.length;
  while (start > 0 && (trace[start - 1]?.atSeconds ?? 0) >= sinceSeconds) start--;
  return trace.slice(start);
}
