import type { Leg } from "#core/plan/plan";
import { median } from "#core/statistics/median";
import { firstRiseThrough, lastFallThrough, lastRiseThrough } from "#core/trace/crossing";
import { type Line, leastSquaresLine, momentOnLine, pointsAround, type TracePoint } from "#core/trace/slope";

/** A climb found in a trace; `endSeconds` is null while it lasts. */
export interface FoundClimb {
  readonly startSeconds: number;
  /** The level that it left, °C. */
  readonly fromCelsius: number;
  /** False when the trace begins in it: its start is then carried back to the planned level. */
  readonly isStartSeen: boolean;
  readonly endSeconds: number | null;
}

/** A hold found in a trace; `endSeconds` is null while it lasts. */
export interface FoundHold {
  readonly startSeconds: number;
  readonly endSeconds: number | null;
  /** The last moment before the soft start of what follows: the level is kept up to here; null while it lasts. */
  readonly keptUntilSeconds: number | null;
  /** The planned temperature, or the peak where that was never reached, °C. */
  readonly levelCelsius: number;
  readonly isReached: boolean;
  /** The highest of the climb and what followed, °C. */
  readonly peakCelsius: number;
  /** False when another climb followed. */
  readonly isLast: boolean;
  /** True when it was kept level further off its temperature than an arrival allows. */
  readonly isElsewhere: boolean;
}

/** What was found of one planned climb and the hold after it. */
export interface FoundLeg {
  readonly climb: FoundClimb | null;
  readonly hold: FoundHold | null;
}

/** A trace split along its plan: one entry per planned leg, then the cooling. */
export interface FoundStages {
  readonly legs: readonly FoundLeg[];
  readonly coolingStartSeconds: number | null;
}

/** A hold counts as reached this close below its temperature, K. */
const ARRIVAL_KELVIN = 3;

/** The line of a climb near its top is taken over this many kelvins. */
const TOP_LINE_KELVIN = 30;

/** A climb that lingers below its top counts as holding there when it came this near, K. */
const NEAR_MISS_KELVIN = 30;

/** A climb that hesitates for less has not come to a hold, s. */
const SHORTEST_STILL_SECONDS = 15;

/** Slopes are taken over this much to either side, s. */
const SLOPE_REACH_SECONDS = 8;

/** A level is left where the slope passes this share of the climb's, or of the fall's. */
const LEAVING_SHARE = 0.25;

/** A rest further than this below the planned low temperature is another level: the climb passes through. */
const SAME_LEVEL_KELVIN = 15;

/** A fall this deep below a hold is taken for the cooling, K; a door opened and shut again is not. */
const COOLING_KELVIN = 15;

/** The line of a fall is taken over this many kelvins. */
const FALL_LINE_KELVIN = 30;

/**
 * A trace split into the climbs and holds of its plan, and the cooling: live and afterwards, by the same
 * rules. Corners are where straight lines meet (the extrapolated onset of thermal analysis, as in
 * ISO 11357-1, from memory), so that a furnace that lags, overshoots or creeps has them as well defined as a sharp one:
 *
 *                        ___ level of the hold
 *                      ·/
 *                      /          the line of the climb's last 30 K, up to 3 K below the hold,
 *                     /           carried on to the hold
 *     level before __/·           the line of its first part, carried back to the level before
 *
 * A climb that stalls, or dips while the muffle is opened, stays one climb; a hold that dips and comes
 * back stays one hold; only a fall that does not come back is the cooling.
 * @param points °C over seconds in rising time, smoothed
 * @param planned the plan's legs
 * @returns one entry per planned leg; nulls for what has not come
 */
