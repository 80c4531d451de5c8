import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { gaps, SHORTEST_GAP_SECONDS, usualStepSeconds } from "#core/trace/trace";
import { traces } from "#tests/helpers/arbitraries";
import { sampled, trace } from "#tests/helpers/trace";

describe("gaps", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { heard: "nothing",                             atSeconds: [],                          found: [] },
    { heard: "one sample",                          atSeconds: [0],                         found: [] },
    { heard: "every second",                        atSeconds: [0, 1, 2, 3],                found: [] },
    { heard: "every second with 4.9 s of silence",  atSeconds: [0, 1, 2, 6.9, 7.9],         found: [] },
    { heard: "every second with 5 s of silence",    atSeconds: [0, 1, 2, 7, 8],             found: [[2, 7]] },
    { heard: "every second with two silences",      atSeconds: [0, 1, 9, 10, 11, 12, 72],   found: [[1, 9], [12, 72]] },
    { heard: "every 15 s",                          atSeconds: [0, 15, 30, 45, 60],         found: [] },
    { heard: "every 15 s with a minute of silence", atSeconds: [0, 15, 30, 90, 105, 120],   found: [[30, 90]] },
    { heard: "every 15 s with one line lost",       atSeconds: [0, 15, 45, 60, 75],         found: [] },
  ])("in a line heard $heard are $found", ({ atSeconds, found }) => {
    const heard = atSeconds.map((seconds) => ({ atSeconds: seconds, celsius: 500 }));
    expect(gaps(heard).map((gap) => [gap.fromSeconds, gap.toSeconds])).toEqual(found);
  });

  it.prop([traces()])("are none in a trace without silences", (points) => {
    expect(gaps(points)).toEqual([]);
  });

  it.prop([
    fc.integer({ min: 1, max: 58 }),
    fc.double({ min: SHORTEST_GAP_SECONDS, max: 5000, noNaN: true }),
  ])("hold exactly the silence that was cut in", (index, silenceSeconds) => {
    const heard = sampled(trace("0:500 1:560"), 1);
    const torn = heard.map((sample, at) =>
      at > index ? { ...sample, atSeconds: sample.atSeconds - 1 + silenceSeconds } : sample,
    );
    expect(gaps(torn)).toEqual([{ fromSeconds: index, toSeconds: torn[index + 1]?.atSeconds }]);
  });
});

describe("the usual step", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { of: "nothing",                 atSeconds: [],               seconds: 0 },
    { of: "one sample",              atSeconds: [7],              seconds: 0 },
    { of: "an even line",            atSeconds: [0, 2, 4, 6],     seconds: 2 },
    { of: "a line with one silence", atSeconds: [0, 1, 2, 99],    seconds: 1 },
  ])("of $of is $seconds s", ({ atSeconds, seconds }) => {
    expect(usualStepSeconds(atSeconds.map((at) => ({ atSeconds: at, celsius: 20 })))).toBe(seconds);
  });
});
