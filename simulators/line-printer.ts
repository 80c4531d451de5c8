import { fahrenheitFromCelsius, kelvinFromCelsius } from "#core/units";
import type { SensorWord } from "#shared/sensor-fault";
import type { InstrumentReading } from "#simulators/instrument-reading";

/**
 * How an adapter writes a reading: seconds of its own time, °C, hPa, share of full power. Written apart
 * from the daemon's parser on purpose: a shared codec would agree with its own mistakes.
 *
 *     pairs         s=123.0 T=512.4 P=1013.2 D=0.42
 *     columns       123.0;512.4;1013.2
 *     number        512.4
 *     json          {"s":123.0,"T":512.4,"P":1013.2}
 *
 * Behind that a hyphen and what is said of the thermocouple: `mv` its EMF and the cold junction instead of a
 * temperature, `cold` both temperatures, `f` and `k` the temperature in °F and in kelvin.
 *
 *     pairs-mv      s=123.0 E=20.1234 CJ=24.1 P=1013.2
 *     columns-cold  123.0;512.4;24.1;1013.2
 *     number-f      954.3 F
 */
export const LINE_FORMATS = [
  "pairs",
  "pairs-mv",
  "pairs-cold",
  "pairs-f",
  "pairs-k",
  "columns",
  "columns-mv",
  "columns-cold",
  "columns-f",
  "columns-k",
  "number",
  "number-f",
  "number-k",
  "json",
  "json-mv",
  "json-cold",
  "json-f",
  "json-k",
] as const;
export type LineFormat = (typeof LINE_FORMATS)[number];

/** What stands in place of a value that the adapter does not have. */
export const SENSOR_WORDS: Readonly<Record<SensorWord, string>> = {
  "open-circuit": "OPEN",
  "above-range": "OVER",
  "below-range": "UNDER",
  "no-value": "---",
};

/** A key with what is printed behind it, as text. */
type Field = readonly [key: string, text: string];

/**
 * One line with its ending.
 * @example printedLine({ elapsedSeconds: 123, celsius: 512.4, sensorWord: null, millivolts: 20.1234, coldJunctionCelsius: 24.1, hectopascals: 1013.2, heaterDutyFraction: 0.42 }, "pairs") // "s=123.0 T=512.4 P=1013.2 D=0.42\r\n"
 */
export function printedLine(reading: InstrumentReading, format: LineFormat): string {
  const [shape, variant = ""] = format.split("-");
  return `${shaped(shape ?? "", sensorFields(reading, variant), reading, variant)}\r\n`;
}

function shaped(
  shape: string,
  sensor: readonly Field[],
  { elapsedSeconds, hectopascals, heaterDutyFraction }: InstrumentReading,
  variant: string,
): string {
  const seconds: Field = ["s", elapsedSeconds.toFixed(1)];
  const pressure: Field = ["P", hectopascals.toFixed(1)];
  const duty: Field = ["D", heaterDutyFraction.toFixed(2)];
  switch (shape) {
    case "pairs": {
      const fields = [seconds, ...sensor, pressure, ...(variant === "mv" ? [] : [duty])];
      return fields.map(([key, text]) => `${key}=${text}`).join(" ");
    }
    case "columns": {
      const fields = [seconds, ...sensor, ...(variant === "mv" ? [] : [pressure])];
      return fields.map(([, text]) => text).join(";");
    }
    case "json":
      return `{${[seconds, ...sensor, pressure].map(([key, text]) => `"${key}":${jsonText(text)}`).join(",")}}`;
    default:
      return `${sensor[0]?.[1]}${unitBehind(variant, sensor[0]?.[1] ?? "")}`;
  }
}

/** What the variant says of the thermocouple. */
function sensorFields(reading: InstrumentReading, variant: string): Field[] {
  const { celsius, millivolts, coldJunctionCelsius } = reading;
  const word = SENSOR_WORDS[reading.sensorWord ?? "no-value"];
  const coldJunction: Field = ["CJ", coldJunctionCelsius.toFixed(1)];
  if (variant === "mv") return [["E", millivolts?.toFixed(4) ?? word], coldJunction];
  const temperature: Field = ["T", celsius === null ? word : inUnit(celsius, variant).toFixed(1)];
  return variant === "cold" ? [temperature, coldJunction] : [temperature];
}

function inUnit(celsius: number, variant: string): number {
  if (variant === "f") return fahrenheitFromCelsius(celsius);
  return variant === "k" ? kelvinFromCelsius(celsius) : celsius;
}

/** A number alone says its unit where that is not °C. */
function unitBehind(variant: string, text: string): string {
  const isNumber = /\d$/.test(text);
  return isNumber && (variant === "f" || variant === "k") ? ` ${variant.toUpperCase()}` : "";
}

function jsonText(text: string): string {
  return /\d$/.test(text) ? text : JSON.stringify(text);
}
