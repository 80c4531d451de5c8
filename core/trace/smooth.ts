import type { TracePoint } from "#core/trace/slope";
import { SHORTEST_GAP_SECONDS, type Trace, usualStepSeconds } from "#core/trace/trace";

/** What is left of the noise after smoothing, K: small against the kelvins that a verdict speaks of. */
const TARGET_NOISE_KELVIN = 0.18;

/** Never look further than this to either side, s: an overshoot of half a minute keeps its height. */
const LONGEST_REACH_SECONDS = 8;

/**
 * The trace with its noise taken down to about 0.2 K by a local parabola, and not touched at all where it
 * is already quieter than that: a clean recording keeps its corners.
 *
 *     reach: (2h + 1) readings with 1.5·σ/√(2h + 1) ≤ 0.18 K     (variance of the local parabola's middle,
 *                                                             Savitzky and Golay, Anal. Chem. 36 (1964) 1627)
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
  const silence = Math.max(SHORTEST_GAP_SECONDS, 4 * stepSeconds);
  return trace.map((_, index) => localValue(trace, index, reach, silence));
}

function localValue(trace: Trace, index: number, reach: number, silenceSeconds: number): TracePoint {
  const middle = trace[index];
  if (!middle) throw new RangeError(`smoothed requires an index within the trace, got ${index}`);
  const first = edge(trace, index, -reach, silenceSeconds);
  const last = edge(trace, index, reach, silenceSeconds);
  const isOneSided = index - first < reach / 2 || last - index < reach / 2;
  const atSeconds = middle.atSeconds;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  let v0 = 0;
  let v1 = 0;
  let v2 = 0;
  for (let at = first; at <= last; at++) {
    const sample = trace[at];
    if (!sample) continue;
    const t = sample.atSeconds - atSeconds;
    const v = sample.celsius - middle.celsius;
    s0 += 1;
    s1 += t;
    s2 += t * t;
    s3 += t * t * t;
    s4 += t * t * t * t;
    v0 += v;
    v1 += v * t;
    v2 += v * t * t;
  }
  const change =
    isOneSided || s0 < 4 ? lineAtZero(s0, s1, s2, v0, v1) : parabolaAtZero(s0, s1, s2, s3, s4, v0, v1, v2);
  return { atSeconds, celsius: middle.celsius + change };
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

function lineAtZero(s0: number, s1: number, s2: number, v0: number, v1: number): number {
  const determinant = s0 * s2 - s1 * s1;
  return determinant > 0 ? (v0 * s2 - v1 * s1) / determinant : v0 / s0;
}

function parabolaAtZero(
  s0: number,
  s1: number,
  s2: number,
  s3: number,
  s4: number,
  v0: number,
  v1: number,
  v2: number,
): number {
  const m0 = s2 * s4 - s3 * s3;
  const m1 = s1 * s4 - s2 * s3;
  const m2 = s1 * s3 - s2 * s2;
  const determinant = s0 * m0 - s1 * m1 + s2 * m2;
  return determinant > 0 ? (v0 * m0 - v1 * m1 + v2 * m2) / determinant : lineAtZero(s0, s1, s2, v0, v1);
}
