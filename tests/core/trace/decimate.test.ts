import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { decimate } from "#core/trace/decimate";
import type { Trace } from "#core/trace/trace";

/** Long traces of whole tenths of a degree at uneven steps, now and then with a silence of minutes. */
const longTraces = fc
  .array(
    fc.record({
      seconds: fc.oneof(
        { weight: 40, arbitrary: fc.double({ min: 0.1, max: 2, noNaN: true }) },
        { weight: 1, arbitrary: fc.constant(240) },
      ),
      celsius: fc.integer({ min: 2000, max: 12_000 }),
    }),
    { minLength: 2, maxLength: 900 },
  )
  .map((steps): Trace => {
    let atSeconds = 0;
    return steps.map(({ seconds, celsius }) => {
      atSeconds += seconds;
      return { atSeconds, celsius: celsius / 10 };
    });
  });
const columnCounts = fc.integer({ min: 1, max: 60 });

function columnSeconds(trace: Trace, columns: number): number {
  return ((trace.at(-1)?.atSeconds ?? 0) - (trace[0]?.atSeconds ?? 0)) / columns;
}

describe("a trace thinned for a picture", () => {
  it.prop([longTraces, columnCounts])("has samples of the trace itself, in its order", (trace, columns) => {
    const places = decimate(trace, columns).map((sample) => trace.indexOf(sample));
    expect(places.every((place, index) => place > (places[index - 1] ?? -1))).toBe(true);
  });

  it.prop([longTraces, columnCounts])("has at most four samples a column and one more", (trace, columns) => {
    expect(decimate(trace, columns).length).toBeLessThanOrEqual(4 * (columns + 1));
  });

  it.prop([longTraces, columnCounts])("keeps both ends, the lowest and the highest", (trace, columns) => {
    const thin = decimate(trace, columns);
    const celsius = (samples: Trace) => samples.map((sample) => sample.celsius);
    expect([thin[0], thin.at(-1)]).toEqual([trace[0], trace.at(-1)]);
    expect(Math.min(...celsius(thin))).toBe(Math.min(...celsius(trace)));
    expect(Math.max(...celsius(thin))).toBe(Math.max(...celsius(trace)));
  });

  it.prop([longTraces, columnCounts, fc.nat(), fc.boolean()])(
    "keeps a lone spike wherever it is, up or down",
    (trace, columns, seed, isUp) => {
      const at = seed % trace.length;
      const spike = { atSeconds: trace[at]?.atSeconds ?? 0, celsius: isUp ? 1300 : 20 };
      const spiked = trace.map((sample, index) => (index === at ? spike : sample));
      expect(decimate(spiked, columns)).toContain(spike);
    },
  );

  it.prop([longTraces, columnCounts])("keeps both sides of a gap wider than a column", (trace, columns) => {
    const thin = new Set(decimate(trace, columns));
    for (const [index, to] of trace.entries()) {
      const from = trace[index - 1];
      if (!from || to.atSeconds - from.atSeconds <= columnSeconds(trace, columns) * 1.001) continue;
      expect(thin.has(from) && thin.has(to)).toBe(true);
    }
  });

  it("is the trace itself where it is short", () => {
    const trace = Array.from({ length: 400 }, (_, atSeconds) => ({ atSeconds, celsius: 500 }));
    expect(decimate(trace, 100)).toBe(trace);
  });

  it("keeps one sample on either side of a window", () => {
    const trace = Array.from({ length: 100 }, (_, atSeconds) => ({ atSeconds, celsius: 500 }));
    const shown = decimate(trace, 50, { fromSeconds: 10.5, toSeconds: 13 });
    expect(shown.map(({ atSeconds }) => atSeconds)).toEqual([10, 11, 12, 13, 14]);
  });

  it("is empty where nothing was measured", () => {
    expect(decimate([], 100)).toEqual([]);
  });

  it("refuses a picture without columns", () => {
    expect(() => decimate([], 0)).toThrow("decimate requires at least 1 column, got 0");
  });
});
