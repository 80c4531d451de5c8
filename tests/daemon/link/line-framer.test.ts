import { fc, it as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { LineFramer, LONGEST_LINE_BYTES } from "#daemon/link/line-framer";

/** Lines of the chunks, after the first line end. */
function framed(chunks: readonly Uint8Array[]): { lines: string[]; overlongLines: number } {
  const lines: string[] = [];
  const framer = new LineFramer((line) => lines.push(line));
  for (const chunk of chunks) framer.push(chunk);
  return { lines, overlongLines: framer.overlongLines };
}

/** The bytes cut at these places. */
function cut(bytes: Uint8Array, places: readonly number[]): Uint8Array[] {
  const at = [...new Set(places.map((place) => place % (bytes.length + 1)))].sort((a, b) => a - b);
  return [...at, bytes.length].map((end, index) => bytes.subarray(at[index - 1] ?? 0, end));
}

/** Bytes with many line ends among them. */
const noisyBytes = fc
  .array(fc.oneof(fc.constantFrom(0x0a, 0x0d), fc.integer({ min: 0, max: 255 })), { maxLength: 400 })
  .map((bytes) => Uint8Array.from(bytes));

describe("line framer", () => {
  it.each([
    { ends: "\\n", bytes: "\n1\n2\n", lines: ["1", "2"] },
    { ends: "\\r\\n", bytes: "\r\n1\r\n2\r\n", lines: ["1", "2"] },
    { ends: "a lone \\r", bytes: "\r1\r2\r", lines: ["1", "2"] },
    { ends: "all of them, and empty lines", bytes: "\n\n1\r\r\n\n2\n\r", lines: ["1", "2"] },
  ])("ends lines at $ends", ({ bytes, lines }) => {
    expect(framed([Buffer.from(bytes)]).lines).toEqual(lines);
  });

  it("believes nothing before the first line end", () => {
    expect(framed([Buffer.from("84.3\n501.0\n502")]).lines).toEqual(["501.0"]);
  });

  it("does not glue the half line of one opening to the first line of the next", () => {
    const before = framed([Buffer.from("\nT,10")]);
    const after = framed([Buffer.from("84.3\nT,1084.4\n")]);
    expect([...before.lines, ...after.lines]).toEqual(["T,1084.4"]);
  });

  it("takes a line of 4096 bytes and drops and counts one of 4097", () => {
    const long = (length: number) => Buffer.from(`${"x".repeat(length)}\n`);
    const { lines, overlongLines } = framed([
      Buffer.from("\n"),
      long(LONGEST_LINE_BYTES),
      long(LONGEST_LINE_BYTES + 1),
      Buffer.from("ok\n"),
    ]);
    expect(lines.map((line) => line.length)).toEqual([4096, 2]);
    expect(overlongLines).toBe(1);
  });

  it.each(["", "\n"])("keeps no more than a line of 10 MB without a line end, begun with %j", (beginning) => {
    const framer = new LineFramer(() => {});
    framer.push(Buffer.from(beginning));
    const chunk = Buffer.alloc(1000, "7");
    let mostBuffered = 0;
    for (let sent = 0; sent < 10_000_000; sent += chunk.length) {
      framer.push(chunk);
      mostBuffered = Math.max(mostBuffered, framer.bufferedBytes);
    }
    expect(mostBuffered).toBeGreaterThan(0);
    expect(mostBuffered).toBeLessThanOrEqual(LONGEST_LINE_BYTES);
    expect(framer.overlongLines).toBe(1);
    expect(framer.heardBytes).toBe(10_000_000 + beginning.length);
  });

  it("hears the lines after a flood", () => {
    expect(framed([Buffer.from("\n"), Buffer.alloc(100_000, 0xff), Buffer.from("\n512.4\n")]).lines).toEqual([
      "512.4",
    ]);
  });

  it("passes NUL on and makes bytes that are no UTF-8 visible, each on its own line", () => {
    const bytes = Buffer.concat([
      Buffer.from("\n10\0"),
      Buffer.from("84.3\n5"),
      Buffer.from([0xff, 0xc3, 0x0a]),
      Buffer.from("7\n"),
    ]);
    expect(framed([bytes]).lines).toEqual(["10\u000084.3", "5\uFFFD\uFFFD", "7"]);
  });

  it("says nothing more once it is closed", () => {
    const lines: string[] = [];
    const framer = new LineFramer((line) => lines.push(line));
    framer.push(Buffer.from("\n1\n"));
    framer.close();
    framer.push(Buffer.from("2\n"));
    expect(lines).toEqual(["1"]);
  });

  property.prop([noisyBytes, fc.array(fc.nat(), { maxLength: 30 })])(
    "gives the same lines however the bytes are cut",
    (bytes, places) => {
      expect(framed(cut(bytes, places))).toEqual(framed([bytes]));
    },
  );

  property.prop([
    fc.array(
      fc.string({ minLength: 1, unit: "grapheme" }).filter((line) => !/[\r\n]/.test(line)),
      { maxLength: 20 },
    ),
    fc.array(fc.nat(), { maxLength: 30 }),
  ])("gives back the lines that were written", (lines, places) => {
    const bytes = Buffer.from(`\n${lines.map((line) => `${line}\r\n`).join("")}`);
    expect(framed(cut(bytes, places)).lines).toEqual(lines);
  });
});
