import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import {
  curveEquivalentSeconds,
  equivalentOffsetKelvin,
  heatWorkEquivalentSeconds,
  type Kinetics,
} from "#core/heat/heat-work";
import { SHORTEST_GAP_SECONDS, type Trace } from "#core/trace/trace";
import { kinetics, traces } from "#tests/helpers/arbitraries";
import { sampled, trace } from "#tests/helpers/trace";

describe("heat work", () => {
  it.prop([traces({ minLength: 3 }), kinetics(), fc.nat()])("adds up over a cut", (points, any, seed) => {
    const cut = 1 + (seed % (points.length - 2));
    const parts =
      heatWorkEquivalentSeconds(points.slice(0, cut + 1), any) +
      heatWorkEquivalentSeconds(points.slice(cut), any);
    expect(nearly(parts, heatWorkEquivalentSeconds(points, any))).toBe(true);
  });

  it.prop([traces(), kinetics(), fc.nat()])("is blind to a sample added on the line", (points, any, seed) => {
    expect(
      nearly(
        heatWorkEquivalentSeconds(withMidpoint(points, seed), any),
        heatWorkEquivalentSeconds(points, any),
      ),
    ).toBe(true);
  });

  it.prop([traces(), kinetics(), fc.nat(), fc.double({ min: 0.1, max: 50, noNaN: true })])(
    "grows with the temperature of any sample",
    (points, any, seed, kelvin) => {
      const hotter = points.map((sample, index) =>
        index === seed % points.length ? { ...sample, celsius: sample.celsius + kelvin } : sample,
      );
      expect(heatWorkEquivalentSeconds(hotter, any)).toBeGreaterThan(heatWorkEquivalentSeconds(points, any));
    },
  );

  it.prop([traces(), kinetics(), fc.integer({ min: -100_000, max: 100_000 })])(
    "does not depend on when the bake was",
    (points, any, seconds) => {
      const later = points.map((sample) => ({ ...sample, atSeconds: sample.atSeconds + seconds }));
      expect(nearly(heatWorkEquivalentSeconds(later, any), heatWorkEquivalentSeconds(points, any))).toBe(
        true,
      );
    },
  );

  it.prop([traces(), kinetics(), fc.double({ min: -60, max: 60, noNaN: true })])(
    "of a shifted curve gives back the shift",
    (points, any, shiftKelvin) => {
      const shifted = curveEquivalentSeconds(points, any, shiftKelvin);
      expect(equivalentOffsetKelvin(points, shifted, any)).toBeCloseTo(shiftKelvin, 5);
    },
  );

  it("is not counted in a silence", () => {
    const before = sampled(trace("0:760 1:760"), 1);
    const after = before.map((sample) => ({
      ...sample,
      atSeconds: sample.atSeconds + 60 + SHORTEST_GAP_SECONDS,
    }));
    expect(heatWorkEquivalentSeconds([...before, ...after], at760)).toBeCloseTo(120, 9);
  });

  it("has no offset that would deliver nothing, or what only a sun could", () => {
    expect(equivalentOffsetKelvin(trace("0:760 1:760"), 0, at760)).toBeNull();
    expect(equivalentOffsetKelvin(trace("0:760 1:760"), 1e30, at760)).toBeNull();
  });

  it("refuses time that runs backwards", () => {
    const backwards = [
      { atSeconds: 600, celsius: 700 },
      { atSeconds: 300, celsius: 710 },
    ];
    const message = "heat work requires rising time, got 600 s then 300 s";
    expect(() => heatWorkEquivalentSeconds(backwards, at760)).toThrow(new RangeError(message));
    expect(() => curveEquivalentSeconds(backwards, at760)).toThrow(new RangeError(message));
  });
});

const at760: Kinetics = { activationEnergyJoulesPerMole: 300_000, referenceCelsius: 760 };

function withMidpoint(points: Trace, seed: number): Trace {
  const index = seed % (points.length - 1);
  const from = points[index];
  const to = points[index + 1];
  if (!from || !to) return points;
  const middle = {
    atSeconds: (from.atSeconds + to.atSeconds) / 2,
    celsius: (from.celsius + to.celsius) / 2,
  };
  return [...points.slice(0, index + 1), middle, ...points.slice(index + 1)];
}

/** Equal but for the rounding of sums and of the quadrature; a billionth of a second is nothing to a bake. */
function nearly(one: number, other: number): boolean {
  return Math.abs(one - other) <= 1e-8 * Math.max(Math.abs(one), Math.abs(other)) + 1e-9;
}
