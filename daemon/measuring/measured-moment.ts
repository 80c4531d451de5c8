import { type MeasurementResult, measuredCelsius } from "#core/thermocouple/measurement";
import type { Probe } from "#core/thermocouple/probe";
import type { Heard } from "#core/thermocouple/sensor-faults";
import type { Reading } from "#daemon/link/reading";

/** What a probe can say, °C; anything else is a broken line or a code for a fault. */
const LOWEST_CELSIUS = -273.15;
const HIGHEST_CELSIUS = 5000;

/** Why a signal gives no temperature. */
export type MeasurementFault = Extract<MeasurementResult, { readonly ok: false }>["fault"];

/** What an instrument said of its probe at a moment, and what that means with a probe. */
export interface MeasuredMoment {
  /** On the furnace's own stream of time. */
  readonly streamSeconds: number;
  /** As it was said: °C uncorrected, mV with the cold junction that belongs to them. */
  readonly said: Reading;
  readonly uncorrectedCelsius: number | null;
  /** With the probe's accepted correction; null when there is none that a chamber can have. */
  readonly celsius: number | null;
  readonly fault: MeasurementFault | null;
}

/**
 * Whether a reading says something of the probe, be it that there is no temperature.
 * @example isOfProbe({ furnaceId: "one", hectopascals: 20, receivedAtSeconds: 0, receivedAtEpochMilliseconds: 0 }) // false
 */
export function isOfProbe({ celsius, millivolts, sensorWord }: Reading): boolean {
  return celsius !== undefined || millivolts !== undefined || sensorWord !== undefined;
}

/** A reading measured with a probe: °C as they are said, or out of the EMF, with the correction added. */
export function measuredMoment(streamSeconds: number, said: Reading, probe: Probe): MeasuredMoment {
  const result = measuredCelsius(said, probe);
  if (!result.ok)
    return { streamSeconds, said, uncorrectedCelsius: null, celsius: null, fault: result.fault };
  const { celsius, uncorrectedCelsius } = result;
  const fault = celsius > HIGHEST_CELSIUS ? "above-range" : celsius < LOWEST_CELSIUS ? "below-range" : null;
  return { streamSeconds, said, uncorrectedCelsius, celsius: fault === null ? celsius : null, fault };
}

/**
 * The moment as a watch over the probe hears it; null when it is for want of a setting that nothing was
 * measured, which is no fault of the probe.
 * @param atSeconds on the time of whoever watches
 */
export function heardAt(
  { said, uncorrectedCelsius, fault }: MeasuredMoment,
  atSeconds: number,
): Heard | null {
  const { millivolts, coldJunctionCelsius, heaterDutyFraction } = said;
  if (fault === "type-unknown") return null;
  if (fault === "cold-junction-unknown" && coldJunctionCelsius === undefined) return null;
  const outOfRange = fault === "above-range" || fault === "below-range" ? fault : undefined;
  return {
    atSeconds,
    celsius: uncorrectedCelsius,
    millivolts,
    coldJunctionCelsius,
    heaterDutyFraction,
    sensorWord: said.sensorWord ?? outOfRange,
  };
}
