import { referenceRangeCelsius } from "#core/thermocouple/emf";
import type { Sign } from "#core/thermocouple/fault-episodes";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import type { Heard } from "#core/thermocouple/sensor-faults";

/** A thermocouple in a chamber does not move by so much from one reading to the next, K and K/s. */
const JUMP_KELVIN = 25;
const JUMP_NOISES = 8;
/** A probe that is noisier than this has a fault, and that must not hide its jumps, K. */
const MOST_NOISE_KELVIN = 4;
const JUMP_KELVIN_PER_SECOND = 10;

/** The chamber may have moved so much meanwhile, K and K/s. */
const DRIFT_KELVIN = 20;
const DRIFT_KELVIN_PER_SECOND = 5;

/** Who does not come back within this time stays where it went, s. */
const LONGEST_AWAY_SECONDS = 30;

/** An excursion of so many readings is a spike; a longer one is a contact that comes and goes. */
const SPIKE_READINGS = 2;

/** So many jumps upward within this time are a contact that comes and goes, s: no heater can make one. */
const INTERMITTENT_RISES = 3;
const INTERMITTENT_SECONDS = 60;

/** A lone reading this far from both neighbours is a spike, K. */
const SMALLEST_SPIKE_KELVIN = 12;
/** Between readings far apart the chamber may have gone up and down by itself, K/s. */
const SPIKE_KELVIN_PER_SECOND = 4;

/** A jump to here is an adapter driven to full scale by an open thermocouple, °C (common practice, no source). */
const FULL_SCALE_CELSIUS = 1250;

/** A fall to so near the cold junction is a short, K, when it lasts, s. */
const SHORT_KELVIN = 6;
const SHORT_SECONDS = 5;
/** Without a cold junction a short reads as a room, °C. */
const ROOM_CELSIUS = { from: 5, to: 50 };

/** A reading of which more is to be known. */
interface Point {
  readonly atSeconds: number;
  readonly celsius: number;
}

/** Away from where the chamber was, entered by a jump. */
interface Away {
  readonly trusted: Point;
  readonly fromSeconds: number;
  readonly readings: number;
  /** The reading furthest from the trusted one, °C. */
  readonly celsius: number;
  /** True once it was told as an open circuit or a short. */
  readonly isTold: boolean;
}

/** What is known of readings that jump. */
export interface Excursions {
  readonly before: Point | null;
  readonly last: Point | null;
  readonly away: Away | null;
  /** When the newest jumps upward came, s. */
  readonly risesAtSeconds: readonly number[];
  /** Absolute second differences of the newest even steps, K. */
  readonly bends: readonly number[];
}

/** Nothing has been heard yet. */
export const NO_EXCURSIONS: Excursions = {
  before: null,
  last: null,
  away: null,
  risesAtSeconds: [],
  bends: [],
};

/** What a probe is known by. */
export interface ExcursionOptions {
  readonly type: ThermocoupleType | null;
  readonly coldJunctionCelsius: number | null;
}

type Step = { readonly state: Excursions; readonly signs: readonly Sign[] };

/**
 * Readings that jump away, and back or not: spikes, a contact that comes and goes, an open circuit that
 * drives the adapter to full scale, a short that reads the cold junction. A fall that does not come back
 * by a jump is no fault: a muffle that opens does that.
 */
export function nextExcursions(
  before: Excursions,
  heard: Heard & { celsius: number },
  options: ExcursionOptions,
): Step {
  const point: Point = { atSeconds: heard.atSeconds, celsius: heard.celsius };
  const noise = Math.min(noiseOf(before.bends), MOST_NOISE_KELVIN);
  const state = { ...before, risesAtSeconds: rises(before, point, noise) };
  const step = state.away
    ? whileAway(state, state.away, point, noise, options)
    : whileSteady(state, point, noise, options);
  return {
    state: { ...step.state, before: before.last, last: point, bends: withBend(before, point) },
    signs: [...step.signs, ...oftenSigns(before, step, point)],
  };
}