export function stages(points: readonly TracePoint[], planned: readonly Leg[]): FoundStages {
  const found: FoundLeg[] = [];
  let cursor = 0;
  for (const [index, leg] of planned.entries()) {
    const before = found[index - 1];
    const next = planned[index + 1];
    const leftCelsius = before?.hold?.isElsewhere ? before.hold.peakCelsius : leg.fromCelsius;
    const climb =
      before && !before.hold ? null : findClimb(points, cursor, { ...leg, fromCelsius: leftCelsius });
    if (before?.hold && climb)
      found[index - 1] = { climb: before.climb, hold: endedByClimb(points, cursor, before.hold, climb) };
    if (!climb) {
      found.push({ climb: null, hold: null });
      continue;
    }
    const elsewhere = next ? levelElsewhere(points, climb.middleIndex, leg, next) : null;
    const hold = elsewhere ?? findHold(points, climb.middleIndex, leg, next === undefined);
    found.push({
      climb: { ...climb.found, endSeconds: hold?.found.startSeconds ?? null },
      hold: hold?.found ?? null,
    });
    cursor = hold?.index ?? climb.middleIndex;
  }
  return withCooling(points, found, cursor);
}

/**
 * A hold before another climb that was kept level, but further off its temperature than an arrival allows:
 * by a furnace that reads or regulates some kelvins off.
 */
function levelElsewhere(
  points: readonly TracePoint[],
  climbIndex: number,
  leg: Leg,
  next: Leg,
): { found: FoundHold; index: number } | null {
  const still = longestStill(points, climbIndex, leg, next);
  if (!still || Math.abs(still.celsius - leg.toCelsius) <= ARRIVAL_KELVIN) return null;
  const isReached = still.celsius > leg.toCelsius;
  const levelCelsius = isReached ? leg.toCelsius : still.celsius;
  const met = arrival(points, climbIndex, leg.fromCelsius, levelCelsius);
  if (!met) return null;
  const { found } = foundHold(met, levelCelsius, still.celsius, isReached);
  return { found: { ...found, isElsewhere: true }, index: still.last };
}

/** The longest stretch near a hold's temperature in which the trace stands still, for half the hold at least. */
function longestStill(
  points: readonly TracePoint[],
  climbIndex: number,
  leg: Leg,
  next: Leg,
): { celsius: number; last: number } | null {
  const slowest = (LEAVING_SHARE * Math.min(leg.kelvinPerMinute, next.kelvinPerMinute)) / 60;
  const farthestCelsius = leg.toCelsius + 0.5 * (next.toCelsius - leg.toCelsius);
  let longest: { first: number; last: number; seconds: number } | null = null;
  let first = -1;
  for (let index = climbIndex; index < points.length; index++) {
    const point = points[index];
    if (!point || point.celsius > farthestCelsius) break;
    const isStill =
      Math.abs(point.celsius - leg.toCelsius) <= NEAR_MISS_KELVIN &&
      Math.abs(slopeAround(points, index)) < slowest;
    first = isStill ? (first < 0 ? index : first) : -1;
    const seconds = first < 0 ? 0 : point.atSeconds - (points[first]?.atSeconds ?? point.atSeconds);
    if (seconds > (longest?.seconds ?? 0)) longest = { first, last: index, seconds };
  }
  if (!longest || longest.seconds < Math.max(SHORTEST_STILL_SECONDS, 0.5 * leg.holdSeconds)) return null;
  const inside = points.slice(longest.first, longest.last + 1).map((point) => point.celsius);
  return { celsius: median(inside), last: longest.last };
}

/** A hold that the next climb ended: the climb's soft start, still below its line, is no part of the hold kept. */
function endedByClimb(
  points: readonly TracePoint[],
  cursor: number,
  hold: FoundHold,
  climb: { found: FoundClimb; middleIndex: number },
): FoundHold {
  const leaving = lastRiseThrough(points, climb.found.fromCelsius, cursor, climb.middleIndex);
  const endSeconds = climb.found.startSeconds;
  return {
    ...hold,
    isLast: false,
    endSeconds,
    keptUntilSeconds: Math.min(endSeconds, leaving?.atSeconds ?? endSeconds),
  };
}

function findClimb(
  points: readonly TracePoint[],
  cursor: number,
  leg: Leg,
): { found: FoundClimb; middleIndex: number } | null {
  const riseKelvin = leg.toCelsius - leg.fromCelsius;
  const last = points.length - 1;
  const end = points[last];
  if (riseKelvin <= 0 || !end) return null;
  const middle = firstRiseThrough(points, leg.fromCelsius + 0.5 * riseKelvin, cursor);
  const middleIndex = middle?.index ?? last;
  if (!middle && !isClimbing(points, last, leg)) return null;
  return { found: climbOnset(points, cursor, middleIndex, leg), middleIndex };
}

