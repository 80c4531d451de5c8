import { leastSquaresLine, momentOnLine, pointsAround, type TracePoint } from "#core/trace/slope";

/** Where a trace passes a temperature: between `index - 1` and `index`, straight in between. */
export interface Crossing {
  readonly index: number;
  readonly atSeconds: number;
}

/**
 * The first upward passing of a temperature at or after an index; a trace that is already above at that
 * index passes at it.
 * @returns null when it never does
 * @example firstRiseThrough([{ atSeconds: 0, celsius: 500 }, { atSeconds: 10, celsius: 510 }], 505, 0) // { index: 1, atSeconds: 5 }
 */
export function firstRiseThrough(
  points: readonly TracePoint[],
  celsius: number,
  from: number,
): Crossing | null {
  for (let index = Math.max(0, from); index < points.length; index++) {
    const point = points[index];
    if (point && point.celsius >= celsius)
      return { index, atSeconds: index > from ? between(points, index, celsius) : point.atSeconds };
  }
  return null;
}

/**
 * The last upward passing of a temperature at or before an index and after another.
 * @returns null when the trace was never below
 * @example lastRiseThrough([{ atSeconds: 0, celsius: 500 }, { atSeconds: 10, celsius: 510 }], 505, 0, 1) // { index: 1, atSeconds: 5 }
 */
export function lastRiseThrough(
  points: readonly TracePoint[],
  celsius: number,
  after: number,
  before: number,
): Crossing | null {
  for (let index = before; index > after; index--) {
    const below = points[index - 1];
    if (below && below.celsius < celsius) return { index, atSeconds: between(points, index, celsius) };
  }
  return null;
}

/**
 * The last downward passing of a temperature after an index; from there on the trace stays below.
 * @returns null when the trace ends above it
 * @example lastFallThrough([{ atSeconds: 0, celsius: 510 }, { atSeconds: 10, celsius: 500 }], 505, 0) // { index: 1, atSeconds: 5 }
 */
export function lastFallThrough(
  points: readonly TracePoint[],
  celsius: number,
  after: number,
): Crossing | null {
  const end = points.at(-1);
  if (!end || end.celsius >= celsius) return null;
  for (let index = points.length - 1; index > after; index--) {
    const above = points[index - 1];
    if (above && above.celsius >= celsius) return { index, atSeconds: between(points, index, celsius) };
  }
  return null;
}

/**
 * The moment of a passing, taken from the straight line through the points around it, which is quieter than
 * the two next to it; the passing itself where there are fewer than five around, or no line.
 * @param reachSeconds how far to look to either side
 * @example momentAround([{ atSeconds: 0, celsius: 500 }, { atSeconds: 10, celsius: 510 }], { index: 1, atSeconds: 5 }, 505, 8) // 5
 */
export function momentAround(
  points: readonly TracePoint[],
  crossing: Crossing,
  celsius: number,
  reachSeconds: number,
): number {
  const around = pointsAround(points, crossing.index, crossing.atSeconds, reachSeconds);
  if (around.length < 5) return crossing.atSeconds;
  const line = leastSquaresLine(around);
  const moment = line && momentOnLine(line, celsius);
  return moment !== null && Math.abs(moment - crossing.atSeconds) <= reachSeconds
    ? moment
    : crossing.atSeconds;
}

function between(points: readonly TracePoint[], index: number, celsius: number): number {
  const to = points[index];
  const from = points[index - 1] ?? to;
  if (!from || !to) throw new RangeError(`a crossing requires an index within the trace, got ${index}`);
  const rise = to.celsius - from.celsius;
  const share = rise === 0 ? 1 : Math.min(1, Math.max(0, (celsius - from.celsius) / rise));
  return from.atSeconds + share * (to.atSeconds - from.atSeconds);
}
