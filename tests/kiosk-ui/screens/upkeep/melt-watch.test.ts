import { describe, expect, it } from "vitest";
import { FIXED_POINTS } from "#core/upkeep/fixed-points";
import { meltWatch, watchedPlateau, watchedReading } from "#kiosk-ui/screens/upkeep/melt-watch";
import { madeUpMelt } from "#tests/helpers/made-up-checks";

const SILVER = FIXED_POINTS.silver.celsius;
const climbTo = (celsius: number, kelvinPerMinute: number) =>
  Array.from({ length: 240 }, (_, index) => ({
    atSeconds: index / 4,
    celsius: celsius + ((index - 239) / 4 / 60) * kelvinPerMinute,
  }));

describe("a wire being watched", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { at: -60, rate: 60,  hint: "below" },
    { at: -20, rate: 25,  hint: "fast" },
    { at: -20, rate: 7,   hint: "right" },
    { at: -20, rate: 10,  hint: "right" },
    { at: -5,  rate: 2,   hint: "slow" },
    { at: -1,  rate: 0.2, hint: "still" },
    { at: 6,   rate: 25,  hint: "after" },
    { at: 6,   rate: 7,   hint: "right" },
    { at: 22,  rate: 7,   hint: "past" },
    { at: 3,   rate: -20, hint: "falling" },
  ])("$at K from the melting point at $rate K/min is told “$hint”", ({ at, rate, hint }) => {
    const watch = meltWatch(climbTo(SILVER + at, rate), [], SILVER);
    expect(watch?.hint).toBe(hint);
    expect(watch?.kelvinPerMinute).toBeCloseTo(rate, 6);
  });

  it("is seen without what a correction adds", () => {
    const correction = [{ readingCelsius: 900, correctionKelvin: 4 }];
    const watch = meltWatch(climbTo(SILVER, 7), correction, SILVER);
    expect(watch?.celsius).toBeCloseTo(SILVER - 4, 9);
    expect(watch?.shown.at(-1)?.celsius).toBeCloseTo(SILVER - 4, 9);
    expect(watchedReading(climbTo(SILVER, 7), correction, 59.75)?.celsius).toBeCloseTo(SILVER - 4, 6);
  });

  it("is nothing before the first sample, and has no rate at once", () => {
    expect(meltWatch([], [], SILVER)).toBeNull();
    expect(meltWatch([{ atSeconds: 0, celsius: 900 }], [], SILVER)).toMatchObject({
      kelvinPerMinute: null,
      hint: null,
    });
  });

  it("shows the last minutes only", () => {
    const samples = madeUpMelt();
    const newest = samples.at(-1)?.atSeconds ?? 0;
    expect(meltWatch(samples, [], SILVER)?.shown[0]?.atSeconds).toBeCloseTo(newest - 480, 6);
  });

  it("has its plateau where the wire stood, corrected or not", () => {
    const samples = madeUpMelt({ offKelvin: -1.4 });
    expect(watchedPlateau(samples, [], SILVER)?.celsius).toBeCloseTo(SILVER - 1.4, 0);
    const corrected = samples.map((sample) => ({ ...sample, celsius: sample.celsius + 9 }));
    const correction = [{ readingCelsius: 900, correctionKelvin: 9 }];
    expect(watchedPlateau(corrected, correction, SILVER)?.celsius).toBeCloseTo(SILVER - 1.4, 0);
    expect(watchedPlateau(madeUpMelt({ meltSeconds: 0 }), [], SILVER)).toBeNull();
  });
});