/** Whether the newest readings climb clearly above the level that the climb leaves. */
function isClimbing(points: readonly TracePoint[], last: number, leg: Leg): boolean {
  const end = points[last];
  const riseKelvin = leg.toCelsius - leg.fromCelsius;
  if (!end || end.celsius < leg.fromCelsius + Math.max(10, 0.06 * riseKelvin)) return false;
  const recent = leastSquaresLine(
    points.slice(Math.max(0, last - 60)).filter((p) => p.atSeconds >= end.atSeconds - 20),
  );
  return recent !== null && recent.kelvinPerSecond >= 0.3 * (leg.kelvinPerMinute / 60);
}

function climbOnset(
  points: readonly TracePoint[],
  cursor: number,
  middleIndex: number,
  leg: Leg,
): FoundClimb {
  const middle = points[middleIndex];
  const first = points[cursor];
  if (!first || !middle) throw new RangeError(`a climb requires a cursor within the trace, got ${cursor}`);
  const topKelvin = Math.min(0.4 * (leg.toCelsius - leg.fromCelsius), middle.celsius - leg.fromCelsius);
  const upper = lastRiseThrough(points, leg.fromCelsius + topKelvin, cursor, middleIndex);
  const lowerCelsius = leg.fromCelsius + 0.4 * topKelvin;
  const lower = upper && lastRiseThrough(points, lowerCelsius, cursor, upper.index);
  if (!upper || !lower || upper.atSeconds <= lower.atSeconds) return carriedBack(points, cursor, leg);
  const line: Line = {
    atSeconds: lower.atSeconds,
    celsius: lowerCelsius,
    kelvinPerSecond: (0.6 * topKelvin) / (upper.atSeconds - lower.atSeconds),
  };
  const level = levelBefore(points, cursor, lower.index, LEAVING_SHARE * line.kelvinPerSecond);
  if (level !== null && level > leg.fromCelsius + ARRIVAL_KELVIN && level < lowerCelsius - ARRIVAL_KELVIN)
    return onsetFrom(line, level, first);
  const fromCelsius = level === null || level < leg.fromCelsius - SAME_LEVEL_KELVIN ? leg.fromCelsius : level;
  return onsetFrom(line, fromCelsius, first);
}

function onsetFrom(line: Line, fromCelsius: number, first: TracePoint): FoundClimb {
  const start = momentOnLine(line, fromCelsius) ?? first.atSeconds;
  return {
    startSeconds: Math.max(first.atSeconds, start),
    fromCelsius,
    isStartSeen: true,
    endSeconds: null,
  };
}

/** A climb in which the trace begins: its first part, carried back to the level that the plan has before it. */
function carriedBack(points: readonly TracePoint[], cursor: number, leg: Leg): FoundClimb {
  const first = points[cursor] ?? { atSeconds: 0, celsius: leg.fromCelsius };
  const riseKelvin = leg.toCelsius - first.celsius;
  const upper = firstRiseThrough(points, first.celsius + Math.max(1, 0.3 * riseKelvin), cursor);
  const upperPoint = upper && points[upper.index];
  const seconds = upper ? upper.atSeconds - first.atSeconds : 0;
  const slope =
    upperPoint && seconds > 0 ? Math.max(1, 0.3 * riseKelvin) / seconds : leg.kelvinPerMinute / 60;
  const startSeconds = first.atSeconds - Math.max(0, first.celsius - leg.fromCelsius) / slope;
  return { startSeconds, fromCelsius: leg.fromCelsius, isStartSeen: false, endSeconds: null };
}

/** The level that a climb left: the middle of the last 45 s in which it was not yet climbing, °C. */
function levelBefore(
  points: readonly TracePoint[],
  cursor: number,
  from: number,
  slopeKelvinPerSecond: number,
): number | null {
  for (let index = from; index > cursor; index--) {
    const point = points[index];
    if (!point || slopeAround(points, index) >= slopeKelvinPerSecond) continue;
    return median(celsiusWithin(points, cursor, index, 45));
  }
  return null;
}

