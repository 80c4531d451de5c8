import { uncorrectedCelsius } from "#core/thermocouple/correction";
import type { Probe } from "#core/thermocouple/probe";
import type { Trace } from "#core/trace/trace";

/** A recorded trace as its probe read it, without the correction that it was recorded with. */
export function uncorrectedTrace(trace: Trace, probe: Probe | null): Trace {
  const points = probe?.correction?.points ?? [];
  if (points.length === 0) return trace;
  return trace.map((sample) => ({ ...sample, celsius: uncorrectedCelsius(sample.celsius, points) }));
}
