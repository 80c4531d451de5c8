import { type Trace, usualStepSeconds } from "#core/trace/trace";

/** Median of absolute values to standard deviation of a normal distribution: 1/Φ⁻¹(3/4). */
const MEDIAN_TO_SIGMA = 1.4826;

/**
 * How noisy a trace is: standard deviation of one reading, K, from its second differences.
 * Straight climbs and level holds have none, so what is left is noise; the median keeps corners,
 * spikes and door openings out (a robust form of the von Neumann
 * successive-difference estimate, from memory).
 * @param trace °C over seconds, in rising time
 * @returns 0 where fewer than five evenly spaced triples exist
 * @example noiseKelvin([{ atSeconds: 0, celsius: 500 }, { atSeconds: 1, celsius: 501 }, { atSeconds: 2, celsius: 502 }]) // 0
 */
export function noiseKelvin(trace: Trace): number {
  const stepSeconds = usualStepSeconds(trace);
  const bends: number[] = [];
  for (const [index, middle] of trace.entries()) {
    const before = trace[index - 1];
    const after = trace[index + 1];
    if (!before || !after) continue;
    const firstStep = middle.atSeconds - before.atSeconds;
    const secondStep = after.atSeconds - middle.atSeconds;
    if (Math.abs(firstStep - secondStep) > 0.2 * stepSeconds || firstStep > 1.5 * stepSeconds) continue;
    bends.push(Math.abs(before.celsius - 2 * middle.celsius + after.celsius));
  }
  if (bends.length < 5) return 0;
  bends.sort((a, b) => a - b);
  return (MEDIAN_TO_SIGMA * (bends[Math.floor(bends.length / 2)] ?? 0)) / Math.sqrt(6);
}
