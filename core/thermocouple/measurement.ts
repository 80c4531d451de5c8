import { hotJunctionCelsius, isCompensable } from "#core/thermocouple/cold-junction";
import { correctedCelsius } from "#core/thermocouple/correction";
import type { Probe } from "#core/thermocouple/probe";

/** What an instrument said of its probe at a moment: a temperature, or an EMF with its cold junction. */
export interface ProbeSignal {
  readonly celsius?: number | undefined;
  readonly millivolts?: number | undefined;
  readonly coldJunctionCelsius?: number | undefined;
}

/** The chamber's temperature from a signal, or why there is none. */
export type MeasurementResult =
  | { readonly ok: true; readonly celsius: number; readonly uncorrectedCelsius: number }
  | {
      readonly ok: false;
      readonly fault:
        | "above-range"
        | "below-range"
        | "type-unknown"
        | "cold-junction-unknown"
        | "nothing-measured";
    };

/**
 * The chamber's temperature from what an instrument said: its own °C where it gives them, else its EMF
 * compensated for the cold junction and inverted; the probe's accepted correction is added.
 * @param probe its type is needed for an EMF
 * @example measuredCelsius({ millivolts: 9.015, coldJunctionCelsius: 20 }, { type: "S", toleranceClass: null, instrumentAccuracyKelvin: null, instrumentResolutionKelvin: null, coldJunctionAccuracyKelvin: null, positionKelvin: null, correction: null }).ok // true
 */
export function measuredCelsius(signal: ProbeSignal, probe: Probe): MeasurementResult {
  const { celsius, millivolts } = signal;
  if (celsius !== undefined) return corrected(celsius, probe);
  if (millivolts === undefined) return { ok: false, fault: "nothing-measured" };
  return fromEmf(millivolts, signal.coldJunctionCelsius, probe);
}

function fromEmf(
  millivolts: number,
  coldJunctionCelsius: number | undefined,
  probe: Probe,
): MeasurementResult {
  if (probe.type === null) return { ok: false, fault: "type-unknown" };
  if (coldJunctionCelsius === undefined || !isCompensable(probe.type, coldJunctionCelsius))
    return { ok: false, fault: "cold-junction-unknown" };
  const hot = hotJunctionCelsius(probe.type, millivolts, coldJunctionCelsius);
  return hot.ok ? corrected(hot.celsius, probe) : hot;
}

function corrected(uncorrectedCelsius: number, { correction }: Probe): MeasurementResult {
  const celsius = correctedCelsius(uncorrectedCelsius, correction?.points ?? []);
  return { ok: true, celsius, uncorrectedCelsius };
}
