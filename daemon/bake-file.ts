import type { BakeDetail } from "#shared/bake";
import type { Sample } from "#shared/sample";

/** Samples are read from the store in portions of this many, so that a long bake never fills the memory. */
const PORTION = 5_000;

/** Raised when a reader of the JSON file could misread it. */
const FILE_VERSION = 1;

/** Reads samples of one bake after a sequence number, −1 from the first. */
export type ReadSamples = (afterSequence: number, limit: number) => Promise<readonly Sample[]>;

const COLUMNS = [
  ["hectopascals", "hectopascals"],
  ["coldJunctionCelsius", "cold_junction_celsius"],
  ["heaterDutyFraction", "heater_duty_fraction"],
  ["millivolts", "millivolts"],
] as const;

/** The first line of a bake's CSV, unit in every column's name. */
export const CSV_HEADER = `seconds,celsius,${COLUMNS.map(([, name]) => name).join(",")}\n`;

/** A bake's samples as CSV; a channel that was never measured has empty cells. */
export async function* bakeCsv(readSamples: ReadSamples): AsyncGenerator<string> {
  yield CSV_HEADER;
  yield* bakeCsvRows(readSamples);
}

/**
 * The same without its header.
 * @param ahead a cell in front of each row
 */
export async function* bakeCsvRows(readSamples: ReadSamples, ahead?: string): AsyncGenerator<string> {
  const start = ahead === undefined ? "" : `${ahead},`;
  for await (const samples of portions(readSamples))
    yield samples.map((sample) => `${start}${csvRow(sample)}\n`).join("");
}

/** A bake with everything that is known of it, its samples last, as one JSON object. */
export async function* bakeJson(detail: BakeDetail, readSamples: ReadSamples): AsyncGenerator<string> {
  const head = JSON.stringify({ file: "bakeside bake", version: FILE_VERSION, ...detail });
  yield `${head.slice(0, -1)},`;
  yield* samplesJson(readSamples);
  yield "}\n";
}

/** The samples alone: `"samples":[…]` without the braces around it. */
export async function* samplesJson(readSamples: ReadSamples): AsyncGenerator<string> {
  yield '"samples":[';
  let isFirst = true;
  for await (const samples of portions(readSamples)) {
    yield `${isFirst ? "" : ","}${samples.map((sample) => JSON.stringify(sample)).join(",")}`;
    isFirst = false;
  }
  yield "]";
}

async function* portions(readSamples: ReadSamples): AsyncGenerator<readonly Sample[]> {
  let afterSequence = -1;
  for (;;) {
    const samples = await readSamples(afterSequence, PORTION);
    if (samples.length > 0) yield samples;
    if (samples.length < PORTION) return;
    afterSequence += samples.length;
  }
}

function csvRow(sample: Sample): string {
  return [sample.atSeconds, sample.celsius, ...COLUMNS.map(([channel]) => sample[channel] ?? "")].join(",");
}