/** The same, but what comes next is held against nothing: the reading moved for a reason of its own. */
export function withoutLast(state: Excursions): Excursions {
  return { ...state, before: null, last: null, away: null };
}

/** How noisy the newest readings are, K: as in `noiseKelvin`, from the bends kept. */
function noiseOf(bends: readonly number[]): number {
  if (bends.length < 5) return 0;
  const sorted = [...bends].sort((a, b) => a - b);
  return (1.4826 * (sorted[Math.floor(sorted.length / 2)] ?? 0)) / Math.sqrt(6);
}

function whileSteady(state: Excursions, point: Point, noise: number, options: ExcursionOptions): Step {
  const { last } = state;
  if (!last) return { state, signs: [] };
  if (isJump(last, point, noise))
    return awaySigns(
      state,
      { trusted: last, fromSeconds: point.atSeconds, readings: 1, celsius: point.celsius, isTold: false },
      point,
      options,
    );
  return { state, signs: smallSpike(state, point, noise) };
}

function whileAway(
  state: Excursions,
  away: Away,
  point: Point,
  noise: number,
  options: ExcursionOptions,
): Step {
  const { trusted } = away;
  const passedSeconds = point.atSeconds - trusted.atSeconds;
  const isBack =
    state.last !== null &&
    isJump(state.last, point, noise) &&
    Math.abs(point.celsius - trusted.celsius) <= DRIFT_KELVIN + DRIFT_KELVIN_PER_SECOND * passedSeconds;
  if (isBack) return ended(state, away, state.last?.atSeconds ?? away.fromSeconds);
  const grown = furtherAway(away, point);
  if (passedSeconds <= LONGEST_AWAY_SECONDS || toldKind(grown, point, options) !== null)
    return awaySigns(state, grown, point, options);
  // It stays where it went: a fall is the chamber's own, a rise is none that a heater can make.
  const isRise = grown.celsius > trusted.celsius;
  const next = { ...state, away: null };
  return isRise
    ? {
        state: next,
        signs: [sign("intermittent", grown.fromSeconds, point.atSeconds, grown.readings, grown.celsius)],
      }
    : { state: next, signs: [] };
}

/** What can be told while it is still away: full scale at once, a short when it lasts. */
function awaySigns(state: Excursions, away: Away, point: Point, options: ExcursionOptions): Step {
  const kind = toldKind(away, point, options);
  if (kind === null) return { state: { ...state, away }, signs: [] };
  const next = { ...state, away: { ...away, isTold: true } };
  const isFirstShort = kind === "short-circuit" && !away.isTold;
  const fromSeconds = isFirstShort ? away.fromSeconds : point.atSeconds;
  const readings = isFirstShort ? away.readings : 1;
  return { state: next, signs: [sign(kind, fromSeconds, point.atSeconds, readings, point.celsius)] };
}

function toldKind(
  away: Away,
  point: Point,
  options: ExcursionOptions,
): "open-circuit" | "short-circuit" | null {
  if (isFullScale(point, options)) return "open-circuit";
  return isShort(away, point, options) ? "short-circuit" : null;
}

/** A few readings away are a spike, unless it comes often; more are a contact that comes and goes. */
function ended(state: Excursions, away: Away, toSeconds: number): Step {
  const next = { ...state, away: null };
  const isLong = away.readings > SPIKE_READINGS;
  if (away.isTold || (!isLong && isOften(state))) return { state: next, signs: [] };
  const kind = isLong ? "intermittent" : "spikes";
  return { state: next, signs: [sign(kind, away.fromSeconds, toSeconds, away.readings, away.celsius)] };
}

