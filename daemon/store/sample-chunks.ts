import { deflateRawSync, inflateRawSync } from "node:zlib";
import type { Sample } from "#core/trace/trace";
import { DaemonError } from "#daemon/errors";

/** Version 1 has no millivolts. */
const CODEC_VERSION = 2;
const HEADER_BYTES = 5;
/** More than any chunk of ours holds; a damaged one must not fill the memory. */
const MOST_COLUMN_BYTES = 64 * 1024 * 1024;

/** Samples in one chunk: longer ones pack hardly better, and one is read as a whole. */
export const SAMPLES_PER_CHUNK = 3600;

interface Column {
  readonly channel: keyof Sample;
  /** Decimal places that are kept at most. */
  readonly decimals: number;
  /** 2: differences of differences, so that an even step costs nothing. */
  readonly order: 1 | 2;
}

const TIME_COLUMN: Column = { channel: "atSeconds", decimals: 3, order: 2 };

// biome-ignore format: a table reads in columns
const VALUE_COLUMNS: readonly Column[] = [
  { channel: "celsius",             decimals: 3, order: 1 },
  { channel: "hectopascals",        decimals: 3, order: 1 },
  { channel: "coldJunctionCelsius", decimals: 3, order: 1 },
  { channel: "heaterDutyFraction",  decimals: 4, order: 1 },
  { channel: "millivolts",          decimals: 4, order: 1 },
];
const VALUE_COLUMNS_OF_VERSION_1 = VALUE_COLUMNS.slice(0, 4);

/**
 * A sample at the resolution that is kept: 1 ms, 0.001 °C, 0.001 hPa, 0.0001 of full power, 0.0001 mV.
 * @example keptSample({ atSeconds: 1.00049, celsius: 760.1234 }) // { atSeconds: 1, celsius: 760.123 }
 */
export function keptSample(sample: Sample): Sample {
  const kept: { -readonly [Channel in keyof Sample]: Sample[Channel] } = {
    atSeconds: rounded(sample.atSeconds, TIME_COLUMN.decimals),
    celsius: 0,
  };
  for (const { channel, decimals } of VALUE_COLUMNS) {
    const value = sample[channel];
    if (value !== undefined) kept[channel] = rounded(value, decimals);
  }
  return kept;
}

/**
 * Samples as one chunk of bytes, without loss at the resolution that is kept. The format: sample-chunks.md.
 * @throws RangeError for a number that is not finite, or too large to be kept
 */
export function packSamples(samples: readonly Sample[]): Uint8Array {
  const bytes: number[] = [];
  writeVarint(bytes, samples.length);
  writeColumn(bytes, samples, TIME_COLUMN);
  for (const column of VALUE_COLUMNS) writeColumn(bytes, samples, column);
  const body = deflateRawSync(Uint8Array.from(bytes), { level: 9 });
  const chunk = Buffer.alloc(HEADER_BYTES + body.length);
  chunk.writeUInt8(CODEC_VERSION, 0);
  chunk.writeUInt32LE(crc32(body), 1);
  chunk.set(body, HEADER_BYTES);
  return chunk;
}

/**
 * The samples of a chunk.
 * @throws DaemonError `store-failed` when the chunk is damaged or of a newer version
 */
export function unpackSamples(chunk: Uint8Array): Sample[] {
  const view = Buffer.from(chunk.buffer, chunk.byteOffset, chunk.byteLength);
  const body = view.subarray(HEADER_BYTES);
  if (view.length <= HEADER_BYTES || view.readUInt32LE(1) !== crc32(body))
    throw new DaemonError("store-failed", "A chunk of samples is damaged: its checksum differs.");
  const version = view.readUInt8(0);
  if (version < 1 || version > CODEC_VERSION)
    throw new DaemonError(
      "store-failed",
      `A chunk of samples is of version ${version}, this Bakeside knows ${CODEC_VERSION}. Update Bakeside.`,
    );
  const bytes = inflateRawSync(body, { maxOutputLength: MOST_COLUMN_BYTES });
  return readSamples({ bytes, at: 0 }, version === 1 ? VALUE_COLUMNS_OF_VERSION_1 : VALUE_COLUMNS);
}

interface Cursor {
  readonly bytes: Uint8Array;
  at: number;
}

function readSamples(cursor: Cursor, valueColumns: readonly Column[]): Sample[] {
  const count = readVarint(cursor);
  const times = readColumn(cursor, count, TIME_COLUMN);
  const samples = times.map((atSeconds = 0): Record<keyof Sample, number> | Sample => ({
    atSeconds,
    celsius: 0,
  }));
  for (const column of valueColumns)
    for (const [index, value] of readColumn(cursor, count, column).entries()) {
      const sample = samples[index];
      if (sample && value !== undefined) Object.assign(sample, { [column.channel]: value });
    }
  return samples;
}