function findHold(
  points: readonly TracePoint[],
  climbIndex: number,
  leg: Leg,
  isLast: boolean,
): { found: FoundHold; index: number } | null {
  const reached = arrival(points, climbIndex, leg.fromCelsius, leg.toCelsius);
  const peakCelsius = highestFrom(points, climbIndex);
  if (reached) return foundHold(reached, leg.toCelsius, peakCelsius, true);
  const turned = arrival(points, climbIndex, leg.fromCelsius, peakCelsius);
  if (!isLast || !turned || !hasTurned(points, turned.atSeconds, peakCelsius, leg)) return null;
  return foundHold(turned, peakCelsius, peakCelsius, false);
}

function foundHold(
  { index, atSeconds }: { index: number; atSeconds: number },
  levelCelsius: number,
  peakCelsius: number,
  isReached: boolean,
): { found: FoundHold; index: number } {
  return {
    found: {
      startSeconds: atSeconds,
      endSeconds: null,
      keptUntilSeconds: null,
      levelCelsius,
      isReached,
      peakCelsius,
      isLast: true,
      isElsewhere: false,
    },
    index,
  };
}

/** Whether a climb that never reached its top is over: it fell for good, or lingers just below. */
function hasTurned(
  points: readonly TracePoint[],
  sinceSeconds: number,
  peakCelsius: number,
  leg: Leg,
): boolean {
  const end = points.at(-1);
  if (!end) return false;
  if (end.celsius <= peakCelsius - COOLING_KELVIN) return true;
  const lingerSeconds = Math.max(60, (4 * ARRIVAL_KELVIN * 60) / leg.kelvinPerMinute);
  return peakCelsius >= leg.toCelsius - NEAR_MISS_KELVIN && end.atSeconds - sinceSeconds > lingerSeconds;
}

function highestFrom(points: readonly TracePoint[], from: number): number {
  let highest = Number.NEGATIVE_INFINITY;
  for (let index = from; index < points.length; index++)
    highest = Math.max(highest, points[index]?.celsius ?? highest);
  return highest;
}

/** Where the climb's last straight part, carried on, meets the hold; never later than the trace does, or turns. */
function arrival(
  points: readonly TracePoint[],
  climbIndex: number,
  fromCelsius: number,
  toCelsius: number,
): { index: number; atSeconds: number } | null {
  const riseKelvin = toCelsius - fromCelsius;
  const nearKelvin = Math.min(ARRIVAL_KELVIN, 0.1 * riseKelvin);
  const near = firstRiseThrough(points, toCelsius - nearKelvin, climbIndex);
  if (!near) return null;
  const lineKelvin = Math.min(TOP_LINE_KELVIN, 0.4 * riseKelvin);
  const below = lastRiseThrough(points, toCelsius - nearKelvin - lineKelvin, 0, near.index);
  const met =
    firstRiseThrough(points, toCelsius, near.index)?.atSeconds ?? highestAtSeconds(points, near.index);
  const carriedOnSeconds = below ? (nearKelvin / lineKelvin) * (near.atSeconds - below.atSeconds) : 0;
  const atSeconds = Math.max(near.atSeconds, Math.min(near.atSeconds + carriedOnSeconds, met));
  return { index: near.index, atSeconds };
}

function highestAtSeconds(points: readonly TracePoint[], from: number): number {
  let highest = points[from];
  for (let index = from; index < points.length; index++) {
    const point = points[index];
    if (point && highest && point.celsius > highest.celsius) highest = point;
  }
  return highest?.atSeconds ?? 0;
}

