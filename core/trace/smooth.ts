import type { TracePoint } from "#core/trace/slope";
import { longestOrdinaryStepSeconds, type Sample, type Trace, usualStepSeconds } from "#core/trace/trace";

/** What is left of the noise after smoothing, K: small against the kelvins that a verdict speaks of. */
const TARGET_NOISE_KELVIN = 0.16;

/** Never look further than this to either side, s: an overshoot of half a minute keeps its height. */
const LONGEST_REACH_SECONDS = 10;

/** Readings this many times their noise off the parabola mean a corner: a line from one side fits better. */
const CORNER_MISFIT = 1.4;

/** The line from one side stands in only when it fits this many times better. */
const CLEARLY_BETTER = 1.6;

/**
 * The trace with its noise taken down to about 0.16 K by a local parabola, and not touched at all where it
 * is already quieter than that: a clean recording keeps its corners. Where a parabola does not fit, as at
 * the moment the muffle opens, the better of two lines, from before and from after, stands in.
 *
 *     reach: (2h + 1) readings with 1.5·σ/√(2h + 1) ≤ 0.16 K     (variance of a local parabola's middle for many
 *     readings, after Savitzky and Golay, Anal. Chem. 36 (1964) 1627; the factor from memory)
 *
 * @param trace        °C over seconds, in rising time; despiked beforehand
 * @param noiseKelvin  standard deviation of one reading
 * @returns as many points, at the same moments
 * @example smoothed([{ atSeconds: 0, celsius: 500 }, { atSeconds: 1, celsius: 501 }], 0) // [{ atSeconds: 0, celsius: 500 }, { atSeconds: 1, celsius: 501 }]
 */
export function smoothed(trace: Trace, noiseKelvin: number): TracePoint[] {
  const wanted = ((1.5 * noiseKelvin) / TARGET_NOISE_KELVIN) ** 2;
  const stepSeconds = usualStepSeconds(trace);
  const longest = stepSeconds > 0 ? Math.floor(LONGEST_REACH_SECONDS / stepSeconds) : 0;
  const reach = Math.min(longest, Math.ceil((wanted - 1) / 2));
  if (reach < 1) return trace.map(({ atSeconds, celsius }) => ({ atSeconds, celsius }));
  const silence = longestOrdinaryStepSeconds(trace);
  return trace.map((_, index) => localValue(trace, index, reach, silence, noiseKelvin));
}

function localValue(
  trace: Trace,
  index: number,
  reach: number,
  silenceSeconds: number,
  noiseKelvin: number,
): TracePoint {
  const middle = trace[index];
  if (!middle) throw new RangeError(`smoothed requires an index within the trace, got ${index}`);
  const first = edge(trace, index, -reach, silenceSeconds);
  const last = edge(trace, index, reach, silenceSeconds);
  const isOneSided = index - first < reach / 2 || last - index < reach / 2;
  const around = fitAt(trace, index, first, last, isOneSided ? 1 : 2);
  if (around.misfitKelvin <= CORNER_MISFIT * noiseKelvin) return at(middle, around);
  const before = fitAt(trace, index, edge(trace, index, -2 * reach, silenceSeconds), index, 1);
  const after = fitAt(trace, index, index, edge(trace, index, 2 * reach, silenceSeconds), 1);
  const side = before.misfitKelvin <= after.misfitKelvin ? before : after;
  return at(
    middle,
    side.misfitKelvin * CLEARLY_BETTER < around.misfitKelvin && side.count > 3 ? side : around,
  );
}

function at(sample: Sample, fit: Fit): TracePoint {
  return { atSeconds: sample.atSeconds, celsius: sample.celsius + fit.changeKelvin };
}

/** A polynomial through readings, seen at one of them. */
interface Fit {
  readonly changeKelvin: number;
  /** Standard deviation of the readings about it, K, the worst one left out: one bad reading is no corner. */
  readonly misfitKelvin: number;
  readonly count: number;
}

/** Least-squares line or parabola through the readings `first` to `last`, at the reading `index`. */
function fitAt(trace: Trace, index: number, first: number, last: number, degree: 1 | 2): Fit {
  const middle = trace[index];
  const pieces: { t: number; v: number }[] = [];
  for (let k = first; k <= last; k++) {
    const sample = trace[k];
    if (sample && middle)
      pieces.push({ t: sample.atSeconds - middle.atSeconds, v: sample.celsius - middle.celsius });
  }
  const sums = { s0: 0, s1: 0, s2: 0, s3: 0, s4: 0, v0: 0, v1: 0, v2: 0 };
  for (const { t, v } of pieces) {
    sums.s0 += 1;
    sums.s1 += t;
    sums.s2 += t * t;
    sums.s3 += t * t * t;
    sums.s4 += t * t * t * t;
    sums.v0 += v;
    sums.v1 += v * t;
    sums.v2 += v * t * t;
  }
  const [a, b, c] = degree === 1 || sums.s0 < 4 ? lineThrough(sums) : parabolaThrough(sums);
  const squares = pieces.map(({ t, v }) => (v - a - b * t - c * t * t) ** 2);
  const withoutWorst = squares.reduce((sum, square) => sum + square, 0) - Math.max(...squares);
  const free = Math.max(1, pieces.length - degree - 2);
  return { changeKelvin: a, misfitKelvin: Math.sqrt(withoutWorst / free), count: pieces.length };
}

type Sums = Record<"s0" | "s1" | "s2" | "s3" | "s4" | "v0" | "v1" | "v2", number>;

function lineThrough({ s0, s1, s2, v0, v1 }: Sums): [number, number, number] {
  const determinant = s0 * s2 - s1 * s1;
  if (determinant <= 0) return [v0 / s0, 0, 0];
  return [(v0 * s2 - v1 * s1) / determinant, (s0 * v1 - s1 * v0) / determinant, 0];
}

function parabolaThrough(sums: Sums): [number, number, number] {
  const { s0, s1, s2, s3, s4, v0, v1, v2 } = sums;
  const determinant = determinantOf(s0, s1, s2, s1, s2, s3, s2, s3, s4);
  if (determinant <= 0) return lineThrough(sums);
  return [
    determinantOf(v0, s1, s2, v1, s2, s3, v2, s3, s4) / determinant,
    determinantOf(s0, v0, s2, s1, v1, s3, s2, v2, s4) / determinant,
    determinantOf(s0, s1, v0, s1, s2, v1, s2, s3, v2) / determinant,
  ];
}

/** Determinant of a 3×3 matrix by rows (Sarrus). */
function determinantOf(
  ...m: [number, number, number, number, number, number, number, number, number]
): number {
  const [a, b, c, d, e, f, g, h, i] = m;
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
}

function edge(trace: Trace, from: number, reach: number, silenceSeconds: number): number {
  const direction = Math.sign(reach);
  let at = from;
  while (at !== from + reach) {
    const here = trace[at];
    const next = trace[at + direction];
    if (!here || !next || Math.abs(next.atSeconds - here.atSeconds) > silenceSeconds) break;
    at += direction;
  }
  return at;
}