/** Presence (none, all, some with one bit each), decimals, then zigzag varints of the differences. */
function writeColumn(bytes: number[], samples: readonly Sample[], column: Column): void {
  const values = samples.map((sample) => sample[column.channel]);
  const present = values.filter((value) => value !== undefined);
  bytes.push(present.length === 0 ? 0 : present.length === values.length ? 1 : 2);
  if (present.length === 0) return;
  if (present.length < values.length) writePresence(bytes, values);
  const { integers, decimals } = scaled(present, column);
  bytes.push(decimals);
  for (const difference of differences(integers, column.order)) writeVarint(bytes, zigzag(difference));
}

function readColumn(cursor: Cursor, count: number, column: Column): (number | undefined)[] {
  const presence = readByte(cursor);
  if (presence === 0) return new Array<undefined>(count).fill(undefined);
  const isPresent = presence === 2 ? readPresence(cursor, count) : undefined;
  const presentCount = isPresent ? isPresent.filter(Boolean).length : count;
  const scale = 10 ** readByte(cursor);
  const read: number[] = [];
  for (let index = 0; index < presentCount; index += 1) read.push(unzigzag(readVarint(cursor)));
  const values = sums(read, column.order).map((integer) => integer / scale);
  if (!isPresent) return values;
  let next = 0;
  return isPresent.map((has) => (has ? values[next++] : undefined));
}

function writePresence(bytes: number[], values: readonly (number | undefined)[]): void {
  for (let start = 0; start < values.length; start += 8)
    bytes.push(
      values
        .slice(start, start + 8)
        .reduce<number>((bits, value, bit) => bits | (value === undefined ? 0 : 1 << bit), 0),
    );
}

function readPresence(cursor: Cursor, count: number): boolean[] {
  const isPresent: boolean[] = [];
  for (let byte = 0; isPresent.length < count; ) {
    if (isPresent.length % 8 === 0) byte = readByte(cursor);
    isPresent.push(((byte >> (isPresent.length % 8)) & 1) === 1);
  }
  return isPresent;
}

/** As integers with the fewest decimals that lose nothing: 0.1 K steps are then ones, not hundreds. */
function scaled(values: readonly number[], column: Column): { integers: number[]; decimals: number } {
  let decimals = column.decimals;
  let integers = values.map((value) => Math.round(value * 10 ** decimals));
  if (!integers.every(Number.isSafeInteger))
    throw new RangeError(`packSamples requires finite ${column.channel} of usual size`);
  while (decimals > 0 && integers.every((integer) => integer % 10 === 0)) {
    integers = integers.map((integer) => integer / 10);
    decimals -= 1;
  }
  return { integers, decimals };
}

function differences(integers: readonly number[], order: 1 | 2): number[] {
  const once = integers.map((integer, index) => integer - (integers[index - 1] ?? 0));
  return order === 1 ? once : differences(once, 1);
}

function sums(integers: readonly number[], order: 1 | 2): number[] {
  let sum = 0;
  const once = integers.map((integer) => (sum += integer));
  return order === 1 ? once : sums(once, 1);
}

const zigzag = (integer: number): number => (integer < 0 ? -2 * integer - 1 : 2 * integer);
const unzigzag = (integer: number): number => (integer % 2 === 1 ? -(integer + 1) / 2 : integer / 2);

/** Seven bits a byte, the lowest first; by division, since a shift has only 32 bits. */
function writeVarint(bytes: number[], integer: number): void {
  let rest = integer;
  for (; rest >= 128; rest = Math.floor(rest / 128)) bytes.push((rest % 128) + 128);
  bytes.push(rest);
}

function readVarint(cursor: Cursor): number {
  let integer = 0;
  for (let place = 1; ; place *= 128) {
    const byte = readByte(cursor);
    integer += (byte % 128) * place;
    if (byte < 128) return integer;
  }
}

function readByte(cursor: Cursor): number {
  const byte = cursor.bytes[cursor.at];
  if (byte === undefined)
    throw new DaemonError("store-failed", "A chunk of samples is damaged: it ends too early.");
  cursor.at += 1;
  return byte;
}

/** Adding 0 makes −0 a plain zero, which is what comes back from a chunk. */
function rounded(value: number, decimals: number): number {
  return Math.round(value * 10 ** decimals) / 10 ** decimals + 0;
}

/** CRC-32 as in ISO 3309 and RFC 1952; Node's own is not in every Node 20. */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return (crc ^ 0xffffffff) >>> 0;
}
