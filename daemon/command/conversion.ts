import { hotJunctionCelsius, measuredMillivolts } from "#core/thermocouple/cold-junction";
import { emfMillivolts, referenceRangeCelsius, seebeckMicrovoltsPerKelvin } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { readableRange } from "#core/thermocouple/temperature";

/** Why type B is not read below 250 °C. */
const TYPE_B_WORDS = ": its EMF is not unique below 42 °C and hardly moves up to 250 °C";

/** What a conversion starts from. */
export type Given = "millivolts" | "celsius";

/** A thermocouple and its cold junction. */
export interface Junctions {
  readonly type: ThermocoupleType;
  readonly coldJunctionCelsius: number;
}

/** A thermocouple at a temperature. */
export interface Conversion extends Junctions {
  /** Of the hot junction. */
  readonly celsius: number;
  /** As measured between the terminals: E(hot) − E(cold). */
  readonly millivolts: number;
  /** At the hot junction. */
  readonly seebeckMicrovoltsPerKelvin: number;
}

/** A conversion, or which end of the range the value lies beyond. */
export type ConversionResult =
  | { readonly ok: true; readonly conversion: Conversion }
  | { readonly ok: false; readonly fault: RangeFault };

/** Which end of the range a value lies beyond. */
export type RangeFault = "above-range" | "below-range";

/**
 * One value of a thermocouple converted: mV as measured to °C, or °C to mV.
 * @param value a finite number
 * @throws RangeError when the cold junction is out of the type's range
 */
export function converted(given: Given, value: number, junctions: Junctions): ConversionResult {
  const { type, coldJunctionCelsius } = junctions;
  if (given === "celsius") {
    const { from, to } = referenceRangeCelsius(type);
    if (value < from || value > to) return { ok: false, fault: value > to ? "above-range" : "below-range" };
    return done(junctions, value, measuredMillivolts(type, value, coldJunctionCelsius));
  }
  const hot = hotJunctionCelsius(type, value, coldJunctionCelsius);
  return hot.ok ? done(junctions, hot.celsius, value) : hot;
}

/**
 * A value out of range as one sentence: what it is, and where the range ends.
 * @example rangeSentence("celsius", 2000, "above-range", { type: "S", coldJunctionCelsius: 0 }) // "2000 °C is above type S, which is defined from -50 to 1768.1 °C"
 */
export function rangeSentence(given: Given, value: number, fault: RangeFault, junctions: Junctions): string {
  const { type, coldJunctionCelsius } = junctions;
  const side = fault === "above-range" ? "above" : "below";
  if (given === "celsius") {
    const { from, to } = referenceRangeCelsius(type);
    return `${value} °C is ${side} type ${type}, which is defined from ${from} to ${to} °C`;
  }
  const { celsius, millivolts } = readableRange(type)[fault === "above-range" ? "to" : "from"];
  const limit = (millivolts - emfMillivolts(type, coldJunctionCelsius)).toFixed(3);
  const why = type === "B" && fault === "below-range" ? TYPE_B_WORDS : "";
  const verb = fault === "above-range" ? "ends" : "can be read from";
  const at = fault === "above-range" ? "at " : "";
  return `${value} mV with the cold junction at ${coldJunctionCelsius} °C is ${side} type ${type}, which ${verb} ${at}${limit} mV, ${celsius} °C${why}`;
}

function done(junctions: Junctions, celsius: number, millivolts: number): ConversionResult {
  const { type } = junctions;
  return {
    ok: true,
    conversion: {
      type,
      celsius,
      millivolts,
      coldJunctionCelsius: junctions.coldJunctionCelsius,
      seebeckMicrovoltsPerKelvin: seebeckMicrovoltsPerKelvin(type, celsius),
    },
  };
}
