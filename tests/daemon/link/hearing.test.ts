import { describe, expect, it } from "vitest";
import {
  COMMON_BAUD_RATES,
  type Hearing,
  hearingStep,
  isSilence,
  isText,
  sevenBitFraming,
} from "#daemon/link/hearing";
import { received } from "#tests/helpers/uart";

const usual = { baudRate: 9600, framing: "8N1" } as const;
const lines = Array.from({ length: 5 }, (_, second) => `s=${second}.0 T=${(512.4 + second / 3).toFixed(1)}`);
const texts = [
  `${lines.join("\r\n")}\r\n`,
  "512.4\r\n512.9\r\n513.1\r\n513.8\r\n514.2\r\n",
  "12;4.1234;24.1\n13;4.1302;24.1\n14;4.1371;24.1\n",
  '{"s":123.0,"T":512.4,"P":1013.2}\r\n{"s":124.0,"T":513.1,"P":1013.2}\r\n',
  "T=512.4 \u00b0C CJ=24.1 \u00b0C\r\nT=512.9 \u00b0C CJ=24.1 \u00b0C\r\n",
];

function hearing(given: Partial<Hearing>): Hearing {
  return {
    ...usual,
    lines: [],
    overlongLines: 0,
    byteCount: given.firstBytes?.length ?? 0,
    firstBytes: new Uint8Array(),
    seconds: 0,
    quietSeconds: 0,
    ...given,
  };
}

const patience = { silentSeconds: 2, seconds: 2, isSearching: true };

/** The lines of what was received, the first of them dropped. */
function wholeLines(bytes: Uint8Array): string[] {
  return Buffer.from(bytes)
    .toString()
    .split(/[\r\n]+/)
    .slice(1, -1);
}

describe("text at one baud rate", () => {
  const pairs = COMMON_BAUD_RATES.flatMap((sent) => COMMON_BAUD_RATES.map((heard) => ({ sent, heard })));

  it.each(pairs)("sent at $sent and heard at $heard is known for what it is in time", ({ sent, heard }) => {
    for (const text of texts) {
      const firstBytes = received(text, { ...usual, baudRate: sent }, { ...usual, baudRate: heard });
      const spoken = hearing({ firstBytes, lines: wholeLines(firstBytes), seconds: 6 });
      if (sent === heard) expect(firstBytes.toString()).toBe(text);
      expect(hearingStep(spoken, patience)).toBe(sent === heard ? "enough" : "next");
    }
  });

  it("is rarely taken for text at another, and never at more than twice or half of its own", () => {
    const taken = pairs.filter(
      ({ sent, heard }) =>
        sent !== heard &&
        texts.some((text) =>
          isText({
            firstBytes: received(text, { ...usual, baudRate: sent }, { ...usual, baudRate: heard }).subarray(
              1,
            ),
          }),
        ),
    );
    expect(taken.length).toBeGreaterThan(0);
    for (const { sent, heard } of taken) expect(sent).toBe(2 * heard);
  });

  it("is still text when the port was opened in the middle of it", () => {
    for (const text of texts) {
      const bytes = Buffer.concat([Buffer.from([0xf3, 0x00, 0x9c]), Buffer.from(text.slice(3))]);
      expect(isText({ firstBytes: bytes })).toBe(true);
    }
  });

  it.each([{ framing: "7E1" as const }, { framing: "7O1" as const }])(
    "with $framing is known by its parity",
    ({ framing }) => {
      for (const text of texts.slice(0, 4)) {
        const firstBytes = received(text, { baudRate: 9600, framing }, usual);
        expect(isText({ firstBytes })).toBe(false);
        expect(sevenBitFraming(hearing({ firstBytes }))).toBe(framing);
        expect(received(text, { baudRate: 9600, framing }, { baudRate: 9600, framing }).toString()).toBe(
          text,
        );
      }
    },
  );

  it("has no parity where the bytes are noise, or too few", () => {
    const noise = Uint8Array.from({ length: 64 }, (_, index) => (index * 89 + 41) % 256);
    expect(sevenBitFraming(hearing({ firstBytes: noise }))).toBeNull();
    const few = received("512.4\r\n", { baudRate: 9600, framing: "7E1" }, usual);
    expect(sevenBitFraming(hearing({ firstBytes: few }))).toBeNull();
  });
});

