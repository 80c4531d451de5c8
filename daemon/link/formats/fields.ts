import {
  celsiusFromFahrenheit,
  celsiusFromKelvin,
  hectopascalsFromInchesOfMercury,
  hectopascalsFromKilopascals,
  hectopascalsFromMillimetresOfMercury,
  hectopascalsFromTorr,
} from "#core/units";
import { sensorWordOf } from "#daemon/link/formats/sensor-words";
import type { Channels } from "#daemon/link/reading";
import type { SensorWord } from "#shared/sensor-fault";

/** What a field of a line holds, with its unit; `skip` is read past. */
export type FieldWord =
  | "seconds"
  | "minutes"
  | "milliseconds"
  | "celsius"
  | "fahrenheit"
  | "kelvin"
  | "millivolts"
  | "microvolts"
  | "cold-celsius"
  | "cold-fahrenheit"
  | "cold-kelvin"
  | "hectopascals"
  | "kilopascals"
  | "mmhg"
  | "torr"
  | "inhg"
  | "duty-fraction"
  | "duty-percent"
  | "skip";

/** The channels of a line, or why it was refused. */
export type LineResult =
  | { readonly ok: true; readonly channels: Channels }
  | { readonly ok: false; readonly why: string };

/** A field that was found on a line: what it should hold, its name there, and its text. */
export interface FieldText {
  readonly word: FieldWord;
  readonly name: string;
  readonly text: string;
}

/** The channels that a field can fill. */
export type Channel = Exclude<keyof Channels, "sensorWord">;

type Numbers = { -readonly [name in Channel]?: number };

interface FieldMeaning {
  readonly channel: Channel;
  readonly canonical: (value: number) => number;
  /** Unit letters that may follow the number, in small letters. */
  readonly suffixes: readonly string[];
}

const celsiusSuffixes = ["c", "°c", "degc", "℃"];
const fahrenheitSuffixes = ["f", "°f", "degf", "℉"];
const kelvinSuffixes = ["k"];
const same = (value: number) => value;

const meanings: Readonly<Record<Exclude<FieldWord, "skip">, FieldMeaning>> = {
  seconds: { channel: "instrumentSeconds", canonical: same, suffixes: ["s", "sec"] },
  minutes: { channel: "instrumentSeconds", canonical: (minutes) => minutes * 60, suffixes: ["min"] },
  milliseconds: { channel: "instrumentSeconds", canonical: (value) => value / 1000, suffixes: ["ms"] },
  celsius: { channel: "celsius", canonical: same, suffixes: celsiusSuffixes },
  fahrenheit: { channel: "celsius", canonical: celsiusFromFahrenheit, suffixes: fahrenheitSuffixes },
  kelvin: { channel: "celsius", canonical: celsiusFromKelvin, suffixes: kelvinSuffixes },
  millivolts: { channel: "millivolts", canonical: same, suffixes: ["mv"] },
  microvolts: { channel: "millivolts", canonical: (value) => value / 1000, suffixes: ["uv", "µv", "μv"] },
  "cold-celsius": { channel: "coldJunctionCelsius", canonical: same, suffixes: celsiusSuffixes },
  "cold-fahrenheit": {
    channel: "coldJunctionCelsius",
    canonical: celsiusFromFahrenheit,
    suffixes: fahrenheitSuffixes,
  },
  "cold-kelvin": { channel: "coldJunctionCelsius", canonical: celsiusFromKelvin, suffixes: kelvinSuffixes },
  hectopascals: { channel: "hectopascals", canonical: same, suffixes: ["hpa", "mbar"] },
  kilopascals: { channel: "hectopascals", canonical: hectopascalsFromKilopascals, suffixes: ["kpa"] },
  mmhg: { channel: "hectopascals", canonical: hectopascalsFromMillimetresOfMercury, suffixes: ["mmhg"] },
  torr: { channel: "hectopascals", canonical: hectopascalsFromTorr, suffixes: ["torr"] },
  inhg: { channel: "hectopascals", canonical: hectopascalsFromInchesOfMercury, suffixes: ["inhg"] },
  "duty-fraction": { channel: "heaterDutyFraction", canonical: same, suffixes: [] },
  "duty-percent": { channel: "heaterDutyFraction", canonical: (value) => value / 100, suffixes: ["%"] },
};

const unitSuffixes = new Set(Object.values(meanings).flatMap(({ suffixes }) => suffixes));

/**
 * What a channel can plausibly be, in canonical units; anything else is a garbled line. Temperatures go as far
 * as physics and thermocouples do, from absolute zero to above what the hottest letter type (C, 2315 °C by
 * ASTM E230) can say: a broken probe must be told from a broken line.
 */
const plausible: Readonly<
  Record<
    Channel,
    { readonly least: number; readonly most: number; readonly words: string; readonly unit: string }
  >
> = {
  instrumentSeconds: { least: 0, most: 1e10, words: "the time", unit: "s" },
  celsius: { least: -273.15, most: 2500, words: "the chamber temperature", unit: "°C" },
  millivolts: { least: -15, most: 90, words: "the thermocouple's voltage", unit: "mV" },
  coldJunctionCelsius: { least: -50, most: 150, words: "the cold junction", unit: "°C" },
  hectopascals: { least: 0, most: 1200, words: "the pressure", unit: "hPa" },
  heaterDutyFraction: { least: 0, most: 1, words: "the heater duty", unit: "of 1" },
};

