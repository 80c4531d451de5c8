import { type FieldText, type FieldWord, strictNumber } from "#daemon/link/formats/fields";
import type { ScpiQuery } from "#daemon/link/formats/scpi-format";
import { sensorWordOf } from "#daemon/link/formats/sensor-words";
import type { SensorWord } from "#shared/sensor-fault";

/** The texts of the fields of an answer, or why it was refused. */
export type ScpiResult =
  | { readonly ok: true; readonly fields: readonly FieldText[] }
  | { readonly ok: false; readonly why: string };

/** An entry of the error queue: a number, then its text in quotes (SCPI-1999 vol. 2, SYSTem:ERRor; from memory). */
const errorForm = /^([+-]?\d{1,6})\s*,\s*"((?:[^"]|"")*)"$/;

const numberAndUnit = /^([+-]?(?:\d[\d.]*|\.\d+)(?:e[+-]?\d+)?)\s*([a-zµμ°%]{0,10})$/i;

/** Unit words of SCPI in the letters that fields of lines know; what is not here stands for itself. */
const unitLetters: Readonly<Record<string, string>> = { cel: "C", far: "F", fahr: "F", degc: "C", degf: "F" };

/** Words behind a number that say that it is good. */
const goodWords = new Set(["ok", "norm", "normal", "valid", "good"]);

/** From here on a number is one of the codes for what is no number: 9.9E37, −9.9E37, 9.91E37. */
const LEAST_CODE = 9e37;
/** Half way between infinity (9.9E37) and not-a-number (9.91E37), whose digits instruments round. */
const LEAST_NOT_A_NUMBER = 9.905e37;

/** What the word in place of a probe's number reads as when it is written into a line. */
const wordTexts: Readonly<Record<SensorWord, string>> = {
  "open-circuit": "open",
  "above-range": "over",
  "below-range": "under",
  "no-value": "nan",
};

/**
 * What an instrument says of an error, such as `-113,"Undefined header"`; null when the answer is something else.
 * @example scpiError('-113,"Undefined header"') // { code: -113, text: "Undefined header" }
 */
export function scpiError(line: string): { readonly code: number; readonly text: string } | null {
  const [, code, text] = errorForm.exec(line.trim()) ?? [];
  return code === undefined || text === undefined
    ? null
    : { code: Number(code), text: text.replaceAll('""', '"') };
}

/** What the answer to a query says: as many values as the query has fields, each perhaps with a word behind it. */
export function readScpiAnswer({ fields, scale }: ScpiQuery, line: string): ScpiResult {
  const elements = line.split(",").map((element) => element.trim());
  const hasWords = elements.length === 2 * fields.length;
  if (!hasWords && elements.length !== fields.length)
    return { ok: false, why: `${elements.length} values where ${fields.length} belong` };
  const texts: FieldText[] = [];
  for (const [index, word] of fields.entries()) {
    const name = `value ${index + 1}`;
    const element = (hasWords ? elements[2 * index] : elements[index]) ?? "";
    const text = valueText(word, scale, element, hasWords ? (elements[2 * index + 1] ?? "") : "");
    if (!text.ok) return { ok: false, why: `${name}: ${text.why}` };
    texts.push({ word, name, text: text.text });
  }
  return { ok: true, fields: texts };
}

type TextResult = { readonly ok: true; readonly text: string } | { readonly ok: false; readonly why: string };

/** The word behind a number is believed before the number. */
function valueText(field: FieldWord, scale: number, element: string, wordBehind: string): TextResult {
  if (field === "skip") return { ok: true, text: "" };
  const sensorWord = sensorWordOf(wordBehind === "" ? element : wordBehind);
  if (sensorWord && (wordBehind !== "" || element !== "")) return { ok: true, text: wordTexts[sensorWord] };
  const [, digits = "", unitBehind = ""] = numberAndUnit.exec(element) ?? [];
  const number = strictNumber(digits);
  if (number === null) return { ok: false, why: element === "" ? "an empty answer" : "not a number" };
  const code = codeWord(number);
  if (code) return { ok: true, text: wordTexts[code] };
  const word = wordBehind.replace(/^"(.*)"$/, "$1");
  const unit = goodWords.has(word.toLowerCase()) ? unitBehind : word || unitBehind;
  if (!/^[a-zµμ°%]{0,10}$/i.test(unit)) return { ok: false, why: `"${unit.slice(0, 20)}" is no unit` };
  const value = scale === 1 ? number : Number((number * scale).toPrecision(12));
  return { ok: true, text: `${value}${scale === 1 ? unitText(unit) : scaledUnit(field, scale, unit)}` };
}

/** The number codes of SCPI for infinities and not-a-number; null for a number that is one. */
function codeWord(number: number): SensorWord | null {
  if (Math.abs(number) < LEAST_CODE) return null;
  if (Math.abs(number) >= LEAST_NOT_A_NUMBER) return "no-value";
  return number > 0 ? "above-range" : "below-range";
}

function unitText(unit: string): string {
  return unit === "" ? "" : ` ${unitLetters[unit.toLowerCase()] ?? unit}`;
}

/** Volts that the format scales to millivolts are what it says; any other unit is scaled into a contradiction. */
function scaledUnit(field: FieldWord, scale: number, unit: string): string {
  const isVolts = unit.toLowerCase() === "v";
  if (isVolts && field === "millivolts" && scale === 1000) return "";
  if (isVolts && field === "microvolts" && scale === 1e6) return "";
  return unit === "" ? "" : ` scaled ${unit}`;
}
