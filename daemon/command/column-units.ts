import {
  celsiusFromFahrenheit,
  celsiusFromKelvin,
  hectopascalsFromInchesOfMercury,
  hectopascalsFromKilopascals,
  hectopascalsFromMillimetresOfMercury,
  hectopascalsFromTorr,
} from "#core/units";

/** What a column can hold. The cold junction is a temperature that is never the chamber's. */
export type Quantity = "time" | "temperature" | "emf" | "cold junction" | "pressure" | "heater duty";

/** The unit that a column's name gives. */
export interface ColumnUnit {
  readonly quantity: Quantity;
  /** True for the unit of the house: such a column wins over others of its quantity. */
  readonly isCanonical?: true;
  /** To s, °C, mV, hPa or a share of 1. */
  readonly convert: (value: number) => number;
}

const same = (value: number) => value;

const seconds: ColumnUnit = { quantity: "time", isCanonical: true, convert: same };
const minutes: ColumnUnit = { quantity: "time", convert: (value) => value * 60 };
const celsius: ColumnUnit = { quantity: "temperature", isCanonical: true, convert: same };
const fahrenheit: ColumnUnit = { quantity: "temperature", convert: celsiusFromFahrenheit };
const kelvin: ColumnUnit = { quantity: "temperature", convert: celsiusFromKelvin };
const millivolts: ColumnUnit = { quantity: "emf", isCanonical: true, convert: same };
const microvolts: ColumnUnit = { quantity: "emf", convert: (value) => value / 1000 };
const hectopascals: ColumnUnit = { quantity: "pressure", isCanonical: true, convert: same };
const pascals: ColumnUnit = { quantity: "pressure", convert: (value) => value / 100 };
const bar: ColumnUnit = { quantity: "pressure", convert: (value) => value * 1000 };
const kilopascals: ColumnUnit = { quantity: "pressure", convert: hectopascalsFromKilopascals };

const dutyFraction: ColumnUnit = { quantity: "heater duty", isCanonical: true, convert: same };
const dutyPercent: ColumnUnit = { quantity: "heater duty", convert: (value) => value / 100 };

/** Units by the words and signs that a header may use for them, in small letters. */
const UNITS = new Map<string, ColumnUnit>([
  ["seconds", seconds],
  ["s", seconds],
  ["sec", seconds],
  ["minutes", minutes],
  ["min", minutes],
  ["celsius", celsius],
  ["°c", celsius],
  ["c", celsius],
  ["fahrenheit", fahrenheit],
  ["°f", fahrenheit],
  ["f", fahrenheit],
  ["kelvin", kelvin],
  ["k", kelvin],
  ["millivolts", millivolts],
  ["millivolt", millivolts],
  ["mv", millivolts],
  ["microvolts", microvolts],
  ["microvolt", microvolts],
  ["uv", microvolts],
  // The micro sign and the Greek letter look the same.
  ["\u00b5v", microvolts],
  ["\u03bcv", microvolts],
  ["hectopascals", hectopascals],
  ["hpa", hectopascals],
  ["mbar", hectopascals],
  ["millibar", hectopascals],
  ["pascals", pascals],
  ["pa", pascals],
  ["bar", bar],
  ["kilopascals", kilopascals],
  ["kpa", kilopascals],
  ["mmhg", { quantity: "pressure", convert: hectopascalsFromMillimetresOfMercury }],
  ["inhg", { quantity: "pressure", convert: hectopascalsFromInchesOfMercury }],
  ["torr", { quantity: "pressure", convert: hectopascalsFromTorr }],
]);

/** Shares of full power, by the end of a name that says whose. */
const DUTY = /(?:duty|heater|heating|power)[ _]?\(?(?:(fraction)|percent|%)\)?$/;

/** Words that say that a temperature is the adapter's own terminals, or the room. */
const COLD_JUNCTION =
  /(?<!\p{L})(?:cold|cjc?|cjt|ambient|room|terminals?|ref(?:erence)?[ _-]?junction)(?!\p{L})|coldjunction/u;

/**
 * The unit of a column that is named by the unit alone: `celsius`, `mV`.
 * @example wholeNameUnit("hPa")?.quantity // "pressure"
 */
export function wholeNameUnit(name: string): ColumnUnit | undefined {
  return UNITS.get(name.toLowerCase());
}

/**
 * The unit at the end of a column's name: `temperature_celsius`, `Time [s]`, `temp_K`, `emf_mV`. What ends in
 * `_min` may be a lowest temperature as well as minutes, so it counts in brackets only. A temperature whose
 * name says cold junction, terminals, ambient or room is the cold junction.
 * @example trailingUnit("cj_c")?.quantity // "cold junction"
 */
export function trailingUnit(name: string): ColumnUnit | undefined {
  const small = name.toLowerCase();
  const [duty, isFraction] = DUTY.exec(small) ?? [];
  if (duty !== undefined) return isFraction ? dutyFraction : dutyPercent;
  const unit = UNITS.get(unitAtEnd(small));
  const isCold = unit?.quantity === "temperature" && COLD_JUNCTION.test(small);
  return isCold ? { ...unit, quantity: "cold junction" } : unit;
}

function unitAtEnd(small: string): string {
  const units =
    /[[(]\s*([^\])]+?)\s*[\])]$|[_ ](°?[cfk]|s|sec|[mu\u00b5\u03bc]v)$|(\p{L}{4,}|[hk]pa|[_ ](?:pa|bar))$/u.exec(
      small,
    ) ?? [];
  return (units[1] ?? units[2] ?? units[3] ?? "").replace(/^[_ ]/, "");
}
