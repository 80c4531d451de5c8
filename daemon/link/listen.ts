import {
  type Candidate,
  candidatesFor,
  type Heard,
  loneCandidates,
  numeric,
} from "#daemon/link/field-candidates";
import { SEPARATORS, splitColumns } from "#daemon/link/formats/columns-format";
import { type FieldWord, fieldChannel } from "#daemon/link/formats/fields";
import { formatSpec, type KnownFormat, readLine } from "#daemon/link/formats/formats";
import { jsonTexts } from "#daemon/link/formats/json-format";
import { splitPairs } from "#daemon/link/formats/pairs-format";
import { sensorWordOf } from "#daemon/link/formats/sensor-words";
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

type Assignment = { readonly words: readonly FieldWord[]; readonly weight: number };

const mostGuesses = 5;
const mostFields = 8;
/** Ways to read a line that are followed up. */
const mostAssignments = 300;
const skip: Candidate = { word: "skip", weight: 0.2 };

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
    const isOneNumber = (line: string) => separator === "space" && numeric(line.trim()) !== null; // "781.3 K"
    const rows = lines
      .filter((line) => !isOneNumber(line))
      .map((line) => splitColumns(line, separator))
      .filter((row) => row.length > 1);
    const width = commonest(rows.map((row) => row.length));
    const even = rows.filter((row) => row.length === width);
    if (width === undefined || width > 32) return [];
    const heading = even.find((row) => row.every(isHeading));
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
  if (texts.length === 0) return [];
  return loneCandidates(texts).map(({ word, weight }) => ({
    format: { kind: "number", field: word },
    weight,
  }));
}

function isHeading(text: string): boolean {
  return numeric(text) === null && sensorWordOf(text) === null;
}

/** The best few ways to give each field its own meaning; one of them must be of the chamber. */
function assignments(heard: readonly Heard[]): Assignment[] {
  if (heard.every(({ texts }) => texts.length === 0)) return [];
  const options = heard.map((field, index) => [...candidatesFor(field, index, heard), skip]);
  const found = options.reduce<Assignment[]>(
    (partial, candidates) => heaviest(partial.flatMap((assignment) => extended(assignment, candidates))),
    [{ words: [], weight: 0 }],
  );
  return found
    .filter(({ words }) => words.some(isOfChamber))
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

/** The chamber's temperature, or the EMF that it comes of. */
function isOfChamber(word: FieldWord): boolean {
  const channel = fieldChannel(word);
  return channel === "celsius" || channel === "millivolts";
}

function commonest(numbers: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}
