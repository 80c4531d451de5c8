import { SEPARATORS, splitColumns } from "#daemon/link/formats/columns-format";
import { type FieldWord, fieldChannel, strictNumber, unitSuffix } from "#daemon/link/formats/fields";
import { formatSpec, type KnownFormat, readLine } from "#daemon/link/formats/formats";
import { jsonTexts } from "#daemon/link/formats/json-format";
import { splitPairs } from "#daemon/link/formats/pairs-format";
import type { Channels } from "#daemon/link/reading";

/** A format that fits what was heard. */
export interface FormatGuess {
  /** Its short text, as `--format` takes it. */
  readonly spec: string;
  readonly format: KnownFormat;
  /** How well it explains the lines, 0 to 1: for ordering only. */
  readonly score: number;
  /** The newest line that fits, as read in this format. */
  readonly preview: Channels;
  /** How many of the lines fit. */
  readonly fits: number;
}

/** One field heard on many lines: its name, where it has one, and its texts, oldest first. */
interface Heard {
  readonly name: string;
  readonly texts: readonly string[];
}

/** What a field could be, and how much speaks for it. */
interface Candidate {
  readonly word: FieldWord;
  readonly weight: number;
}

type Assignment = { readonly words: readonly FieldWord[]; readonly weight: number };

const mostGuesses = 5;
const mostFields = 8;
/** Ways to read a line that are followed up. */
const mostAssignments = 300;
const skip: Candidate = { word: "skip", weight: 0.2 };

/** Names of fields as instruments write them, letters and digits only; capitals count for one letter alone. */
const namedWords: readonly (readonly [RegExp, FieldWord])[] = [
  [/^(ms|millis|milliseconds|timems|tms|uptimems)$/, "milliseconds"],
  [/^(min|mins|minutes|timemin|tmin)$/, "minutes"],
  [/^(s|sec|secs|seconds|second|time|times|timesec|timeseconds|elapsed|elapseds|uptime|ts)$/, "seconds"],
  [
    /^(cold|coldjunction|cj|cjc|tcj|ambient|internal|tint|tcold)(temp|temperature)?(f|degf|fahrenheit)$/,
    "cold-fahrenheit",
  ],
  [
    /^(cold|coldjunction|cj|cjc|tcj|ambient|internal|tint|tcold)(temp|temperature)?(c|degc|celsius)?$/,
    "cold-celsius",
  ],
  [/^(temp|temperature|t|chamber|furnace|muffle|tc|pv)?(f|degf|fahrenheit)$/, "fahrenheit"],
  [/^(temp|temperature|t|chamber|furnace|muffle|tc|pv)?(k|kelvin)$/, "kelvin"],
  [
    /^(temp|temperature|chamber|furnace|muffle|tc|pv|t)(temp|temperature)?(c|degc|celsius)?$|^(c|degc|celsius)$/,
    "celsius",
  ],
  [/^(p|press|pressure|vac|vacuum)?(kpa|kilopascals?)$/, "kilopascals"],
  [/^(p|press|pressure|vac|vacuum)?mmhg$/, "mmhg"],
  [/^(p|press|pressure|vac|vacuum)?torr$/, "torr"],
  [/^(p|press|pressure|vac|vacuum)?inhg$/, "inhg"],
  [
    /^(p|press|pressure|vac|vacuum)?(hpa|mbar|hectopascals?)$|^(p|press|pressure|vac|vacuum)$/,
    "hectopascals",
  ],
  [/^(d|duty|power|out|output|op|heater)(percent|pct)$/, "duty-percent"],
  [/^(d|duty|power|out|output|op|heater)(fraction)?$/, "duty-fraction"],
];

/**
 * The formats that fit the lines heard, best first; empty when none does. Times are known by rising steadily,
 * temperatures and pressures by their size, named fields by their names.
 * @param lines as heard, oldest first; a heading line among them is used for names
 */
export function guessFormats(lines: readonly string[]): FormatGuess[] {
  const candidates = [
    ...jsonFormats(lines),
    ...pairsFormats(lines),
    ...columnFormats(lines),
    ...numberFormats(lines),
  ];
  const guesses = candidates
    .flatMap((candidate) => weighed(candidate, lines))
    .sort((a, b) => b.score - a.score || b.fits - a.fits);
  return guesses
    .filter(({ spec }, index) => guesses.findIndex((other) => other.spec === spec) === index)
    .slice(0, mostGuesses);
}

type WeightedFormat = { readonly format: KnownFormat; readonly weight: number };

