import type { Sample } from "#core/trace/trace";

/** A point of a trace as analysis needs it. */
export type TracePoint = Pick<Sample, "atSeconds" | "celsius">;

/** A straight line through readings. */
export interface Line {
  readonly atSeconds: number;
  readonly celsius: number;
  readonly kelvinPerSecond: number;
}

/**
 * The least-squares straight line through points (Gauss; any textbook of statistics).
 * @param points °C over seconds
 * @returns null for fewer than two different moments
 * @example leastSquaresLine([{ atSeconds: 0, celsius: 500 }, { atSeconds: 10, celsius: 507 }])?.kelvinPerSecond // 0.7
 */
export function leastSquaresLine(points: readonly TracePoint[]): Line | null {
  const count = points.length;
  if (count < 2) return null;
  let sumSeconds = 0;
  let sumCelsius = 0;
  for (const point of points) {
    sumSeconds += point.atSeconds;
    sumCelsius += point.celsius;
  }
  const atSeconds = sumSeconds / count;
  const celsius = sumCelsius / count;
  let square = 0;
  let product = 0;
  for (const point of points) {
    square += (point.atSeconds - atSeconds) ** 2;
    product += (point.atSeconds - atSeconds) * (point.celsius - celsius);
  }
  return square > 0 ? { atSeconds, celsius, kelvinPerSecond: product / square } : null;
}

/**
 * The moment at which a line passes a temperature, s; null when it is level.
 * @example momentOnLine({ atSeconds: 0, celsius: 500, kelvinPerSecond: 0.5 }, 510) // 20
 */
export function momentOnLine(line: Line, celsius: number): number | null {
  if (line.kelvinPerSecond === 0) return null;
  return line.atSeconds + (celsius - line.celsius) / line.kelvinPerSecond;
}

/**
 * The points within a time of a moment, to either side.
 * @param index        a point near the moment, where the search begins
 * @param atSeconds    the moment
 * @param reachSeconds how far to look to either side
 * @returns in rising time; the point at `index` is always among them
 * @example pointsAround([{ atSeconds: 0, celsius: 500 }, { atSeconds: 9, celsius: 501 }, { atSeconds: 10, celsius: 502 }], 2, 10, 8).length // 2
 */
export function pointsAround(
  points: readonly TracePoint[],
  index: number,
  atSeconds: number,
  reachSeconds: number,
): readonly TracePoint[] {
  let first = index;
  let last = index;
  while (first > 0 && atSeconds - (points[first - 1]?.atSeconds ?? 0) <= reachSeconds) first--;
  while (last < points.length - 1 && (points[last + 1]?.atSeconds ?? 0) - atSeconds <= reachSeconds) last++;
  return points.slice(first, last + 1);
}
