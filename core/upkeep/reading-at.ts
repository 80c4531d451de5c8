import { leastSquaresLine } from "#core/trace/slope";
import type { Trace } from "#core/trace/trace";

/** So much before and after a moment says what was read at it, s. */
const ASIDE_SECONDS = 5;
/** Nothing is read where no sample is within this of the moment, s. */
const FURTHEST_SECONDS = 15;

/** What was read at a moment. */
export interface ReadingAt {
  readonly celsius: number;
  /** Of the reading by its noise alone, K. */
  readonly standardUncertaintyKelvin: number;
  /** How fast it climbed. */
  readonly kelvinPerMinute: number;
}

/**
 * The reading at a moment, by the straight line through the seconds around it.
 * @param trace °C over seconds, in rising time
 * @returns null where nothing was measured near the moment
 * @example readingAt([{ atSeconds: 0, celsius: 950 }, { atSeconds: 2, celsius: 951 }, { atSeconds: 4, celsius: 952 }], 3)?.celsius // 951.5
 */
export function readingAt(trace: Trace, atSeconds: number): ReadingAt | null {
  const near = trace.filter((sample) => Math.abs(sample.atSeconds - atSeconds) <= ASIDE_SECONDS);
  const line = leastSquaresLine(near);
  if (!line) return nearestReading(trace, atSeconds);
  const celsius = line.celsius + line.kelvinPerSecond * (atSeconds - line.atSeconds);
  const squares = near.reduce(
    (sum, sample) =>
      sum + (sample.celsius - line.celsius - line.kelvinPerSecond * (sample.atSeconds - line.atSeconds)) ** 2,
    0,
  );
  const standard = near.length > 2 ? Math.sqrt(squares / (near.length - 2) / near.length) : 0;
  return { celsius, standardUncertaintyKelvin: standard, kelvinPerMinute: 60 * line.kelvinPerSecond };
}

function nearestReading(trace: Trace, atSeconds: number): ReadingAt | null {
  const nearest = trace.reduce<Trace[number] | null>(
    (best, sample) =>
      !best || Math.abs(sample.atSeconds - atSeconds) < Math.abs(best.atSeconds - atSeconds) ? sample : best,
    null,
  );
  if (!nearest || Math.abs(nearest.atSeconds - atSeconds) > FURTHEST_SECONDS) return null;
  return { celsius: nearest.celsius, standardUncertaintyKelvin: 0, kelvinPerMinute: 0 };
}
