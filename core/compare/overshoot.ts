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
 * Overshoot and undershoot of one hold.
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
  const inside = clipped(points, hold.startSeconds, hold.endSeconds ?? endSeconds);
  if (inside.length === 0) return { overshootKelvin: 0, overshootSeconds: 0, undershootKelvin: 0 };
  const highest = Math.max(...inside.map((point) => point.celsius));
  const lowest = Math.min(...inside.map((point) => point.celsius));
  return {
    overshootKelvin: Math.max(0, highest - targetCelsius),
    overshootSeconds: secondsAbove(inside, targetCelsius + Math.max(0.05, noiseKelvin)),
    undershootKelvin: Math.max(0, targetCelsius - (hold.isReached ? lowest : highest)),
  };
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
