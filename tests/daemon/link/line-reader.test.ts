import { describe, expect, it } from "vitest";
import { isPolled, parseFormat } from "#daemon/link/formats/formats";
import { LineReader, type Moment } from "#daemon/link/line-reader";
import type { Channels } from "#daemon/link/reading";

/** A reader that keeps what it read, and a way to say lines to it, one a second. */
function reader(spec: string) {
  const parsed = parseFormat(spec);
  if (!parsed.ok || isPolled(parsed.format)) throw new RangeError(`${spec} is not read from lines`);
  const read: (Channels & { readonly atSeconds: number })[] = [];
  const lines = new LineReader(parsed.format, (channels, { seconds }) =>
    read.push({ ...channels, atSeconds: seconds }),
  );
  let seconds = 0;
  const moment = (): Moment => ({ seconds: seconds++, epochMilliseconds: 0 });
  return { lines, read, say: (...said: string[]) => said.map((line) => lines.read(line, moment())) };
}

describe("line reader", () => {
  it("counts what it takes and what it refuses, and shows the newest refused line", () => {
    const { lines, read, say } = reader("number:celsius");
    expect(say("501.0", "boot", "501.2")).toEqual([true, false, true]);
    expect(read).toEqual([
      { celsius: 501, atSeconds: 0 },
      { celsius: 501.2, atSeconds: 2 },
    ]);
    expect(lines).toMatchObject({
      acceptedLines: 2,
      refusedLines: 1,
      lastRefusedLine: "boot",
      refusedInARow: 0,
      fault: null,
    });
  });

  it("shows a refused line printable and cut to 120 characters", () => {
    const { lines, say } = reader("number:celsius");
    say(`10\u000084.3\u001b[31m${"x".repeat(500)}`);
    expect(lines.lastRefusedLine).toMatch(/^10·84\.3·\[31mx+$/);
    expect(lines.lastRefusedLine).toHaveLength(120);
  });

  it("chooses a format after five lines and loses none of them", () => {
    const { lines, read, say } = reader("auto");
    say("0.0;501.0", "1.0;501.7", "2.0;502.6", "3.0;503.1");
    expect(lines.spec).toBeNull();
    expect(read).toEqual([]);
    say("4.0;503.9");
    expect(lines.spec).toBe("columns/semicolon:seconds,celsius");
    expect(read.map(({ celsius, atSeconds }) => [celsius, atSeconds])).toEqual([
      [501, 0],
      [501.7, 1],
      [502.6, 2],
      [503.1, 3],
      [503.9, 4],
    ]);
  });

  it("waits through a boot banner until a format fits", () => {
    const { lines, read, say } = reader("auto");
    say("Thermometer v1.2", "selftest: ok", "ready", "T=501.0", "T=501.1", "T=501.4", "T=501.3", "T=501.9");
    expect(lines.spec).toBe("pairs:T=celsius");
    expect(read.map(({ celsius }) => celsius)).toEqual([501, 501.1, 501.4, 501.3, 501.9]);
    expect(lines.refusedLines).toBe(3);
  });

  it("keeps no more than fifty lines when nothing fits", () => {
    const { lines, say } = reader("auto");
    say(...Array.from({ length: 1000 }, (_, index) => `noise-${index}`));
    expect(lines).toMatchObject({ refusedLines: 950, acceptedLines: 0, lastRefusedLine: "noise-949" });
  });

  it("listens anew when the lines have become other ones", () => {
    const { lines, read, say } = reader("auto");
    say(...Array.from({ length: 6 }, () => "501.0"));
    say(...Array.from({ length: 25 }, (_, index) => `T=60${index % 10}.0`));
    expect(lines.spec).toBe("pairs:T=celsius");
    expect(read.at(-1)).toMatchObject({ celsius: 604 });
  });

  it("never changes a format that was given", () => {
    const { lines, say } = reader("number:celsius");
    say(...Array.from({ length: 100 }, () => "T=601.0"));
    expect(lines).toMatchObject({ spec: "number:celsius", refusedLines: 100, refusedInARow: 100 });
  });

  it("reads a recording too short to choose from, once it is at its end", () => {
    const { lines, read, say } = reader("auto");
    say("T=501.0", "T=501.1", "T=501.4");
    lines.end();
    expect(read.map(({ celsius }) => celsius)).toEqual([501, 501.1, 501.4]);
  });

  it("counts every line of a letter as refused, once it is at its end", () => {
    const { lines, say } = reader("auto");
    say("Dear colleague,", "the furnace is fine.", "Yours");
    lines.end();
    expect(lines).toMatchObject({ acceptedLines: 0, refusedLines: 3, lastRefusedLine: "Yours" });
  });
});
