import { isCompensable } from "#core/thermocouple/cold-junction";
import { referenceRangeCelsius, THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { numberOption, wrongCall } from "#daemon/command/options";

/** Wider than any voltmeter or thermometer: what lies beyond is no number that somebody meant. */
export const ANY_NUMBER = { from: -1e9, to: 1e9 };

/**
 * `--type S`, in capitals or not.
 * @throws DaemonError `input-refused` for another word
 */
export function typeOption(verb: string, text: string): ThermocoupleType {
  const type = THERMOCOUPLE_TYPES.find((letter) => letter === text.trim().toUpperCase());
  if (type) return type;
  throw wrongCall(verb, `--type takes one of ${THERMOCOUPLE_TYPES.join(", ")}, not "${text.slice(0, 40)}"`);
}

/**
 * `--cold 24`, °C, within what the type is defined for.
 * @throws DaemonError `input-refused` with the range
 */
export function coldJunctionOption(verb: string, type: ThermocoupleType, text: string): number {
  const celsius = numberOption(verb, "cold", text, ANY_NUMBER);
  if (isCompensable(type, celsius)) return celsius;
  const { from, to } = referenceRangeCelsius(type);
  throw wrongCall(verb, `--cold takes ${from} to ${to} °C for type ${type}, not "${text}"`);
}
