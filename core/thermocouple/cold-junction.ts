import { emfMillivolts, emfOnCurve, referenceRangeCelsius } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { celsiusFromEmf, type TemperatureResult } from "#core/thermocouple/temperature";

/**
 * The temperature of the measuring junction from what was measured at a cold junction that is not at 0 °C.
 * EMFs are added, never degrees: E(hot) = E(measured) + E(cold), then inverted. Adding the cold junction's
 * degrees to an uncompensated reading is wrong by up to 10 K for type S at 960 °C.
 * @param millivolts           as measured
 * @param coldJunctionCelsius  within the type's reference range
 * @returns °C, or that the EMF is outside of the type's range
 * @throws RangeError when the cold junction is outside of the reference range
 * @example hotJunctionCelsius("K", 32.477, 20).ok // true
 */
export function hotJunctionCelsius(
  type: ThermocoupleType,
  millivolts: number,
  coldJunctionCelsius: number,
): TemperatureResult {
  return celsiusFromEmf(type, millivolts + emfMillivolts(type, coldJunctionCelsius));
}

/**
 * What is measured between a hot and a cold junction, mV: E(hot) − E(cold).
 * @throws RangeError when either is outside of the reference range
 * @example measuredMillivolts("K", 800, 20).toFixed(3) // "32.477"
 */
export function measuredMillivolts(
  type: ThermocoupleType,
  hotJunctionCelsius: number,
  coldJunctionCelsius: number,
): number {
  return emfMillivolts(type, hotJunctionCelsius) - emfMillivolts(type, coldJunctionCelsius);
}

/**
 * Whether a cold junction can be compensated for a type: type B's function begins at 0 °C.
 * @example isCompensable("B", -5) // false
 */
export function isCompensable(type: ThermocoupleType, coldJunctionCelsius: number): boolean {
  const { from, to } = referenceRangeCelsius(type);
  return (
    coldJunctionCelsius >= from &&
    coldJunctionCelsius <= to &&
    Number.isFinite(emfOnCurve(type, coldJunctionCelsius))
  );
}
