/** One moment of a bake, as measured. Absent channels are absent, never zero. */
export interface Sample {
  /** Seconds since the trace's own zero; monotonic, never the wall clock. */
  readonly atSeconds: number;
  /** Chamber temperature, °C. */
  readonly celsius: number;
  /** What the thermocouple itself gave, mV, where the adapter says that. */
  readonly millivolts?: number | undefined;
  /** Absolute chamber pressure, hPa; a vacuum is a low pressure. */
  readonly hectopascals?: number | undefined;
  /** Cold-junction temperature of the adapter, °C. */
  readonly coldJunctionCelsius?: number | undefined;
  /** Share of full heater power, 0 to 1. */
  readonly heaterDutyFraction?: number | undefined;
}

/** What was measured, in rising time. */
export type Trace = readonly Sample[];

/** A stretch of a trace in which nothing was measured. */
export interface Gap {
  readonly fromSeconds: number;
  readonly toSeconds: number;
}

/** The shortest silence that counts as a gap, s. */
export const SHORTEST_GAP_SECONDS = 5;

/** With fewer steps than this a long one is no habit of the instrument. */
const STEPS_TO_KNOW = 40;

/**
 * The gaps of a trace: silences of at least `SHORTEST_GAP_SECONDS` that also stand out of its own steps
 * (four times the usual one, twice that which 19 of 20 stay under), so that an instrument which speaks
 * every 15 s, or unevenly, has none.
 * @param trace °C over seconds, in rising time
 * @returns gaps in rising time; empty when there are fewer than two samples
 * @example gaps([{ atSeconds: 0, celsius: 500 }, { atSeconds: 1, celsius: 500 }, { atSeconds: 2, celsius: 500 }, { atSeconds: 32, celsius: 520 }]) // [{ fromSeconds: 2, toSeconds: 32 }]
 */
export function gaps(trace: Trace): Gap[] {
  const longestStepSeconds = longestOrdinaryStepSeconds(trace);
  const found: Gap[] = [];
  for (const [index, to] of trace.entries()) {
    const from = trace[index - 1];
    if (from && to.atSeconds - from.atSeconds >= longestStepSeconds)
      found.push({ fromSeconds: from.atSeconds, toSeconds: to.atSeconds });
  }
  return found;
}

/**
 * The usual time between two samples: the median step, s.
 * @param trace °C over seconds, in rising time
 * @returns 0 for fewer than two samples
 * @example usualStepSeconds([{ atSeconds: 0, celsius: 20 }, { atSeconds: 1, celsius: 20 }, { atSeconds: 3, celsius: 20 }, { atSeconds: 4, celsius: 20 }]) // 1
 */
export function usualStepSeconds(trace: Trace): number {
  const steps = sortedStepsSeconds(trace);
  return steps[Math.floor(steps.length / 2)] ?? 0;
}

/**
 * Silences shorter than this are steps, not gaps, s.
 * @param trace °C over seconds, in rising time
 * @example longestOrdinaryStepSeconds([{ atSeconds: 0, celsius: 20 }, { atSeconds: 15, celsius: 20 }, { atSeconds: 30, celsius: 20 }]) // 60
 */
export function longestOrdinaryStepSeconds(trace: Trace): number {
  const steps = sortedStepsSeconds(trace);
  const usual = steps[Math.floor(steps.length / 2)] ?? 0;
  const nearlyLongest =
    steps.length >= STEPS_TO_KNOW ? (steps[Math.floor(0.95 * (steps.length - 1))] ?? 0) : 0;
  return Math.max(SHORTEST_GAP_SECONDS, 4 * usual, 2 * nearlyLongest);
}

function sortedStepsSeconds(trace: Trace): number[] {
  const steps = trace.slice(1).map((sample, index) => sample.atSeconds - (trace[index]?.atSeconds ?? 0));
  return steps.sort((a, b) => a - b);
}