function withCooling(points: readonly TracePoint[], found: readonly FoundLeg[], cursor: number): FoundStages {
  const lastIndex = found.findLastIndex((leg) => leg.hold !== null);
  const last = found[lastIndex];
  const isClimbingOn = found[lastIndex + 1]?.climb != null;
  const cooling = last?.hold && !isClimbingOn ? coolingOnset(points, cursor, last.hold) : null;
  if (!last?.hold || !cooling) return { legs: found, coolingStartSeconds: null };
  const hold = { ...last.hold, endSeconds: cooling.startSeconds, keptUntilSeconds: cooling.leftSeconds };
  return {
    legs: found.map((leg, index) => (index === lastIndex ? { ...leg, hold } : leg)),
    coolingStartSeconds: cooling.startSeconds,
  };
}

/** Where the final fall, carried back, meets the level before it, and where that level was left. */
function coolingOnset(
  points: readonly TracePoint[],
  holdIndex: number,
  hold: FoundHold,
): { startSeconds: number; leftSeconds: number } | null {
  const upperCelsius = hold.levelCelsius - COOLING_KELVIN;
  const upper = lastFallThrough(points, upperCelsius, holdIndex);
  const end = points.at(-1);
  if (!upper || !end || end.atSeconds <= upper.atSeconds) return null;
  const lowerCelsius = Math.max(upperCelsius - FALL_LINE_KELVIN, end.celsius);
  const lower = points.findIndex((point, index) => index >= upper.index && point.celsius <= lowerCelsius);
  const fallSeconds = Math.max(1e-3, lastFallSeconds(points, lower, lowerCelsius) - upper.atSeconds);
  const line: Line = {
    atSeconds: upper.atSeconds,
    celsius: upperCelsius,
    kelvinPerSecond: Math.min(-1e-3, (lowerCelsius - upperCelsius) / fallSeconds),
  };
  const level = levelBeforeFall(points, holdIndex, upper.index, hold, LEAVING_SHARE * line.kelvinPerSecond);
  const startSeconds = Math.max(hold.startSeconds, momentOnLine(line, level.celsius) ?? upper.atSeconds);
  return {
    startSeconds,
    leftSeconds: Math.min(startSeconds, Math.max(hold.startSeconds, level.leftSeconds)),
  };
}

function lastFallSeconds(points: readonly TracePoint[], index: number, celsius: number): number {
  const to = points[index];
  const from = points[index - 1];
  if (!to) throw new RangeError(`a fall requires an index within the trace, got ${index}`);
  if (!from || from.celsius <= to.celsius) return to.atSeconds;
  const share = Math.min(1, Math.max(0, (from.celsius - celsius) / (from.celsius - to.celsius)));
  return from.atSeconds + share * (to.atSeconds - from.atSeconds);
}

/** The level that the cooling left, the middle of the hold's last 20 s, °C, and when it left it. */
function levelBeforeFall(
  points: readonly TracePoint[],
  holdIndex: number,
  from: number,
  hold: FoundHold,
  slopeKelvinPerSecond: number,
): { celsius: number; leftSeconds: number } {
  for (let index = from; index > holdIndex; index--) {
    const point = points[index];
    if (!point || slopeAround(points, index) <= slopeKelvinPerSecond) continue;
    const heldSeconds = point.atSeconds - hold.startSeconds;
    const celsius =
      heldSeconds < 5
        ? point.celsius
        : median(celsiusWithin(points, holdIndex, index, Math.min(20, heldSeconds)));
    return { celsius, leftSeconds: point.atSeconds };
  }
  return { celsius: hold.levelCelsius, leftSeconds: hold.startSeconds };
}

function slopeAround(points: readonly TracePoint[], index: number): number {
  const middle = points[index];
  if (!middle) return 0;
  const around = pointsAround(points, index, middle.atSeconds, SLOPE_REACH_SECONDS);
  const enough = around.length > 2 ? around : points.slice(Math.max(0, index - 1), index + 2);
  return leastSquaresLine(enough)?.kelvinPerSecond ?? 0;
}

function celsiusWithin(
  points: readonly TracePoint[],
  from: number,
  to: number,
  lengthSeconds: number,
): number[] {
  const end = points[to];
  if (!end) return [];
  return points
    .slice(from, to + 1)
    .filter((point) => point.atSeconds >= end.atSeconds - lengthSeconds)
    .map((point) => point.celsius);
}
