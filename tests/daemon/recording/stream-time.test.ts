import { describe, expect, it } from "vitest";
import { nextStreamTime, type StreamTime } from "#daemon/recording/stream-time";

/** Lines as received:instrument seconds, or received alone; the answer is when each was, null for dropped. */
function timesOf(lines: string): (number | null)[] {
  let time: StreamTime | null = null;
  return lines.split(" ").map((line) => {
    const [receivedAtSeconds = Number.NaN, instrumentSeconds] = line.split(":").map(Number);
    const next = nextStreamTime(time, { receivedAtSeconds, instrumentSeconds });
    time = next ?? time;
    return next && Math.round(next.atSeconds * 1000) / 1000;
  });
}

describe("the time of a stream", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "the instrument's clock, whenever its lines come",   lines: "50:300 50.9:301 52.2:302",       times: [0, 1, 2] },
    { what: "the instrument's clock after a silence",            lines: "50:300 51:301 351:601",          times: [0, 1, 301] },
    { what: "the instrument's clock at 600 times the speed",     lines: "50:0 51:600 52:1200 57:4200",    times: [0, 600, 1200, 4200] },
    { what: "the arrival where lines carry no clock",            lines: "50 51 53.5",                     times: [0, 1, 3.5] },
    { what: "the arrival, kept apart, of lines in one piece",    lines: "50 51 51 51",                    times: [0, 1, 1.001, 1.002] },
    { what: "no new moment while the instrument's clock stands", lines: "50:300 51:300 52:302",           times: [0, null, 2] },
    { what: "the arrival over a jump back, then the instrument", lines: "50:300 51:0 52:1 54:3",          times: [0, 1, 2, 4] },
    { what: "the arrival over a garbled clock",                  lines: "50:300 56:306 57:30700 58:308",  times: [0, 6, 7, 8] },
    { what: "the arrival for one line without its clock",        lines: "50:300 51 52:302",               times: [0, 1, 2] },
  ])("is $what", ({ lines, times }) => {
    expect(timesOf(lines)).toEqual(times);
  });
});
