import type { Trace } from "#core/trace/trace";

/** No chamber, and no thermocouple in one, moves so fast: a jump, K and K/s. */
const JUMP_KELVIN = 30;
const JUMP_KELVIN_PER_SECOND = 50;

/** A jump that comes back within this time was a fault of the reading, s. */
const LONGEST_FAULT_SECONDS = 10;

/** The chamber may have moved this much meanwhile, K and K/s. */
const DRIFT_KELVIN = 20;
const DRIFT_KELVIN_PER_SECOND = 5;

/** A trace without the readings that jumped away and back, and how many these were. */
export interface TrustedTrace {
  readonly trace: Trace;
  readonly wildReadings: number;
}

/**
 * The trace without readings that no chamber can have had: entered by a jump, left by another within 10 s,
 * with both sides agreeing. A thermocouple that opens for a moment reads full scale, or nothing, so.
 * They count as not measured; the stored trace keeps them.
 * @param trace °C over seconds, in rising time
 */
export function trustedTrace(trace: Trace): TrustedTrace {
  const kept: Trace[number][] = [];
  let wildReadings = 0;
  for (let index = 0; index < trace.length; index++) {
    const sample = trace[index];
    const before = kept.at(-1);
    if (!sample) continue;
    const back = before && isJump(before, sample) ? returnIndex(trace, before, index) : null;
    if (back === null) kept.push(sample);
    else {
      wildReadings += back - index;
      index = back - 1;
    }
  }
  return { trace: wildReadings === 0 ? trace : kept, wildReadings };
}

function isJump(from: Trace[number], to: Trace[number]): boolean {
  const kelvin = Math.abs(to.celsius - from.celsius);
  return kelvin > JUMP_KELVIN && kelvin > JUMP_KELVIN_PER_SECOND * (to.atSeconds - from.atSeconds);
}

/** The first reading that agrees again with the one before the jump; null when none comes soon enough. */
function returnIndex(trace: Trace, before: Trace[number], from: number): number | null {
  for (let index = from + 1; index < trace.length; index++) {
    const sample = trace[index];
    const away = trace[index - 1];
    if (!sample || !away) return null;
    const passedSeconds = sample.atSeconds - before.atSeconds;
    if (passedSeconds > LONGEST_FAULT_SECONDS) return null;
    const driftKelvin = DRIFT_KELVIN + DRIFT_KELVIN_PER_SECOND * passedSeconds;
    if (Math.abs(sample.celsius - before.celsius) <= driftKelvin && isJump(away, sample)) return index;
  }
  return null;
}
