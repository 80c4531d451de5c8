import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { legs, type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds, setpointCelsius, setpointCurve, setpointOnCurve } from "#core/plan/setpoint";
import { plans } from "#tests/helpers/arbitraries";

const twoClimbs: Plan = {
  name: "two climbs",
  dryingSeconds: 120,
  closingSeconds: 60,
  lowCelsius: 500,
  lowHoldSeconds: 0,
  steps: [
    { kind: "climb", toCelsius: 650, kelvinPerMinute: 50 },
    { kind: "hold", seconds: 60 },
    { kind: "climb", toCelsius: 750, kelvinPerMinute: 25 },
    { kind: "hold", seconds: 30 },
  ],
  cooling: { kind: "steady", toCelsius: 600, kelvinPerMinute: 30 },
};

describe("the set-point curve", () => {
  it("has a corner wherever the plan turns", () => {
    expect(setpointCurve(twoClimbs).map(({ atSeconds, celsius }) => [atSeconds, celsius])).toEqual([
      [0, 500],
      [180, 500],
      [360, 650],
      [420, 650],
      [660, 750],
      [690, 750],
      [990, 600],
    ]);
  });

  it("ends with the last hold where cooling is left free", () => {
    expect(planLengthSeconds({ ...twoClimbs, cooling: { kind: "free", openAtCelsius: 700 } })).toBe(690);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { moment: "before its zero",         atSeconds: -5,  celsius: 500 },
    { moment: "while drying",            atSeconds: 60,  celsius: 500 },
    { moment: "half-way up",             atSeconds: 270, celsius: 575 },
    { moment: "at the corner",           atSeconds: 360, celsius: 650 },
    { moment: "in the first hold",       atSeconds: 400, celsius: 650 },
    { moment: "in the cooling",          atSeconds: 840, celsius: 675 },
    { moment: "at its end",              atSeconds: 990, celsius: 600 },
    { moment: "after its end",           atSeconds: 991, celsius: null },
  ])("is $celsius °C $moment", ({ atSeconds, celsius }) => {
    expect(setpointCelsius(twoClimbs, atSeconds)).toBe(celsius);
  });

  it.prop([plans()])("runs in rising time and never above the top", (any) => {
    const curve = setpointCurve(any);
    for (const [index, corner] of curve.entries()) {
      expect(corner.atSeconds).toBeGreaterThan(curve[index - 1]?.atSeconds ?? -1);
      expect(corner.celsius).toBeLessThanOrEqual(topCelsius(any));
    }
  });

  it.prop([plans(), fc.double({ min: 0, max: 1, noNaN: true })])(
    "rises at the planned rate",
    (any, share) => {
      const [leg] = legs(any);
      if (!leg) return;
      const seconds = share * (leg.holdStartSeconds - leg.climbStartSeconds);
      const celsius = setpointOnCurve(setpointCurve(any), leg.climbStartSeconds + seconds);
      expect(celsius).toBeCloseTo(leg.fromCelsius + (seconds * leg.kelvinPerMinute) / 60, 6);
    },
  );
});
