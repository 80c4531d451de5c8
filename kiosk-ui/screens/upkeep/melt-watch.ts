import { type CorrectionPoint, uncorrectedCelsius } from "#core/thermocouple/correction";
import { leastSquaresLine } from "#core/trace/slope";
import type { Trace } from "#core/trace/trace";
import { type MeltPlateau, meltPlateau } from "#core/upkeep/melt-plateau";
import { type ReadingAt, readingAt } from "#core/upkeep/reading-at";

/** From so much below the melting point the climb should be slow, K. */
export const SLOW_BELOW_KELVIN = 30;
/** A slow climb: what is right near the melting point (common practice, no source). */
export const RIGHT_RATE = { least: 5, most: 10 } as const;
/** A little above the right rate is not worth a word. */
const TOO_FAST_KELVIN_PER_MINUTE = 12;
const STILL_KELVIN_PER_MINUTE = 1;
/** Beyond this much above the melting point something has gone past, K. */
const PAST_KELVIN = 15;
/** The climb now is that of the last so many seconds. */
const RATE_SECONDS = 20;
/** The picture shows at most so much. */
const SHOWN_SECONDS = 480;
/** The plateau is looked for in what lies so near to the melting point, K. */
const NEAR_KELVIN = 100;

/** What somebody should know who watches a wire. */
export type MeltHint = "below" | "fast" | "after" | "right" | "slow" | "still" | "falling" | "past";

/** A wire being watched: everything by the uncorrected reading. */
export interface MeltWatch {
  /** The last minutes, for the picture. */
  readonly shown: Trace;
  readonly atSeconds: number;
  readonly celsius: number;
  /** Null until there is enough to say. */
  readonly kelvinPerMinute: number | null;
  readonly hint: MeltHint | null;
}

/**
 * What an open bake says of a wire in it.
 * @param samples           as recorded, corrected, in rising time
 * @param correction        of the probe that the bake runs with, by rising reading
 * @param fixedPointCelsius where the metal melts
 * @returns null while nothing was measured
 */
export function meltWatch(
  samples: Trace,
  correction: readonly CorrectionPoint[],
  fixedPointCelsius: number,
): MeltWatch | null {
  const newest = samples.at(-1);
  if (!newest) return null;
  const first = samples.findLastIndex(({ atSeconds }) => atSeconds < newest.atSeconds - SHOWN_SECONDS) + 1;
  const celsius = uncorrectedCelsius(newest.celsius, correction);
  const kelvinPerMinute = climbNow(samples);
  return {
    shown: uncorrectedTrace(samples.slice(first), correction),
    atSeconds: newest.atSeconds,
    celsius,
    kelvinPerMinute,
    hint: kelvinPerMinute === null ? null : hintOf(celsius - fixedPointCelsius, kelvinPerMinute),
  };
}

/**
 * The plateau of a wire in an open bake, by the uncorrected reading; it takes some time to find, so that it is
 * not asked for with every sample.
 */
export function watchedPlateau(
  samples: Trace,
  correction: readonly CorrectionPoint[],
  fixedPointCelsius: number,
): MeltPlateau | null {
  const first = samples.findLastIndex(({ celsius }) => celsius < fixedPointCelsius - NEAR_KELVIN) + 1;
  return meltPlateau(uncorrectedTrace(samples.slice(first), correction), fixedPointCelsius);
}

/** What was read at a moment of an open bake, uncorrected. */
export function watchedReading(
  samples: Trace,
  correction: readonly CorrectionPoint[],
  atSeconds: number,
): ReadingAt | null {
  const near = samples.filter((sample) => Math.abs(sample.atSeconds - atSeconds) <= RATE_SECONDS);
  return readingAt(uncorrectedTrace(near, correction), atSeconds);
}

function uncorrectedTrace(samples: Trace, correction: readonly CorrectionPoint[]): Trace {
  return samples.map((sample) => ({ ...sample, celsius: uncorrectedCelsius(sample.celsius, correction) }));
}

function climbNow(samples: Trace): number | null {
  const newest = samples.at(-1)?.atSeconds ?? 0;
  const first = samples.findLastIndex(({ atSeconds }) => atSeconds < newest - RATE_SECONDS) + 1;
  const line = leastSquaresLine(samples.slice(first));
  return line ? 60 * line.kelvinPerSecond : null;
}

/** Above the melting point a fast climb is most likely the reading that catches up after the melt. */
function hintOf(aboveKelvin: number, kelvinPerMinute: number): MeltHint {
  if (kelvinPerMinute < -STILL_KELVIN_PER_MINUTE) return "falling";
  if (aboveKelvin < -SLOW_BELOW_KELVIN) return "below";
  if (aboveKelvin > PAST_KELVIN) return "past";
  if (kelvinPerMinute > TOO_FAST_KELVIN_PER_MINUTE) return aboveKelvin > 0 ? "after" : "fast";
  if (kelvinPerMinute < STILL_KELVIN_PER_MINUTE) return "still";
  return kelvinPerMinute < RIGHT_RATE.least - 1 ? "slow" : "right";
}
