import { valueAt } from "#core/compare/hold";
import { type SetpointCorner, setpointOnCurve } from "#core/plan/setpoint";
import { firstRiseThrough, lastRiseThrough, momentAround } from "#core/trace/crossing";
import type { TracePoint } from "#core/trace/slope";
import type { FoundClimb } from "#core/trace/stages";

/** A chamber that gains less than a kelvin in this time, well below the top, has stalled, s. */
const STALL_SECONDS = 20;

/** A slow climb takes its time for a kelvin anyway: this many times as long is a stall. */
const STALL_TIMES = 4;

/** The soft start of a climb may lie this long before its line leaves the level, s. */
const SOFT_START_SECONDS = 30;

/** The moments between which a rate is taken come from lines over this much to either side, s. */
const LINE_REACH_SECONDS = 8;

/** Near the top a climb may slow down without having stalled, K. */
const NEAR_TOP_KELVIN = 10;

/**
 * The rate of a climb, K/min: the mean from 20 % to 90 % of its planned rise. Below lies its soft start,
 * above the arrival; a furnace that falls behind near the top still shows (our own choice of levels).
 * @param points      °C over seconds, smoothed
 * @param climb       where it was found
 * @param fromCelsius the planned level before it; where the trace left a higher one, that counts
 * @param toCelsius   the level that it went to
 * @param endSeconds  where the climb, or the trace, ends
 * @returns null while less than a third of the rise is done
 */
export function climbKelvinPerMinute(
  points: readonly TracePoint[],
  climb: FoundClimb,
  fromCelsius: number,
  toCelsius: number,
  endSeconds: number,
): number | null {
  const riseKelvin = toCelsius - fromCelsius;
  const first = points.findIndex((point) => point.atSeconds >= climb.startSeconds - SOFT_START_SECONDS);
  const end = points.findLastIndex((point) => point.atSeconds <= endSeconds);
  if (riseKelvin <= 0 || first < 0 || end <= first) return null;
  let reachedCelsius = Number.NEGATIVE_INFINITY;
  for (const point of points.slice(first, end + 1)) reachedCelsius = Math.max(reachedCelsius, point.celsius);
  const upperCelsius = Math.min(fromCelsius + 0.9 * riseKelvin, reachedCelsius - 0.02 * riseKelvin);
  const upper = firstRiseThrough(points, upperCelsius, first);
  if (!upper) return null;
  const plannedLowerCelsius = fromCelsius + 0.2 * riseKelvin;
  const isLowerSeen =
    climb.fromCelsius < fromCelsius + 0.1 * riseKelvin &&
    lastRiseThrough(points, plannedLowerCelsius, first, upper.index) !== null;
  const ownLowerCelsius = climb.fromCelsius + 0.2 * (toCelsius - climb.fromCelsius);
  const lowerCelsius = isLowerSeen ? plannedLowerCelsius : ownLowerCelsius;
  const lower = lastRiseThrough(points, lowerCelsius, first, upper.index);
  if (!lower || upperCelsius - lowerCelsius < riseKelvin / 3) return null;
  const upperSeconds = momentAround(points, upper, upperCelsius, LINE_REACH_SECONDS);
  const lowerSeconds = momentAround(points, lower, lowerCelsius, LINE_REACH_SECONDS);
  return upperSeconds > lowerSeconds
    ? ((upperCelsius - lowerCelsius) / (upperSeconds - lowerSeconds)) * 60
    : null;
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
 * The longest time in which a climb gained nothing, s; 0 when it never stalled. Its soft start, below
 * `fromCelsius`, and its last kelvins below the top are not looked at.
 * @param kelvinPerMinute the planned rate
 * @example stalledSeconds([{ atSeconds: 0, celsius: 600 }, { atSeconds: 60, celsius: 600 }, { atSeconds: 120, celsius: 760 }], 0, 120, 510, 760, 45) // 60.375
 */
export function stalledSeconds(
  points: readonly TracePoint[],
  fromSeconds: number,
  toSeconds: number,
  fromCelsius: number,
  topCelsius: number,
  kelvinPerMinute: number,
): number {
  let highestCelsius = Number.NEGATIVE_INFINITY;
  let highestAtSeconds = fromSeconds;
  let longest = 0;
  let previous: TracePoint | undefined;
  for (const point of points) {
    if (point.atSeconds < fromSeconds || point.atSeconds > toSeconds) continue;
    if (point.celsius < fromCelsius || highestCelsius > topCelsius - NEAR_TOP_KELVIN) continue;
    if (point.celsius >= highestCelsius + 1) {
      const atSeconds = previous ? momentBetween(previous, point, highestCelsius + 1) : point.atSeconds;
      longest = Math.max(longest, Number.isFinite(highestCelsius) ? atSeconds - highestAtSeconds : 0);
      highestCelsius = point.celsius;
      highestAtSeconds = point.atSeconds;
    } else longest = Math.max(longest, point.atSeconds - highestAtSeconds);
    previous = point;
  }
  return longest >= Math.max(STALL_SECONDS, (STALL_TIMES * 60) / kelvinPerMinute) ? longest : 0;
}

function momentBetween(from: TracePoint, to: TracePoint, celsius: number): number {
  if (!Number.isFinite(celsius) || to.celsius === from.celsius) return to.atSeconds;
  const share = Math.min(1, Math.max(0, (celsius - from.celsius) / (to.celsius - from.celsius)));
  return from.atSeconds + share * (to.atSeconds - from.atSeconds);
}
