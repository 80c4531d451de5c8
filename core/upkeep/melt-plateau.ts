import { median } from "#core/statistics/median";
import { noiseKelvin } from "#core/trace/noise";
import { type Line, leastSquaresLine, type TracePoint } from "#core/trace/slope";
import { type Trace, usualStepSeconds } from "#core/trace/trace";
import { trustedTrace } from "#core/trace/trusted";

/** A probe is not further off than this, K: the plateau is looked for so near the fixed point. */
const SEARCH_KELVIN = 30;
/** The climb around it is known from this much below and above, K. */
const AROUND_KELVIN = 60;

/** On the plateau the reading climbs by less than this share of the rate around it. */
const STILL_SHARE = 0.45;
/** It lasts at least so long, s. */
const SHORTEST_SECONDS = 5;

/** A slope is measured over so long that its noise is this share of the climb. */
const SLOPE_NOISE_SHARE = 0.12;
const SLOPE_SECONDS = { least: 5, most: 60 };

/** The climb before must be seen for so long, s, and be this fast at least, K/min. */
const CLIMB_SECONDS = 15;
const SLOWEST_KELVIN_PER_MINUTE = 1;
/** It is straight: its readings lie this near a line, K, or within so many of their noises. */
const BEND_KELVIN = 0.8;
const BEND_NOISES = 2;

/** On the plateau the reading falls behind the climb by so much at least, K, or so many noises. */
const LEAST_BEHIND_KELVIN = 1;
const LEAST_BEHIND_NOISES = 3;

/**
 * Afterwards it catches up with the climb that the chamber never left: of what it fell behind at most this
 * share stays, within this time, s. After a hold of the plan it would all stay.
 */
const STAYS_BEHIND_SHARE = 0.5;
const CATCHES_UP_SECONDS = 30;
const GOES_ON_SECONDS = 90;

/** The climb goes on as it was: before and after differ by no more than this factor. */
const GOES_ON_FACTOR = 1.8;

/** A stretch of a slow climb on which a melting wire held the reading. */
export interface MeltPlateau {
  readonly fromSeconds: number;
  readonly toSeconds: number;
  /** Its level as read, °C. */
  readonly celsius: number;
  /** The climb that led to it. */
  readonly climbKelvinPerMinute: number;
  /** Of the level, K: noise of its mean, and its own rise as a half-width, for where on it the metal melts is not known. */
  readonly standardUncertaintyKelvin: number;
}

/**
 * The plateau of a melting wire in a slow climb: while the metal takes up its heat of fusion the reading
 * stands, then it catches up with the chamber.
 *
 *     °C            ⟋
 *          ______.⟋'      the reading comes back to the line of the climb;
 *        ⟋                 after a hold of the plan it would not
 *      ⟋
 *
 * @param trace             °C over seconds, uncorrected, in rising time
 * @param fixedPointCelsius where the metal melts; the plateau is looked for within 30 K of it
 * @returns null where there is none, or not yet: it is known only once the reading has caught up
 */
export function meltPlateau(trace: Trace, fixedPointCelsius: number): MeltPlateau | null {
  const climb = climbThrough(trustedTrace(trace).trace, fixedPointCelsius);
  if (climb.length < 10) return null;
  const noise = noiseKelvin(climb);
  const rough = roughKelvinPerSecond(climb);
  if (!(rough * 60 >= SLOWEST_KELVIN_PER_MINUTE)) return null;
  const seconds = slopeSeconds(noise, rough, usualStepSeconds(climb));
  const slopes = climb.map((_, index) => slopeAt(climb, index, seconds));
  const usual = median(slopes.filter((slope) => slope > 0.2 * rough));
  const found = stillRuns(climb, slopes, usual, fixedPointCelsius)
    .map((run) => plateauOf(climb, run, seconds, noise))
    .filter((plateau) => plateau !== null);
  return found.reduce<MeltPlateau | null>((longest, plateau) => {
    const isLonger = !longest || lengthOf(plateau) > lengthOf(longest);
    return isLonger ? plateau : longest;
  }, null);
}

/** The last climb through the neighbourhood of the fixed point, up to its end or the present. */
function climbThrough(trace: Trace, fixedPointCelsius: number): Trace {
  const isBelow = ({ celsius }: TracePoint) => celsius < fixedPointCelsius - AROUND_KELVIN;
  const isAbove = ({ celsius }: TracePoint) => celsius > fixedPointCelsius + AROUND_KELVIN;
  const reached = trace.findIndex((sample) => sample.celsius >= fixedPointCelsius - SEARCH_KELVIN);
  if (reached < 0) return [];
  const start = trace.slice(0, reached).findLastIndex(isBelow) + 1;
  const passed = trace.findIndex((sample, index) => index > reached && (isAbove(sample) || isBelow(sample)));
  return trace.slice(start, passed < 0 ? undefined : passed);
}

function roughKelvinPerSecond(climb: Trace): number {
  const [first, last] = [climb[0], climb.at(-1)];
  if (!first || !last) return 0;
  const top = climb.reduce((most, sample) => (sample.celsius > most.celsius ? sample : most), first);
  return (top.celsius - first.celsius) / Math.max(1e-9, top.atSeconds - first.atSeconds);
}