function weighed({ format, weight }: WeightedFormat, lines: readonly string[]): FormatGuess[] {
  const readings = lines.flatMap((line) => {
    const result = readLine(format, line);
    return result.ok ? [result.channels] : [];
  });
  const preview = readings.at(-1);
  if (!preview) return [];
  const score = (weight * readings.length) / lines.length;
  return [{ spec: formatSpec(format), format, score, preview, fits: readings.length }];
}

function jsonFormats(lines: readonly string[]): WeightedFormat[] {
  const records = lines.flatMap((line) => {
    const parsed = jsonTexts(line);
    return parsed.ok ? [parsed.texts] : [];
  });
  return keyedFormats("json", records);
}

function pairsFormats(lines: readonly string[]): WeightedFormat[] {
  const records = lines.flatMap((line) => {
    const split = splitPairs(line);
    return split.ok ? [split.pairs] : [];
  });
  return keyedFormats("pairs", records);
}

function keyedFormats(
  kind: "json" | "pairs",
  records: readonly ReadonlyMap<string, string>[],
): WeightedFormat[] {
  const names = [...new Set(records.flatMap((record) => [...record.keys()]))].slice(0, mostFields);
  const heard = names.map((name) => ({ name, texts: records.flatMap((record) => record.get(name) ?? []) }));
  return assignments(heard).map(({ words, weight }) => {
    const fields = names.flatMap((name, index): [string, FieldWord][] => {
      const word = words[index];
      return word === undefined || word === "skip" ? [] : [[name, word]];
    });
    return { format: { kind, fields: new Map(fields) }, weight };
  });
}

/** For each separator that cuts most lines into the same number of columns: what the columns could be. */
function columnFormats(lines: readonly string[]): WeightedFormat[] {
  return SEPARATORS.flatMap((separator) => {
    const rows = lines.map((line) => splitColumns(line, separator)).filter((row) => row.length > 1);
    const width = commonest(rows.map((row) => row.length));
    const even = rows.filter((row) => row.length === width);
    if (width === undefined || width > 32) return [];
    const heading = even.find((row) => row.every((text) => text !== "" && numeric(text) === null));
    const body = even.filter((row) => row !== heading);
    const heard = Array.from({ length: Math.min(width, mostFields) }, (_, index) => ({
      name: heading?.[index] ?? "",
      texts: body.map((row) => row[index] ?? ""),
    }));
    const unread = Array<FieldWord>(width - heard.length).fill("skip");
    return assignments(heard).map(({ words, weight }) => ({
      format: { kind: "columns" as const, fields: [...words, ...unread], separator },
      weight,
    }));
  });
}

function numberFormats(lines: readonly string[]): WeightedFormat[] {
  const texts = lines.map((line) => line.trim()).filter((text) => numeric(text) !== null);
  const unit = suffixWord(texts);
  const top = Math.max(...texts.map((text) => numeric(text) ?? 0));
  if (texts.length === 0) return [];
  if (unit) return [{ format: { kind: "number", field: unit }, weight: 0.9 }];
  const weights: readonly Candidate[] = [
    { word: "celsius", weight: top <= 1300 ? 0.7 : 0.4 },
    { word: "fahrenheit", weight: top <= 1300 ? 0.4 : 0.6 },
    { word: "kelvin", weight: 0.3 },
  ];
  return weights.map(({ word, weight }) => ({ format: { kind: "number", field: word }, weight }));
}

/** The best few ways to give each field its own meaning; one of them must be the chamber temperature. */
function assignments(heard: readonly Heard[]): Assignment[] {
  if (heard.every(({ texts }) => texts.length === 0)) return [];
  const options = heard.map((field, index) => [...candidatesFor(field, index, heard), skip]);
  const found = options.reduce<Assignment[]>(
    (partial, candidates) => heaviest(partial.flatMap((assignment) => extended(assignment, candidates))),
    [{ words: [], weight: 0 }],
  );
  return found
    .filter(({ words }) => words.some((word) => fieldChannel(word) === "celsius"))
    .slice(0, mostGuesses)
    .map(({ words, weight }) => ({ words, weight: weight / heard.length }));
}

/** An assignment with one field more, in every way that gives no channel twice. */
function extended({ words, weight }: Assignment, candidates: readonly Candidate[]): Assignment[] {
  const taken = new Set(words.map(fieldChannel));
  return candidates
    .filter(({ word }) => word === "skip" || !taken.has(fieldChannel(word)))
    .map((candidate) => ({ words: [...words, candidate.word], weight: weight + candidate.weight }));
}

