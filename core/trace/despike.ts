import type { Sample, Trace } from "#core/trace/trace";

/** A lone reading this far from both neighbours is a spike, K: no chamber moves so and back in two steps. */
const SMALLEST_SPIKE_KELVIN = 12;

/**
 * The trace with lone outliers replaced by the straight line between their neighbours, for analysis only:
 * what is stored and shown keeps every reading.
 * @param trace        °C over seconds, in rising time
 * @param noiseKelvin  standard deviation of one reading; spikes must stand out of it eight times
 * @returns a trace of the same length and times
 * @example despiked([{ atSeconds: 0, celsius: 700 }, { atSeconds: 1, celsius: 1241 }, { atSeconds: 2, celsius: 702 }], 0)[1]?.celsius // 701
 */
export function despiked(trace: Trace, noiseKelvin: number): Trace {
  const limitKelvin = Math.max(SMALLEST_SPIKE_KELVIN, 8 * noiseKelvin);
  return trace.map((sample, index) => {
    const before = trace[index - 1];
    const after = trace[index + 1];
    return before && after ? withoutSpike(before, sample, after, limitKelvin) : sample;
  });
}

function withoutSpike(before: Sample, sample: Sample, after: Sample, limitKelvin: number): Sample {
  const rise = sample.celsius - before.celsius;
  const fall = sample.celsius - after.celsius;
  const isAlone =
    Math.sign(rise) === Math.sign(fall) && Math.abs(rise) > limitKelvin && Math.abs(fall) > limitKelvin;
  const neighboursAgree =
    Math.abs(after.celsius - before.celsius) < Math.min(Math.abs(rise), Math.abs(fall)) / 2;
  if (!isAlone || !neighboursAgree) return sample;
  const share = (sample.atSeconds - before.atSeconds) / (after.atSeconds - before.atSeconds);
  return { ...sample, celsius: before.celsius + share * (after.celsius - before.celsius) };
}