const plainNumber = /^[+-]?(?:\d{1,15}(?:\.\d{0,24})?|\.\d{1,24})(?:e[+-]?\d{1,2})?$/i;
const numberAndSuffix = /^([+-]?[\d.,]+(?:e[+-]?\d+)?)\s*([^\d\s.,+-].{0,7})?$/iu;

/** Every field word, in the order of the page. */
export const FIELD_WORDS: readonly FieldWord[] = [...(Object.keys(meanings) as FieldWord[]), "skip"];

/**
 * Whether a text is a field word.
 * @example isFieldWord("celsius") // true
 */
export function isFieldWord(text: string): text is FieldWord {
  return (FIELD_WORDS as readonly string[]).includes(text);
}

/** The channel that a field fills; null for `skip`. */
export function fieldChannel(word: FieldWord): Channel | null {
  return word === "skip" ? null : meanings[word].channel;
}

/**
 * What is wrong with the fields of a format; null when nothing is.
 * Each channel may be given once, and something must be read.
 */
export function fieldsFault(words: readonly FieldWord[]): string | null {
  const channels = words.map(fieldChannel).filter((channel) => channel !== null);
  if (words.length > 32) return `${words.length} fields; 32 at most`;
  const twice = channels.find((channel, index) => channels.indexOf(channel) !== index);
  if (twice) return `two fields give ${plausible[twice].words}`;
  if (channels.every((channel) => channel === "instrumentSeconds")) return "no field is a measured value";
  return null;
}

/**
 * The channels of the fields of one line: every text a whole number with, at most, its own unit behind it,
 * every value plausible. One bad field refuses the line: a garbled line is not half believed. Words in place
 * of a number are no garbling: of the probe they are told, of another channel they leave it absent.
 * @param hasDecimalComma true where a comma cannot be a separator
 */
export function fieldChannels(fields: readonly FieldText[], hasDecimalComma: boolean): LineResult {
  const numbers: Numbers = {};
  const words: SensorWord[] = [];
  for (const { word, name, text } of fields) {
    if (word === "skip") continue;
    const { channel } = meanings[word];
    const sensorWord = channel === "instrumentSeconds" ? null : sensorWordOf(text);
    if (sensorWord) {
      if (isOfProbe(channel)) words.push(sensorWord);
      continue;
    }
    const value = fieldValue(word, text, hasDecimalComma);
    if (!value.ok) return { ok: false, why: `${name}: ${value.why}` };
    numbers[channel] = value.value;
  }
  const channels = withWords(numbers, words);
  const measured = Object.keys(channels).some((channel) => channel !== "instrumentSeconds");
  return measured ? { ok: true, channels } : { ok: false, why: "no value on the line" };
}

/**
 * The unit letters behind a number, in small letters; empty when there are none.
 * @example unitSuffix("975.2 °F") // "°f"
 */
export function unitSuffix(text: string): string {
  return numberAndSuffix.exec(text.trim())?.[2]?.trim().toLowerCase() ?? "";
}

/**
 * A whole text as a number: digits, a point, perhaps an exponent; no `0x10`, no `Infinity`, no empty text.
 * @returns null for anything else
 * @example strictNumber("84.3") // 84.3
 */
export function strictNumber(text: string, hasDecimalComma = false): number | null {
  const dotted = hasDecimalComma && !text.includes(".") ? text.replace(",", ".") : text;
  if (!plainNumber.test(dotted)) return null;
  const value = Number(dotted);
  return Number.isFinite(value) ? value : null;
}

type ValueResult =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly why: string };

function fieldValue(word: Exclude<FieldWord, "skip">, text: string, hasDecimalComma: boolean): ValueResult {
  const { channel, canonical, suffixes } = meanings[word];
  const [, digits = "", suffix = ""] = numberAndSuffix.exec(text) ?? [];
  const number = strictNumber(digits, hasDecimalComma);
  const unitWritten = suffix
    .trim()
    .toLowerCase()
    .replace(/^(°|deg) /, "$1");
  if (number === null || !(unitWritten === "" || unitSuffixes.has(unitWritten)))
    return { ok: false, why: "not a number" };
  if (unitWritten !== "" && !suffixes.includes(unitWritten))
    return { ok: false, why: `the line says ${suffix.trim()}, the format says ${word}` };
  const value = canonical(number) + 0; // −0 becomes 0
  const { least, most, words, unit } = plausible[channel];
  if (value < least || value > most)
    return { ok: false, why: `${words} cannot be ${Number(value.toPrecision(6))} ${unit}` };
  return { ok: true, value };
}

/** The channels that are the thermocouple's own: it may say in words that it has none. */
function isOfProbe(channel: Channel): boolean {
  return channel === "celsius" || channel === "millivolts";
}

/**
 * What a probe says in words beside its numbers. A fault is believed before any number of the same probe; that
 * one of two has no value means nothing while the other has.
 */
function withWords(numbers: Numbers, words: readonly SensorWord[]): Channels {
  const { celsius, millivolts, ...others } = numbers;
  const fault = words.find((word) => word !== "no-value");
  if (fault) return { ...others, sensorWord: fault };
  const hasNumber = celsius !== undefined || millivolts !== undefined;
  return words.length > 0 && !hasNumber ? { ...others, sensorWord: "no-value" } : numbers;
}
