import { describe, expect, it } from "vitest";
import { noiseKelvin } from "#core/trace/noise";
import { type Segment, segments } from "#core/trace/segments";
import { smoothed } from "#core/trace/smooth";
import { recording } from "#tests/helpers/recording";

/** Corners as least-squares lines meet, derived by another program; sampled every 6 s, so ±12 s. */
const CORNER_SECONDS = 12;

function segmentsOf(file: string, run?: number): Segment[] {
  const trace = recording(file, run);
  return segments(smoothed(trace, noiseKelvin(trace)));
}

describe("segments of recordings that nobody here made", () => {
  const cycles = segmentsOf("macfp_umet_10Kmin_cycles.csv");

  // Published: 10 K/min up and down between two holds (MaCFP, UMET). Corners and rates derived.
  // biome-ignore format: a table reads in columns
  it.each([
    { kind: "hold",  from: 504,    to: 1112.7, rate: 0 },
    { kind: "climb", from: 1112.7, to: 2552.2, rate: 10.0042 },
    { kind: "hold",  from: 2552.2, to: 3152.9, rate: 0 },
    { kind: "hold",  from: 4656,   to: 5250.1, rate: 0 },
    { kind: "climb", from: 5250.1, to: 6689.5, rate: 10.0044 },
    { kind: "hold",  from: 6689.5, to: 7290.2, rate: 0 },
  ] as const)("hold a $kind until $to s at $rate K/min", ({ kind, to, rate }) => {
    const found = cycles.find((segment) => segment.kind === kind && Math.abs(segment.toSeconds - to) <= CORNER_SECONDS);
    expect(found).toBeDefined();
    expect(Math.abs((found?.kelvinPerMinute ?? 99) - rate)).toBeLessThan(0.05);
  });

  it.each([{ at: 1112.7 }, { at: 2552.2 }, { at: 3152.9 }, { at: 5250.1 }, { at: 6689.5 }, { at: 7290.2 }])(
    "have a corner at $at s",
    ({ at }) => {
      const nearest = Math.min(...cycles.map((segment) => Math.abs(segment.fromSeconds - at)));
      expect(nearest).toBeLessThanOrEqual(CORNER_SECONDS);
    },
  );

  it("take the led cooling and its falling behind as one cooling at 10 K/min", () => {
    const cooling = cycles.filter(({ kind }) => kind === "cool").at(1);
    expect(cooling?.fromSeconds).toBeCloseTo(3152.9, 0);
    expect(cooling?.kelvinPerMinute).toBeCloseTo(-9.9961, 1);
  });

  // Published nominal rates (MaCFP: LCPP, MFSL, TUBS); the measured ones are derived and closer.
  // biome-ignore format: a table reads in columns
  it.each([
    { file: "macfp_lcpp_5Kmin.csv",        run: undefined, nominal: 5,  measured: 5.0309 },
    { file: "macfp_mfsl_10Kmin.csv",       run: undefined, nominal: 10, measured: 9.9603 },
    { file: "macfp_tubs_50Kmin_3runs.csv", run: 1,         nominal: 50, measured: 50.1279 },
    { file: "macfp_tubs_50Kmin_3runs.csv", run: 8,         nominal: 50, measured: 50.1423 },
    { file: "macfp_tubs_50Kmin_3runs.csv", run: 15,        nominal: 50, measured: 50.179 },
  ])("climb at $nominal K/min in $file", ({ file, run, nominal, measured }) => {
    const climb = segmentsOf(file, run).find(({ kind }) => kind === "climb");
    expect(Math.abs((climb?.kelvinPerMinute ?? 0) / nominal - 1)).toBeLessThan(0.01);
    expect(Math.abs((climb?.kelvinPerMinute ?? 0) / measured - 1)).toBeLessThan(0.003);
  });
});

describe("segments", () => {
  it("are none for a handful of samples", () => {
    expect(segments([{ atSeconds: 0, celsius: 20 }])).toEqual([]);
  });

  it("lie end to end from the first sample to the last", () => {
    const trace = recording("macfp_mfsl_10Kmin.csv");
    const found = segments(trace);
    expect(found[0]?.fromSeconds).toBe(trace[0]?.atSeconds);
    expect(found.at(-1)?.toSeconds).toBe(trace.at(-1)?.atSeconds);
    for (const [index, segment] of found.entries())
      if (index > 0) expect(segment.fromSeconds).toBe(found[index - 1]?.toSeconds);
  });
});