function heaviest(assignments: readonly Assignment[]): Assignment[] {
  return [...assignments].sort((a, b) => b.weight - a.weight).slice(0, mostAssignments);
}

function candidatesFor(field: Heard, index: number, heard: readonly Heard[]): Candidate[] {
  const values = field.texts.flatMap((text) => numeric(text) ?? []);
  if (values.length === 0) return [];
  const unit = suffixWord(field.texts);
  if (unit) return [{ word: unit, weight: 0.95 }];
  const named = namedCandidate(field.name, values, heard);
  if (named) return [named];
  const bySize = candidatesBySize(values, index);
  return field.name === "" ? bySize : bySize.map(({ word, weight }) => ({ word, weight: weight / 2 }));
}

/** What a name that is known says; `t` is the time beside a `T` or when it rises steadily, else the temperature. */
function namedCandidate(name: string, values: readonly number[], heard: readonly Heard[]): Candidate | null {
  if (name === "t" && (heard.some((other) => other.name === "T") || isSteadyClock(values)))
    return { word: "seconds", weight: 0.95 };
  const letters = name.toLowerCase().replace(/[^a-z0-9]/g, "");
  const word = namedWords.find(([pattern]) => pattern.test(letters))?.[1];
  if (!word) return null;
  if (word === "hectopascals" && !/hpa|mbar|hecto/.test(letters))
    return { word: pressureUnitBySize(values), weight: 0.9 };
  if (word === "duty-fraction" && values.some((value) => value > 1))
    return { word: "duty-percent", weight: 0.9 };
  return { word, weight: 0.95 };
}

/** Nobody said the unit of a pressure: a room's air is 1013 hPa, 760 Torr, 101 kPa or 29.9 inHg. */
function pressureUnitBySize(values: readonly number[]): FieldWord {
  const top = Math.max(...values);
  if (top > 640 && top < 800) return "torr";
  if (top > 85 && top < 110) return "kilopascals";
  if (top > 25 && top < 32) return "inhg";
  return "hectopascals";
}

function candidatesBySize(values: readonly number[], index: number): Candidate[] {
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const found: Candidate[] = [];
  if (isSteadyClock(values)) {
    const step = ((values.at(-1) ?? 0) - (values[0] ?? 0)) / (values.length - 1);
    found.push({ word: step >= 50 ? "milliseconds" : "seconds", weight: index === 0 ? 0.95 : 0.6 });
  } else if (index === 0 && isRising(values)) found.push({ word: "seconds", weight: 0.5 });
  if (least >= -50 && most <= 1400) found.push({ word: "celsius", weight: 0.6 - 0.01 * index });
  if (index > 0 && least >= 940 && most <= 1060) found.push({ word: "hectopascals", weight: 0.7 });
  else if (index > 0 && least >= 0 && most <= 1200) found.push({ word: "hectopascals", weight: 0.3 });
  if (least >= 0 && most <= 1) found.push({ word: "duty-fraction", weight: 0.65 });
  if (index > 0 && least >= 10 && most <= 60) found.push({ word: "cold-celsius", weight: 0.45 });
  return found;
}

/** Rising, every step within 5 % of the mean one: a clock rather than a climbing furnace. */
function isSteadyClock(values: readonly number[]): boolean {
  if (values.length < 3 || !isRising(values)) return false;
  const steps = values.slice(1).map((value, index) => value - (values[index] ?? 0));
  const mean = steps.reduce((sum, step) => sum + step, 0) / steps.length;
  return steps.every((step) => Math.abs(step - mean) <= 0.05 * mean);
}

function isRising(values: readonly number[]): boolean {
  return values.length > 1 && values.slice(1).every((value, index) => value > (values[index] ?? 0));
}

/** The temperature that the unit letters behind the numbers give, when all that have any agree. */
function suffixWord(texts: readonly string[]): FieldWord | null {
  const suffixes = new Set(texts.map((text) => unitSuffix(text).replace(/^(°|deg) ?/, "")));
  const [suffix] = suffixes;
  if (suffixes.size !== 1 || suffix === undefined) return null;
  return ({ c: "celsius", f: "fahrenheit", k: "kelvin" }[suffix] as FieldWord | undefined) ?? null;
}

function numeric(text: string): number | null {
  const suffix = unitSuffix(text);
  const digits = text.trim().slice(0, text.trim().length - suffix.length);
  return strictNumber(digits.trim(), true);
}

function commonest(numbers: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}
