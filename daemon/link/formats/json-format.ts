import type { FieldWord, LineResult } from "#daemon/link/formats/fields";
import { keyedChannels } from "#daemon/link/formats/pairs-format";

/** One flat JSON object a line, such as `{"s":123.0,"T":512.4,"P":1013.2}`; capitals count. */
export interface JsonFormat {
  readonly kind: "json";
  readonly fields: ReadonlyMap<string, FieldWord>;
}

/** The values of a flat JSON object as texts, or why it is refused. */
export type JsonTexts =
  | { readonly ok: true; readonly texts: ReadonlyMap<string, string> }
  | { readonly ok: false; readonly why: string };

/** The longest JSON line that is looked at, in characters. */
const longestJson = 2048;
const mostKeys = 64;
const stringAndColon = /"((?:[^"\\]|\\.)*)"(\s*:)?/g;

/** What a line of JSON says; keys that the format does not name are read past. */
export function readJsonLine({ fields }: JsonFormat, line: string): LineResult {
  const parsed = jsonTexts(line);
  return parsed.ok ? keyedChannels(fields, parsed.texts, false) : parsed;
}

/** A flat JSON object cut into texts by key; nested, doubled and oversized ones are refused. */
export function jsonTexts(line: string): JsonTexts {
  if (line.length > longestJson) return { ok: false, why: `JSON of more than ${longestJson} characters` };
  const value = parsedJson(line);
  if (value === undefined) return { ok: false, why: "not JSON" };
  if (Array.isArray(value)) return { ok: false, why: "a JSON array where an object belongs" };
  if (typeof value !== "object" || value === null) return { ok: false, why: "not a JSON object" };
  const entries = Object.entries(value);
  const nested = entries.find(([, inner]) => typeof inner === "object" && inner !== null);
  if (nested) return { ok: false, why: `nested JSON in ${nested[0].slice(0, 32)}` };
  if (entries.length > mostKeys) return { ok: false, why: `more than ${mostKeys} JSON keys` };
  if (keyCount(line) !== entries.length) return { ok: false, why: "a JSON key is given twice" };
  return { ok: true, texts: new Map(entries.map(([key, inner]) => [key, valueText(inner)])) };
}

/** A number too large to be one is not the word for infinity. */
function valueText(value: unknown): string {
  return typeof value === "number" && !Number.isFinite(value) ? "too large" : String(value).trim();
}

function parsedJson(line: string): unknown {
  try {
    return JSON.parse(line);
  } catch {
    return undefined;
  }
}

/** Keys written in a flat object: every string with a colon behind it. */
function keyCount(line: string): number {
  return [...line.matchAll(stringAndColon)].filter(([, , colon]) => colon !== undefined).length;
}
