import { type FieldWord, fieldChannels, type LineResult } from "#daemon/link/formats/fields";

/** Keys with values, in any order, such as `s=123.0 T=512.4 P=1013.2`; capitals count. */
export interface PairsFormat {
  readonly kind: "pairs";
  readonly fields: ReadonlyMap<string, FieldWord>;
}

/** The pairs of a line, or why it has none. */
export type Pairs =
  | { readonly ok: true; readonly pairs: ReadonlyMap<string, string>; readonly hasDecimalComma: boolean }
  | { readonly ok: false; readonly why: string };

const pair = /^([\p{L}_][\p{L}\d_.%/°-]{0,31})\s*[=:]\s*(\S.{0,39})?$/u;
const commaBeforeKey = /,(?=\s*[\p{L}_])/u;
const spaceBeforeKey = /\s+(?=[\p{L}_][^\s=:]*\s*[=:])/u;
const mostPairs = 64;

/** What a line of pairs says; keys that the format does not name are read past, a key given twice is refused. */
export function readPairsLine({ fields }: PairsFormat, line: string): LineResult {
  const split = splitPairs(line);
  return split.ok ? keyedChannels(fields, split.pairs, split.hasDecimalComma) : split;
}

/** The channels of those keys of a line that a format names; at least one must be there. */
export function keyedChannels(
  fields: ReadonlyMap<string, FieldWord>,
  texts: ReadonlyMap<string, string>,
  hasDecimalComma: boolean,
): LineResult {
  const found = [...fields].flatMap(([name, word]) => {
    const text = texts.get(name);
    return text === undefined ? [] : [{ word, name, text }];
  });
  if (found.length === 0) return { ok: false, why: `none of ${[...fields.keys()].join(", ")} on the line` };
  return fieldChannels(found, hasDecimalComma);
}

/**
 * A line cut into its pairs: at semicolons where there are any, else at commas that stand before a key,
 * else at the spaces before a key.
 */
export function splitPairs(line: string): Pairs {
  const hasCommas = !line.includes(";") && commaBeforeKey.test(line);
  const separator = line.includes(";") ? /;/ : hasCommas ? commaBeforeKey : spaceBeforeKey;
  const texts = line
    .trim()
    .split(separator)
    .map((text) => text.trim())
    .filter((text) => text !== "");
  if (texts.length > mostPairs) return { ok: false, why: `more than ${mostPairs} pairs` };
  const pairs = new Map<string, string>();
  for (const text of texts) {
    const [, key, value = ""] = pair.exec(text) ?? [];
    if (key === undefined) return { ok: false, why: "not key=value" };
    if (pairs.has(key)) return { ok: false, why: `${key} is given twice` };
    pairs.set(key, value.trim());
  }
  return pairs.size === 0
    ? { ok: false, why: "not key=value" }
    : { ok: true, pairs, hasDecimalComma: !hasCommas };
}
