import { valueAt } from "#core/compare/hold";
import { type SetpointCorner, setpointOnCurve } from "#core/plan/setpoint";
import { firstRiseThrough, lastRiseThrough } from "#core/trace/crossing";
import type { TracePoint } from "#core/trace/slope";
import type { FoundClimb } from "#core/trace/stages";

/** A chamber that gains less than a kelvin in this time, well below the top, has stalled, s. */
const STALL_SECONDS = 20;

/** Near the top a climb may slow down without having stalled, K. */
const NEAR_TOP_KELVIN = 10;

/**
 * The rate of a climb, K/min: the mean over the middle 80 % of its rise, from 10 % to 90 % (the reference
 * levels of a transition in IEEE Std 181 and IEC 60469), so that its soft ends do not count.
 * @param points    °C over seconds, smoothed
 * @param climb     where it was found
 * @param toCelsius the level that it went to
 * @param endSeconds where the climb, or the trace, ends
 * @returns null while less than a third of the rise is done
 */
export function climbKelvinPerMinute(
  points: readonly TracePoint[],
  climb: FoundClimb,
  toCelsius: number,
  endSeconds: number,
): number | null {
  const riseKelvin = toCelsius - climb.fromCelsius;
  const first = points.findIndex((point) => point.atSeconds >= climb.startSeconds);
  const end = points.findLastIndex((point) => point.atSeconds <= endSeconds);
  if (riseKelvin <= 0 || first < 0 || end <= first) return null;
  const reachedCelsius = Math.max(...points.slice(first, end + 1).map((point) => point.celsius));
  const upperCelsius = Math.min(climb.fromCelsius + 0.9 * riseKelvin, reachedCelsius - 0.02 * riseKelvin);
  const lowerCelsius = climb.fromCelsius + 0.1 * riseKelvin;
  if (upperCelsius - lowerCelsius < riseKelvin / 3) return null;
  const upper = firstRiseThrough(points, upperCelsius, first);
  const lower =
    upper &&
    (lastRiseThrough(points, lowerCelsius, first, upper.index) ??
      firstRiseThrough(points, lowerCelsius, first));
  if (!upper || !lower || upper.atSeconds <= lower.atSeconds) return null;
  return ((upperCelsius - lowerCelsius) / (upper.atSeconds - lower.atSeconds)) * 60;
}

/**
 * How far the trace was behind the plan over a climb, K, on average; positive when it was behind.
 * @param curve           corners of the planned curve
 * @param planZeroSeconds where the plan's zero stands on the trace's time
 */
export function climbLagKelvin(
  points: readonly TracePoint[],
  curve: readonly SetpointCorner[],
  planZeroSeconds: number,
  fromSeconds: number,
  toSeconds: number,
): number | null {
  const steps = 40;
  let sum = 0;
  let count = 0;
  for (let step = 0; step <= steps; step++) {
    const atSeconds = fromSeconds + ((toSeconds - fromSeconds) * step) / steps;
    const planned = setpointOnCurve(curve, atSeconds - planZeroSeconds);
    const actual = valueAt(points, atSeconds);
    if (planned === null || !actual) continue;
    sum += planned - actual.celsius;
    count++;
  }
  return count > 0 ? sum / count : null;
}

/**
 * The longest time in which a climb gained nothing, well below its top, s; 0 when it never stalled.
 * @example stalledSeconds([{ atSeconds: 0, celsius: 600 }, { atSeconds: 60, celsius: 600 }, { atSeconds: 120, celsius: 760 }], 0, 120, 760) // 60.375
 */
export function stalledSeconds(
  points: readonly TracePoint[],
  fromSeconds: number,
  toSeconds: number,
  topCelsius: number,
): number {
  let highestCelsius = Number.NEGATIVE_INFINITY;
  let highestAtSeconds = fromSeconds;
  let longest = 0;
  let previous: TracePoint | undefined;
  for (const point of points) {
    if (point.atSeconds < fromSeconds || point.atSeconds > toSeconds) continue;
    if (highestCelsius > topCelsius - NEAR_TOP_KELVIN) break;
    if (point.celsius >= highestCelsius + 1) {
      const atSeconds = previous ? momentBetween(previous, point, highestCelsius + 1) : point.atSeconds;
      longest = Math.max(longest, Number.isFinite(highestCelsius) ? atSeconds - highestAtSeconds : 0);
      highestCelsius = point.celsius;
      highestAtSeconds = point.atSeconds;
    } else longest = Math.max(longest, point.atSeconds - highestAtSeconds);
    previous = point;
  }
  return longest >= STALL_SECONDS ? longest : 0;
}

function momentBetween(from: TracePoint, to: TracePoint, celsius: number): number {
  if (!Number.isFinite(celsius) || to.celsius === from.celsius) return to.atSeconds;
  const share = Math.min(1, Math.max(0, (celsius - from.celsius) / (to.celsius - from.celsius)));
  return from.atSeconds + share * (to.atSeconds - from.atSeconds);
}