/** SE of a slope over w seconds at steps of d: σ·√(12·d/w³), solved for w. */
function slopeSeconds(noise: number, kelvinPerSecond: number, stepSeconds: number): number {
  const wanted = Math.cbrt(12 * stepSeconds * (noise / (SLOPE_NOISE_SHARE * kelvinPerSecond)) ** 2);
  const least = Math.max(SLOPE_SECONDS.least, 4 * stepSeconds);
  return Math.min(Math.max(wanted, least), Math.max(SLOPE_SECONDS.most, least));
}

function slopeAt(climb: Trace, index: number, seconds: number): number {
  const at = climb[index]?.atSeconds ?? 0;
  const near = within(climb, at - seconds / 2, at + seconds / 2);
  return leastSquaresLine(near)?.kelvinPerSecond ?? Number.POSITIVE_INFINITY;
}

type Run = { readonly from: number; readonly to: number };

function stillRuns(climb: Trace, slopes: readonly number[], usual: number, fixedPointCelsius: number): Run[] {
  const runs: Run[] = [];
  let from: number | null = null;
  for (const [index, sample] of climb.entries()) {
    const isNear = Math.abs(sample.celsius - fixedPointCelsius) <= SEARCH_KELVIN;
    const isStill = isNear && (slopes[index] ?? 0) < STILL_SHARE * usual;
    if (isStill) from ??= index;
    else if (from !== null) {
      runs.push({ from, to: index - 1 });
      from = null;
    }
  }
  // A run that still goes on is not over: nothing is known of it yet.
  return runs;
}

function plateauOf(climb: Trace, run: Run, seconds: number, noise: number): MeltPlateau | null {
  const fromSeconds = climb[run.from]?.atSeconds ?? 0;
  const toSeconds = climb[run.to]?.atSeconds ?? 0;
  if (toSeconds - fromSeconds < SHORTEST_SECONDS) return null;
  const before = lineBefore(climb, fromSeconds - seconds / 2, noise);
  if (!before || !catchesUp(climb, before, toSeconds, noise) || !goesOn(climb, before, toSeconds))
    return null;
  const points = within(climb, fromSeconds, toSeconds);
  const line = leastSquaresLine(points);
  if (!line || points.length < 3) return null;
  const riseKelvin = Math.abs(line.kelvinPerSecond) * (toSeconds - fromSeconds);
  return {
    fromSeconds,
    toSeconds,
    celsius: median(points.map(({ celsius }) => celsius)),
    climbKelvinPerMinute: 60 * before.kelvinPerSecond,
    standardUncertaintyKelvin: Math.hypot(noise / Math.sqrt(points.length), riseKelvin / Math.sqrt(3)),
  };
}

/** The climb up to the plateau, °C over seconds; null where it was not seen for long enough. */
function lineBefore(climb: Trace, untilSeconds: number, noise: number): Line | null {
  const first = climb[0]?.atSeconds ?? 0;
  if (untilSeconds - first < CLIMB_SECONDS) return null;
  const points = within(climb, untilSeconds - 4 * CLIMB_SECONDS, untilSeconds);
  const line = leastSquaresLine(points);
  if (!line || line.kelvinPerSecond * 60 < SLOWEST_KELVIN_PER_MINUTE) return null;
  return bendKelvin(points, line) <= Math.max(BEND_KELVIN, BEND_NOISES * noise) ? line : null;
}

/** How far points lie from their line, root mean square, K. */
function bendKelvin(points: readonly TracePoint[], line: Line): number {
  const squares = points.reduce(
    (sum, { atSeconds, celsius }) =>
      sum + (celsius - line.celsius - line.kelvinPerSecond * (atSeconds - line.atSeconds)) ** 2,
    0,
  );
  return Math.sqrt(squares / Math.max(1, points.length));
}

function catchesUp(climb: Trace, before: Line, endSeconds: number, noise: number): boolean {
  const behind = (point: TracePoint) =>
    before.celsius + before.kelvinPerSecond * (point.atSeconds - before.atSeconds) - point.celsius;
  const last = within(climb, endSeconds - 3, endSeconds);
  const after = within(climb, endSeconds, endSeconds + CATCHES_UP_SECONDS);
  const fellKelvin = median(last.map(behind));
  const leastKelvin = Math.max(LEAST_BEHIND_KELVIN, LEAST_BEHIND_NOISES * noise);
  if (!(fellKelvin >= leastKelvin) || after.length < 5) return false;
  const smallest = Math.min(
    ...after.slice(2, -2).map((_, index) => median(after.slice(index, index + 5).map(behind))),
  );
  return smallest <= STAYS_BEHIND_SHARE * fellKelvin;
}

/** The slope once it has caught up, or over what there is, is that of before. */
function goesOn(climb: Trace, before: Line, endSeconds: number): boolean {
  const after = within(climb, endSeconds + CLIMB_SECONDS, endSeconds + GOES_ON_SECONDS);
  const line = leastSquaresLine(
    after.length >= 5 ? after : within(climb, endSeconds, Number.POSITIVE_INFINITY),
  );
  const factor = (line?.kelvinPerSecond ?? 0) / before.kelvinPerSecond;
  return factor <= GOES_ON_FACTOR && factor >= 1 / GOES_ON_FACTOR;
}

function within(climb: Trace, fromSeconds: number, toSeconds: number): Trace {
  return climb.filter(({ atSeconds }) => atSeconds >= fromSeconds && atSeconds <= toSeconds);
}

function lengthOf({ fromSeconds, toSeconds }: MeltPlateau): number {
  return toSeconds - fromSeconds;
}
