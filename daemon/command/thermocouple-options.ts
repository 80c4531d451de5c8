import { isCompensable } from "#core/thermocouple/cold-junction";
import { referenceRangeCelsius, THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { type ToleranceClass, toleranceClasses } from "#core/thermocouple/tolerance";
import { numberOption, wrongCall } from "#daemon/command/options";
import { type Probe, UNKNOWN_PROBE } from "#shared/probe";

/** What a call may say of a probe. */
export const PROBE_OPTIONS = {
  type: { type: "string" },
  class: { type: "string" },
  accuracy: { type: "string" },
  resolution: { type: "string" },
  "cold-accuracy": { type: "string" },
  position: { type: "string" },
} as const;

/** The values of `PROBE_OPTIONS`. */
export type ProbeValues = { readonly [name in keyof typeof PROBE_OPTIONS]?: string | undefined };

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

/**
 * The probe of a call, half-widths in K; null where nothing was said of it.
 * @throws DaemonError `input-refused` when a value is out of range, or a class is given that the type has not
 */
export function probeOption(verb: string, values: ProbeValues): Probe | null {
  const isSaid = (Object.keys(PROBE_OPTIONS) as (keyof ProbeValues)[]).some(
    (name) => values[name] !== undefined,
  );
  if (!isSaid) return null;
  const type = values.type === undefined ? null : typeOption(verb, values.type);
  const halfWidth = (name: keyof ProbeValues) => {
    const text = values[name];
    return text === undefined ? null : numberOption(verb, name, text, { from: 0, to: 200 });
  };
  return {
    ...UNKNOWN_PROBE,
    type,
    toleranceClass: values.class === undefined ? null : classOption(verb, type, values.class),
    instrumentAccuracyKelvin: halfWidth("accuracy"),
    instrumentResolutionKelvin: halfWidth("resolution"),
    coldJunctionAccuracyKelvin: halfWidth("cold-accuracy"),
    positionKelvin: halfWidth("position"),
  };
}

function classOption(verb: string, type: ThermocoupleType | null, text: string): ToleranceClass {
  if (type === null) throw wrongCall(verb, "--class needs --type: a class is another one for each type");
  const classes = toleranceClasses(type);
  const found = classes.find((name) => name === text.toLowerCase());
  if (found) return found;
  throw wrongCall(
    verb,
    `--class takes one of ${classes.join(", ")} for type ${type}, not "${text.slice(0, 40)}"`,
  );
}
