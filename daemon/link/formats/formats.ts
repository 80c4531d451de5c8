import {
  type ColumnsFormat,
  readColumnsLine,
  SEPARATORS,
  type Separator,
} from "#daemon/link/formats/columns-format";
import {
  FIELD_WORDS,
  type FieldWord,
  fieldsFault,
  isFieldWord,
  type LineResult,
} from "#daemon/link/formats/fields";
import { type JsonFormat, readJsonLine } from "#daemon/link/formats/json-format";
import { type ModbusFormat, modbusFormatText, parseModbusFormat } from "#daemon/link/formats/modbus-format";
import { type NumberFormat, readNumberLine } from "#daemon/link/formats/number-format";
import { type PairsFormat, readPairsLine } from "#daemon/link/formats/pairs-format";
import { parseScpiFormat, type ScpiFormat, scpiFormatText } from "#daemon/link/formats/scpi-format";

/** A format that reads lines. */
export type KnownFormat = NumberFormat | ColumnsFormat | PairsFormat | JsonFormat;

/** A format of an instrument that speaks only when it is asked. */
export type PolledFormat = ModbusFormat | ScpiFormat;

/** A format of an instrument that speaks by itself; `auto` listens first. */
export type LineFormat = KnownFormat | { readonly kind: "auto" };

/** How an instrument is understood. Documented in `formats.md`. */
export type Format = LineFormat | PolledFormat;

/** A format, or what is wrong with its text. */
export type FormatResult =
  | { readonly ok: true; readonly format: Format }
  | { readonly ok: false; readonly error: string };

const longestSpec = 500;
const kinds = "number, columns, pairs, json, modbus, modbus-tcp, scpi or auto";
const key = /^[\p{L}\p{N}_][\p{L}\p{N}_.%/° -]{0,31}$/u;

/**
 * A format from its short text.
 * @param spec such as `columns:seconds,celsius,hectopascals` or `pairs:s=seconds,T=celsius`
 */
export function parseFormat(spec: string): FormatResult {
  if (spec.length > longestSpec) return refused(`longer than ${longestSpec} characters`);
  const text = spec.trim();
  if (text === "auto") return { ok: true, format: { kind: "auto" } };
  const colon = text.indexOf(":");
  if (colon < 0) return refused(`"${text}" is not one of ${kinds}, followed by a colon and its fields`);
  const polled = polledFormat(text.slice(0, colon), text.slice(colon + 1));
  if (polled) return typeof polled === "string" ? refused(polled) : { ok: true, format: polled };
  const [kind = "", separator] = text.slice(0, colon).split("/", 2);
  const fields = text.slice(colon + 1).split(",");
  if (separator !== undefined && kind !== "columns") return refused("only columns take a separator");
  switch (kind) {
    case "number":
      return numberFormat(fields);
    case "columns":
      return columnsFormat(fields, separator ?? "any");
    case "pairs":
    case "json":
      return keyedFormat(kind, fields);
    default:
      return refused(`"${kind}" is not one of ${kinds}`);
  }
}

/** The short text of a format; `parseFormat` reads it back. */
export function formatSpec(format: Format): string {
  switch (format.kind) {
    case "auto":
      return "auto";
    case "number":
      return `number:${format.field}`;
    case "columns":
      return `columns${format.separator === "any" ? "" : `/${format.separator}`}:${format.fields.join(",")}`;
    case "pairs":
    case "json":
      return `${format.kind}:${[...format.fields].map(([name, word]) => `${name}=${word}`).join(",")}`;
    case "modbus":
    case "modbus-tcp":
      return `${format.kind}:${modbusFormatText(format)}`;
    case "scpi":
      return `scpi:${scpiFormatText(format)}`;
  }
}

/** Whether an instrument of this format has to be asked; one that speaks by itself is never written to. */
export function isPolled(format: Format): format is PolledFormat {
  return format.kind === "modbus" || format.kind === "modbus-tcp" || format.kind === "scpi";
}

/**
 * What one line says in a format.
 * @returns channels in canonical units, or why the line was refused; never throws
 */
export function readLine(format: KnownFormat, line: string): LineResult {
  if (line.includes("\0")) return { ok: false, why: "a NUL byte on the line" };
  switch (format.kind) {
    case "number":
      return readNumberLine(format, line);
    case "columns":
      return readColumnsLine(format, line);
    case "pairs":
      return readPairsLine(format, line);
    case "json":
      return readJsonLine(format, line);
  }
}

/** A polled format, or what is wrong with it; null when the kind is none of them. */
function polledFormat(kind: string, text: string): PolledFormat | string | null {
  if (kind === "modbus" || kind === "modbus-tcp") return parseModbusFormat(kind, text);
  return kind === "scpi" ? parseScpiFormat(text) : null;
}

function numberFormat(fields: readonly string[]): FormatResult {
  const words = fieldWords(fields);
  if (typeof words === "string") return refused(words);
  const [field] = words;
  if (!field || words.length > 1) return refused("number takes one field");
  return { ok: true, format: { kind: "number", field } };
}

function columnsFormat(fields: readonly string[], separator: string): FormatResult {
  if (!isSeparator(separator))
    return refused(`"${separator}" is no separator; use ${SEPARATORS.join(", ")}, or none for any of them`);
  const words = fieldWords(fields);
  return typeof words === "string"
    ? refused(words)
    : { ok: true, format: { kind: "columns", fields: words, separator } };
}

function keyedFormat(kind: "pairs" | "json", texts: readonly string[]): FormatResult {
  const fields = new Map<string, FieldWord>();
  for (const text of texts) {
    const equals = text.lastIndexOf("=");
    const [name, word] = [text.slice(0, Math.max(0, equals)).trim(), text.slice(equals + 1).trim()];
    if (!key.test(name)) return refused(`"${text.trim()}" is not key=field`);
    if (!isFieldWord(word)) return refused(unknownWord(word));
    if (fields.has(name)) return refused(`the key ${name} is given twice`);
    fields.set(name, word);
  }
  const fault = fieldsFault([...fields.values()]);
  return fault ? refused(fault) : { ok: true, format: { kind, fields } };
}

function fieldWords(texts: readonly string[]): FieldWord[] | string {
  const words: FieldWord[] = [];
  for (const text of texts.map((entry) => entry.trim())) {
    if (!isFieldWord(text)) return unknownWord(text);
    words.push(text);
  }
  return fieldsFault(words) ?? words;
}

function isSeparator(text: string): text is Separator {
  return text === "any" || (SEPARATORS as readonly string[]).includes(text);
}

function unknownWord(text: string): string {
  return `"${text.slice(0, 40)}" is no field; use one of ${FIELD_WORDS.join(", ")}`;
}

function refused(what: string): FormatResult {
  return { ok: false, error: `Cannot use this format: ${what}` };
}
