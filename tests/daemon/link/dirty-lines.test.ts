import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { describe, expect, it } from "vitest";
import { type Format, isPolled, type LineFormat, parseFormat } from "#daemon/link/formats/formats";
import { LineFramer, LONGEST_LINE_BYTES } from "#daemon/link/line-framer";
import { LineReader } from "#daemon/link/line-reader";
import { questionsOf } from "#daemon/link/polled/polled-furnace";
import type { Hearing } from "#daemon/link/polled/question";
import { answerChannels } from "#daemon/link/polled/round-values";
import type { Channels } from "#daemon/link/reading";
import { rtuFrame } from "#tests/helpers/modbus-slave";

const BYTES = 10_000_000;
const CHUNK_BYTES = 4096;
/** What may stay behind after ten million bytes, by the collector's count; it moves by itself by about one. */
const MOST_LEFT_MEBIBYTES = 8;

setFlagsFromString("--expose-gc");
const collectGarbage: () => void = runInNewContext("gc");

function heapMebibytes(): number {
  collectGarbage();
  return process.memoryUsage().heapUsed / 2 ** 20;
}

/** A seeded source of chance, fast enough for a hundred million bytes (xorshift, Marsaglia 2003). */
class Chance {
  #state = 20_261_125;

  next(): number {
    let x = this.#state;
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    this.#state = x;
    return x >>> 0;
  }
}

/** Chunks of any length, half of them chance, half of them right bytes with something changed, lost or doubled. */
function* dirt(right: Buffer, chance: Chance): Generator<Buffer> {
  const repeated = Buffer.concat(
    Array.from({ length: Math.ceil((2 * CHUNK_BYTES) / right.length) }, () => right),
  );
  for (let sent = 0; sent < BYTES; ) {
    const length = 1 + (chance.next() % CHUNK_BYTES);
    const chunk = Buffer.allocUnsafe(length);
    if (chance.next() % 2 === 0) for (let at = 0; at < length; at++) chunk[at] = chance.next();
    else {
      let from = chance.next() % right.length;
      const rarity = 4 + (chance.next() % 60);
      for (let at = 0; at < length; at++, from++) {
        if (chance.next() % rarity === 0) from += (chance.next() % 3) - 1;
        chunk[at] = chance.next() % rarity === 0 ? chance.next() : (repeated[from % repeated.length] ?? 0);
      }
    }
    sent += length;
    yield chunk;
  }
}

function format(spec: string): Format {
  const parsed = parseFormat(spec);
  if (!parsed.ok) throw new RangeError(parsed.error);
  return parsed.format;
}

function allFinite(channels: Channels | null): boolean {
  return Object.entries(channels ?? {}).every(
    ([name, value]) => name === "sensorWord" || Number.isFinite(value),
  );
}

/** @returns what was read of the clean bytes that followed the dirt */
function lineAfterDirt(lineFormat: LineFormat, right: Buffer, clean: string): Channels[] {
  let bad = 0;
  let heard: Channels[] = [];
  const reader = new LineReader(lineFormat, (channels) => {
    if (!allFinite(channels)) bad += 1;
    heard.push(channels);
    if (heard.length > 5) heard.shift();
  });
  const framer = new LineFramer((line) => reader.read(line, { seconds: 0, epochMilliseconds: 0 }));
  for (const chunk of dirt(right, new Chance())) {
    framer.push(chunk);
    if (framer.bufferedBytes > LONGEST_LINE_BYTES) bad += 1;
  }
  expect(bad).toBe(0);
  expect(reader.acceptedLines).toBeGreaterThan(100);
  expect(reader.refusedLines).toBeGreaterThan(100);
  heard = [];
  framer.push(Buffer.from(`\n${clean}`));
  framer.close();
  return heard;
}

/** @returns what was read of the right answer that followed the dirt */
function answerAfterDirt(spec: string, right: (request: Uint8Array) => Buffer): Channels | null {
  const asked = format(spec);
  const [question] = isPolled(asked) ? questionsOf(asked) : [];
  if (!question) throw new RangeError(`${spec} asks nothing`);
  const begin = (): Hearing => question.begin();
  let hearing = begin();
  let bad = 0;
  let answers = 0;
  for (const chunk of dirt(right(hearing.request), new Chance())) {
    const answer = hearing.push(chunk);
    if (hearing.rest.length > CHUNK_BYTES || hearing.takeNoise(false).length > 120) bad += 1;
    if (!answer) continue;
    if (!allFinite(answerChannels(answer))) bad += 1;
    answers += 1;
    hearing = begin();
  }
  expect(bad).toBe(0);
  expect(answers).toBeGreaterThan(spec.startsWith("modbus-tcp") ? 0 : 100);
  hearing = begin();
  const answer = hearing.push(right(hearing.request));
  return answer && answerChannels(answer);
}

describe("ten million random and mutated bytes, then a right one", { timeout: 120_000 }, () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { spec: "number:celsius",                        line: "512.4 C" },
    { spec: "columns:seconds,celsius,hectopascals",  line: "123.0;512.4;1013.2" },
    { spec: "pairs:s=seconds,T=celsius,E=millivolts", line: "s=123.0 T=512.4 E=4.1234" },
    { spec: "json:s=seconds,T=celsius",              line: '{"s":123.0,"T":512.4}' },
    { spec: "auto",                                  line: "s=123.0 T=512.4 P=1013.2" },
  ])("in lines of $spec", ({ spec, line }) => {
    const before = heapMebibytes();
    const lineFormat = format(spec);
    if (isPolled(lineFormat)) throw new RangeError(`${spec} is asked`);
    const heard = lineAfterDirt(lineFormat, Buffer.from(`${line}\r\n`), `${line}\n`.repeat(60));
    expect(heard.at(-1)).toMatchObject({ celsius: 512.4 });
    expect(heapMebibytes() - before).toBeLessThan(MOST_LEFT_MEBIBYTES);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { spec: "modbus:input 0 int16 *0.1=celsius", right: () => rtuFrame("01 04 02 14 04") },
    { spec: "modbus:unit=7;holding 3 float32=celsius;holding 5 int16=cold-celsius", right: () => rtuFrame("07 03 06 44 00 19 9A 00 18") },
    { spec: "modbus-tcp:input 0 int16 *0.1=celsius", right: (request: Uint8Array) => Buffer.concat([request.subarray(0, 2), Buffer.from("00000005010402 1404".replace(" ", ""), "hex")]) },
    { spec: "scpi:READ?=celsius", right: () => Buffer.from("+5.12400E+02,CEL\r\n") },
    { spec: "scpi:READ?=celsius,cold-celsius", right: () => Buffer.from("512.4,24.1\r\n") },
  ])("in answers to $spec", ({ spec, right }) => {
    const before = heapMebibytes();
    expect(answerAfterDirt(spec, right)?.celsius).toBeCloseTo(512.4, 4);
    expect(heapMebibytes() - before).toBeLessThan(MOST_LEFT_MEBIBYTES);
  });
});