describe("a port that nobody speaks on", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "nothing",                        bytes: 0, quietSeconds: 2,    is: true },
    { what: "a byte with the opening",        bytes: 1, quietSeconds: 1.95, is: true },
    { what: "a byte later",                   bytes: 1, quietSeconds: 0.5,  is: false },
    { what: "many bytes with the opening",    bytes: 3, quietSeconds: 1.95, is: false },
  ])("gives $what: $is", ({ bytes, quietSeconds, is }) => {
    expect(isSilence(hearing({ seconds: 2, quietSeconds, firstBytes: new Uint8Array(bytes) }))).toBe(is);
  });
});

describe("listening at one rate of several", () => {
  const garbage = received(texts[0] ?? "", usual, { ...usual, baudRate: 38_400 });
  const fourLines = Buffer.from(`${lines.slice(0, 4).join("\n")}\n`);

  // biome-ignore format: a table reads in columns
  it.each<{ what: string; heard: Partial<Hearing>; step: string }>([
    { what: "silence, for a while",            heard: { seconds: 1.9 },                                                    step: "listen" },
    { what: "silence, for long",               heard: { seconds: 2 },                                                      step: "next" },
    { what: "noise",                           heard: { seconds: 0.1, firstBytes: garbage },                               step: "next" },
    { what: "a few bytes of noise, coming",    heard: { seconds: 0.1, firstBytes: garbage.subarray(0, 5) },                step: "listen" },
    { what: "a few bytes of noise, a pause",   heard: { seconds: 0.5, firstBytes: garbage.subarray(0, 5), quietSeconds: 0.4 }, step: "next" },
    { what: "a byte and a pause",              heard: { seconds: 0.5, firstBytes: garbage.subarray(0, 1), quietSeconds: 0.4 }, step: "listen" },
    { what: "five lines that fit",             heard: { seconds: 0.5, firstBytes: Buffer.from(texts[0] ?? ""), lines },    step: "enough" },
    { what: "four that fit, early",            heard: { seconds: 1.5, firstBytes: fourLines, lines: lines.slice(0, 4) },   step: "listen" },
    { what: "three that fit, in time",         heard: { seconds: 2, firstBytes: fourLines, lines: lines.slice(0, 3) },     step: "enough" },
    { what: "two that fit, in time",           heard: { seconds: 2, firstBytes: fourLines, lines: lines.slice(0, 2) },     step: "listen" },
    { what: "one that fits, in three times",   heard: { seconds: 6, firstBytes: fourLines, lines: lines.slice(0, 1) },     step: "enough" },
    { what: "words without numbers",           heard: { seconds: 2, firstBytes: Buffer.from("ZJY[jX\n".repeat(9)), lines: Array(8).fill("ZJY[jX") }, step: "next" },
    { what: "text without a line end",         heard: { seconds: 6, firstBytes: Buffer.from("512.4 ".repeat(20)) },        step: "next" },
    { what: "a banner, early",                 heard: { seconds: 1, firstBytes: Buffer.from("thermometer ready\n".repeat(20)), lines: Array(20).fill("thermometer ready") }, step: "listen" },
    { what: "a letter",                        heard: { seconds: 2, firstBytes: Buffer.from("dear colleague\n".repeat(20)), lines: Array(20).fill("dear colleague") }, step: "next" },
  ])("after $what: $step", ({ heard, step }) => {
    expect(hearingStep(hearing(heard), patience)).toBe(step);
  });

  it("goes on for all its seconds where no other rate is tried", () => {
    const only = { ...patience, isSearching: false };
    const noise = hearing({ firstBytes: garbage, seconds: 1.9 });
    expect(hearingStep(noise, only)).toBe("listen");
    expect(hearingStep({ ...noise, seconds: 2 }, only)).toBe("enough");
  });
});
