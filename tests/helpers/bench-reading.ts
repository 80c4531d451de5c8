import type { BenchReading } from "#simulators/bench-furnace";

/** What a bench furnace says at a moment, with what a test cares about put in; its probe has no noise. */
export function benchReading(said: Partial<BenchReading> = {}): BenchReading {
  const celsius = said.celsius ?? 510;
  return {
    elapsedSeconds: 1,
    celsius,
    sensedCelsius: celsius,
    coldJunctionCelsius: 24,
    hectopascals: 1013.2,
    heaterDutyFraction: 0.2,
    ...said,
  };
}
