import { describe, expect, it } from "vitest";
import { lookAhead } from "#kiosk-ui/chart/look-ahead";
import { sampled, trace } from "#tests/helpers/trace";

const climb = sampled(trace("0:500 5:500 10:700"), 1);

describe("the look ahead", () => {
  it("goes on at the rate of the climb, however long it stood before", () => {
    const ahead = lookAhead(climb, 760);
    expect(ahead?.from).toEqual({ atSeconds: 600, celsius: 700 });
    expect((ahead?.kelvinPerSecond ?? 0) * 60).toBeCloseTo(40, 6);
    expect(ahead?.lengthSeconds).toBe(45);
  });

  it("ends where the plan stops the climb", () => {
    expect(lookAhead(climb, 710)?.lengthSeconds).toBeCloseTo(15, 6);
  });

  it("leads to the peak that is foreseen, above the plan or below it", () => {
    const ahead = lookAhead(climb, 760, { celsius: 757, inSeconds: 95 });
    expect(ahead).toMatchObject({ lengthSeconds: 95, endsAtPeak: true });
    expect(700 + (ahead?.kelvinPerSecond ?? 0) * 95).toBeCloseTo(757, 9);
    const over = lookAhead(sampled(trace("0:500 5:500 11.5:760"), 1), 760, { celsius: 764, inSeconds: 8 });
    expect(over).toMatchObject({ lengthSeconds: 8, kelvinPerSecond: 0.5, endsAtPeak: true });
  });

  it("goes only part of the way to a peak that is far", () => {
    const ahead = lookAhead(climb, 760, { celsius: 760, inSeconds: 300 });
    expect(ahead).toMatchObject({ lengthSeconds: 150, kelvinPerSecond: 0.2, endsAtPeak: false });
  });

  it("goes on as before where the peak is as good as reached", () => {
    expect(lookAhead(climb, 760, { celsius: 700, inSeconds: 0.4 })).toEqual(lookAhead(climb, 760));
  });

  it("is less sure where the readings are noisy", () => {
    const noisy = climb.map((sample, index) => ({
      ...sample,
      celsius: sample.celsius + (index % 2 ? 2 : -2),
    }));
    const calm = lookAhead(climb, 760)?.spreadKelvinPerSecond ?? 0;
    expect(calm).toBeCloseTo((0.06 * 40) / 60, 6);
    expect(lookAhead(noisy, 760)?.spreadKelvinPerSecond ?? 0).toBeGreaterThan(1.5 * calm);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { when: "in a hold",                        points: "0:500 5:700 6:700" },
    { when: "in the cooling",                   points: "0:500 5:700 6:640" },
    { when: "at the top",                       points: "0:500 5:760" },
  ])("is none $when", ({ points }) => {
    expect(lookAhead(sampled(trace(points), 1), 760)).toBeNull();
  });

  it("is none with too little to go by", () => {
    expect(lookAhead([], 760)).toBeNull();
    expect(lookAhead(climb.slice(-4), 760)).toBeNull();
  });
});
