import type { Reading } from "#daemon/link/reading";

/** A cold junction that comes on lines of its own counts for so long, s: it drifts by a kelvin in minutes. */
const LONGEST_SECONDS = 60;

/** The cold junction as it was last said. */
export interface ColdJunction {
  readonly celsius: number;
  readonly receivedAtSeconds: number;
}

/** The cold junction after a reading. */
export function nextColdJunction(before: ColdJunction | null, reading: Reading): ColdJunction | null {
  const { coldJunctionCelsius: celsius, receivedAtSeconds } = reading;
  return celsius === undefined ? before : { celsius, receivedAtSeconds };
}

/** Millivolts with the cold junction that was said with them or shortly before, and with no older one. */
export function withColdJunction(reading: Reading, known: ColdJunction | null): Reading {
  if (reading.millivolts === undefined) return reading;
  const isRecent = known !== null && reading.receivedAtSeconds - known.receivedAtSeconds <= LONGEST_SECONDS;
  return { ...reading, coldJunctionCelsius: isRecent ? known.celsius : undefined };
}
