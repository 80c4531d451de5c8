import type { TracePoint } from "#core/trace/slope";
import type { FoundHold } from "#core/trace/stages";

/** Half the width of the band in which a hold counts as kept, K (our choice; the chart shows it). */
export const HOLD_BAND_KELVIN = 3;

/** How a hold was kept. */
export interface HoldKept {
  readonly startSeconds: number;
  readonly lengthSeconds: number;
  readonly meanCelsius: number | null;
  /** Standard deviation about the mean, K. */
  readonly spreadKelvin: number | null;
  readonly secondsInBand: number;
  readonly isComplete: boolean;
}

/**
 * How a hold was kept: its length, mean, spread and the seconds within the band. Everything is weighted
 * with time, so that uneven sampling does not bend it.
 * @param points        °C over seconds, smoothed
 * @param hold          where it was found
 * @param targetCelsius the planned temperature
 * @param endSeconds    where the trace ends: a hold that lasts is reckoned up to here
 */
export function holdKept(
  points: readonly TracePoint[],
  hold: FoundHold,
  targetCelsius: number,
  endSeconds: number,
): HoldKept {
  const toSeconds = hold.endSeconds ?? endSeconds;
  const inside = clipped(points, hold.startSeconds, toSeconds);
  const weighted = inside.slice(1).map((to, index) => {
    const from = inside[index] ?? to;
    return { seconds: to.atSeconds - from.atSeconds, celsius: (from.celsius + to.celsius) / 2 };
  });
  const seconds = weighted.reduce((sum, piece) => sum + piece.seconds, 0);
  const mean = seconds > 0 ? weighted.reduce((sum, p) => sum + p.seconds * p.celsius, 0) / seconds : null;
  const variance =
    mean === null
      ? null
      : weighted.reduce((sum, p) => sum + p.seconds * (p.celsius - mean) ** 2, 0) / seconds;
  return {
    startSeconds: hold.startSeconds,
    lengthSeconds: Math.max(0, toSeconds - hold.startSeconds),
    meanCelsius: mean,
    spreadKelvin: variance === null ? null : Math.sqrt(variance),
    secondsInBand: weighted
      .filter((piece) => Math.abs(piece.celsius - targetCelsius) <= HOLD_BAND_KELVIN)
      .reduce((sum, piece) => sum + piece.seconds, 0),
    isComplete: hold.endSeconds !== null,
  };
}

/**
 * The part of a trace between two moments, with the ends set on the straight lines between readings.
 * @returns empty when the trace has nothing there
 * @example clipped([{ atSeconds: 0, celsius: 500 }, { atSeconds: 10, celsius: 510 }], 2, 4) // [{ atSeconds: 2, celsius: 502 }, { atSeconds: 4, celsius: 504 }]
 */
export function clipped(points: readonly TracePoint[], fromSeconds: number, toSeconds: number): TracePoint[] {
  const inside = points.filter((point) => point.atSeconds > fromSeconds && point.atSeconds < toSeconds);
  const first = valueAt(points, fromSeconds);
  const last = valueAt(points, toSeconds);
  return [...(first ? [first] : []), ...inside, ...(last && toSeconds > fromSeconds ? [last] : [])];
}

/**
 * The reading of a trace at a moment, straight between its neighbours; null outside the trace.
 * @example valueAt([{ atSeconds: 0, celsius: 500 }, { atSeconds: 10, celsius: 510 }], 5) // { atSeconds: 5, celsius: 505 }
 */
export function valueAt(points: readonly TracePoint[], atSeconds: number): TracePoint | null {
  let low = 0;
  let high = points.length - 1;
  if (high < 0 || atSeconds < (points[0]?.atSeconds ?? 0) || atSeconds > (points[high]?.atSeconds ?? 0))
    return null;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((points[middle]?.atSeconds ?? 0) <= atSeconds) low = middle;
    else high = middle;
  }
  const from = points[low];
  const to = points[high];
  if (!from || !to) return null;
  const lengthSeconds = to.atSeconds - from.atSeconds;
  const share = lengthSeconds > 0 ? (atSeconds - from.atSeconds) / lengthSeconds : 0;
  return { atSeconds, celsius: from.celsius + share * (to.celsius - from.celsius) };
}
