import { clipped } from "#core/compare/hold";
import type { TracePoint } from "#core/trace/slope";
import type { FoundHold } from "#core/trace/stages";

/** How far a hold went over and under its temperature. */
export interface Excursion {
  /** Largest kelvins above the hold's temperature, from the arrival on; 0 when never above. */
  readonly overshootKelvin: number;
  /** Seconds above it, beyond what noise alone makes. */
  readonly overshootSeconds: number;
  /** Largest kelvins below it during the hold; for a hold never reached, what was missing at the peak. */
  readonly undershootKelvin: number;
}

/**
 * Overshoot and undershoot of one hold. The overshoot of the last one may come after it is over, when the
 * hold is short; that of one before a climb ends where the climb leaves the level.
 * @param points        °C over seconds, smoothed
 * @param hold          where it was found
 * @param targetCelsius the planned temperature
 * @param noiseKelvin   noise of one raw reading: what is above by less than this is not counted in seconds
 * @param endSeconds    where the trace ends
 */
export function excursion(
  points: readonly TracePoint[],
  hold: FoundHold,
  targetCelsius: number,
  noiseKelvin: number,
  endSeconds: number,
): Excursion {
  const keptUntilSeconds = hold.keptUntilSeconds ?? endSeconds;
  const overUntilSeconds = hold.isLast ? endSeconds : keptUntilSeconds;
  const over = clipped(points, hold.startSeconds, overUntilSeconds);
  const overshootKelvin = largest(points, hold.startSeconds, overUntilSeconds, (c) => c - targetCelsius);
  const sagKelvin = largest(points, hold.startSeconds, keptUntilSeconds, (c) => targetCelsius - c);
  const missingAtPeak = hold.isLast || !hold.isReached ? targetCelsius - hold.peakCelsius : 0;
  return {
    overshootKelvin,
    overshootSeconds:
      overshootKelvin > 0 ? secondsAbove(over, targetCelsius + Math.max(0.05, noiseKelvin)) : 0,
    undershootKelvin: Math.max(0, missingAtPeak, hold.isReached ? sagKelvin : 0),
  };
}

/** The largest of a difference over the readings between two moments, never below 0, K. */
function largest(
  points: readonly TracePoint[],
  fromSeconds: number,
  toSeconds: number,
  differenceKelvin: (celsius: number) => number,
): number {
  let most = 0;
  for (const { atSeconds, celsius } of points)
    if (atSeconds >= fromSeconds && atSeconds <= toSeconds) most = Math.max(most, differenceKelvin(celsius));
  return most;
}

/**
 * Seconds above a temperature, straight between points.
 * @example secondsAbove([{ atSeconds: 0, celsius: 770 }, { atSeconds: 10, celsius: 785 }, { atSeconds: 30, celsius: 770 }], 777.5) // 15
 */
export function secondsAbove(points: readonly TracePoint[], celsius: number): number {
  let seconds = 0;
  for (const [index, to] of points.entries()) {
    const from = points[index - 1];
    if (from)
      seconds += (to.atSeconds - from.atSeconds) * shareAbove(from.celsius - celsius, to.celsius - celsius);
  }
  return seconds;
}

function shareAbove(from: number, to: number): number {
  if (from >= 0 && to >= 0) return 1;
  if (from < 0 && to < 0) return 0;
  return Math.max(from, to) / Math.abs(to - from);
}