/** Jumps upward within the last minute, the newest last. */
function rises({ last, risesAtSeconds }: Excursions, point: Point, noise: number): readonly number[] {
  const recent = risesAtSeconds.filter((atSeconds) => point.atSeconds - atSeconds <= INTERMITTENT_SECONDS);
  const isRise = last !== null && point.celsius > last.celsius && isJump(last, point, noise);
  return isRise ? [...recent, point.atSeconds].slice(-INTERMITTENT_RISES) : recent;
}

function isOften({ risesAtSeconds }: Excursions): boolean {
  return risesAtSeconds.length >= INTERMITTENT_RISES;
}

function oftenSigns(before: Excursions, { state }: Step, point: Point): Sign[] {
  const isNew = state.risesAtSeconds.at(-1) === point.atSeconds;
  if (!isNew || !isOften(state)) return [];
  const fromSeconds = state.risesAtSeconds[0] ?? point.atSeconds;
  const celsius = before.last?.celsius ?? point.celsius;
  return [sign("intermittent", fromSeconds, point.atSeconds, 1, Math.min(celsius, point.celsius))];
}

/** A lone reading too small for a jump, seen once its successor is there. */
function smallSpike({ before, last }: Excursions, point: Point, noise: number): Sign[] {
  if (!before || !last) return [];
  const apartSeconds = (point.atSeconds - before.atSeconds) / 2;
  const limit = Math.max(SMALLEST_SPIKE_KELVIN, JUMP_NOISES * noise, SPIKE_KELVIN_PER_SECOND * apartSeconds);
  const [rise, fall] = [last.celsius - before.celsius, last.celsius - point.celsius];
  const isAlone = Math.sign(rise) === Math.sign(fall) && Math.min(Math.abs(rise), Math.abs(fall)) > limit;
  const agree = Math.abs(point.celsius - before.celsius) < Math.min(Math.abs(rise), Math.abs(fall)) / 2;
  if (!isAlone || !agree) return [];
  return [sign("spikes", last.atSeconds, last.atSeconds, 1, last.celsius)];
}

function isJump(from: Point, to: Point, noise: number): boolean {
  const seconds = Math.max(0, to.atSeconds - from.atSeconds);
  const limit = Math.max(JUMP_KELVIN, JUMP_NOISES * noise) + JUMP_KELVIN_PER_SECOND * seconds;
  return Math.abs(to.celsius - from.celsius) > limit;
}

function isFullScale({ celsius }: Point, { type }: ExcursionOptions): boolean {
  const lowest = type === null ? -60 : referenceRangeCelsius(type).from;
  return celsius >= FULL_SCALE_CELSIUS || celsius <= Math.max(lowest, -200) + 1;
}

function isShort(away: Away, point: Point, { coldJunctionCelsius }: ExcursionOptions): boolean {
  if (point.celsius > away.trusted.celsius - 60) return false;
  if (point.atSeconds - away.fromSeconds < SHORT_SECONDS) return false;
  return coldJunctionCelsius === null
    ? point.celsius >= ROOM_CELSIUS.from && point.celsius <= ROOM_CELSIUS.to
    : Math.abs(point.celsius - coldJunctionCelsius) <= SHORT_KELVIN;
}

function furtherAway(away: Away, point: Point): Away {
  const isFurther =
    Math.abs(point.celsius - away.trusted.celsius) > Math.abs(away.celsius - away.trusted.celsius);
  return { ...away, readings: away.readings + 1, celsius: isFurther ? point.celsius : away.celsius };
}

function withBend({ before, last, bends }: Excursions, point: Point): readonly number[] {
  if (!before || !last) return bends;
  const [first, second] = [last.atSeconds - before.atSeconds, point.atSeconds - last.atSeconds];
  if (Math.abs(first - second) > 0.2 * first) return bends;
  return [...bends, Math.abs(before.celsius - 2 * last.celsius + point.celsius)].slice(-40);
}

function sign(
  kind: Sign["kind"],
  fromSeconds: number,
  toSeconds: number,
  readings: number,
  celsius: number,
): Sign {
  return { kind, fromSeconds, toSeconds, readings, celsius };
}
