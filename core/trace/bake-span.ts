import type { TracePoint } from "#core/trace/slope";

/** Which part of a trace is the bake that is judged. */
export interface BakeSpan {
  /** Index of its first point: the rest before the climb is part of it. */
  readonly first: number;
  /** Index after its last point. */
  readonly end: number;
  /** How many other climbs the trace holds, before or after. */
  readonly otherBakes: number;
}

/** A time spent above rest. */
interface Excursion {
  readonly first: number;
  readonly end: number;
  readonly highestCelsius: number;
  /** False for the tail of an earlier bake, in which the trace begins and only falls. */
  readonly hasRisen: boolean;
}

/** Above this share of the first climb's rise the trace is no longer at rest. */
const REST_SHARE = 0.1;

/** An excursion below this share of the rise is a ripple of the rest. */
const BAKE_SHARE = 0.5;

/** A trace that begins within this of its highest point, K, begins in a fall. */
const TAIL_KELVIN = 5;

/**
 * The one bake in a trace that a plan is held against: the first that comes to the plan's top, or else the
 * hottest. What is left of an earlier bake at its beginning, and other bakes before and after, are no part
 * of it.
 *
 *     \                 __            __
 *      \      _        /  \          /  \
 *       \____/ \______/    \________/    \__
 *       tail  warm-up |   the bake |  another
 *
 * @param points      °C over seconds, smoothed
 * @param lowCelsius  where the first climb begins
 * @param firstTopCelsius where it goes
 * @param topCelsius  the plan's highest temperature
 */
export function bakeSpan(
  points: readonly TracePoint[],
  lowCelsius: number,
  firstTopCelsius: number,
  topCelsius: number,
): BakeSpan {
  const rise = firstTopCelsius - lowCelsius;
  const found = excursionsAbove(points, lowCelsius + REST_SHARE * rise);
  const bakes = found.filter(
    ({ hasRisen, highestCelsius }) => hasRisen && highestCelsius >= lowCelsius + BAKE_SHARE * rise,
  );
  const hottest = bakes.reduce<Excursion | undefined>(
    (most, bake) => (!most || bake.highestCelsius > most.highestCelsius ? bake : most),
    undefined,
  );
  const judged = bakes.find(({ highestCelsius }) => highestCelsius >= topCelsius - TAIL_KELVIN) ?? hottest;
  const judgedFirst = judged?.first ?? points.length;
  const isBake = (excursion: Excursion) => bakes.includes(excursion) || !excursion.hasRisen;
  const before = found.findLast((excursion) => isBake(excursion) && excursion.end <= judgedFirst);
  const after = bakes.find(({ first }) => judged !== undefined && first >= judged.end);
  return {
    first: before?.end ?? 0,
    end: after?.first ?? points.length,
    otherBakes: Math.max(0, bakes.length - 1),
  };
}

function excursionsAbove(points: readonly TracePoint[], celsius: number): Excursion[] {
  const found: Excursion[] = [];
  let first = -1;
  let highestCelsius = Number.NEGATIVE_INFINITY;
  const close = (end: number) => {
    if (first < 0) return;
    const startCelsius = points[first]?.celsius ?? highestCelsius;
    found.push({
      first,
      end,
      highestCelsius,
      hasRisen: first > 0 || highestCelsius - startCelsius > TAIL_KELVIN,
    });
    first = -1;
    highestCelsius = Number.NEGATIVE_INFINITY;
  };
  points.forEach((point, index) => {
    if (point.celsius <= celsius) close(index);
    else {
      if (first < 0) first = index;
      highestCelsius = Math.max(highestCelsius, point.celsius);
    }
  });
  close(points.length);
  return found;
}
