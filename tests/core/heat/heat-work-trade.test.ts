import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { curveEquivalentSeconds } from "#core/heat/heat-work";
import {
  apparentEnergyJoulesPerMole,
  climbEquivalentSeconds,
  equalClimbTopCelsius,
  equalHoldCelsius,
} from "#core/heat/heat-work-trade";
import { kinetics } from "#tests/helpers/arbitraries";
import { relativeError } from "#tests/helpers/sintering-examples";
import { trace } from "#tests/helpers/trace";

// The worked examples of these trades stand in heat-work-examples.test.ts, the published cones in
// pyrometric-cones.test.ts.

const celsius = fc.double({ min: 500, max: 1100, noNaN: true });
const energy = fc.double({ min: 150_000, max: 600_000, noNaN: true });
const rate = fc.double({ min: 0.2, max: 120, noNaN: true });

describe("the heat work of a climb from cold", () => {
  it.prop([celsius, rate, kinetics()])(
    "in closed form is that by quadrature",
    (top, kelvinPerMinute, any) => {
      const curve = trace(`0:-273.15 ${(top + 273.15) / kelvinPerMinute}:${top}`);
      const closed = climbEquivalentSeconds({ kelvinPerMinute, celsius: top }, any);
      expect(relativeError(closed, curveEquivalentSeconds(curve, any))).toBeLessThan(1e-8);
    },
  );

  it("is doubled by half the rate", () => {
    const any = { activationEnergyJoulesPerMole: 300_000, referenceCelsius: 760 };
    const seconds = (kelvinPerMinute: number) =>
      climbEquivalentSeconds({ kelvinPerMinute, celsius: 760 }, any);
    expect(seconds(20) / seconds(40)).toBeCloseTo(2, 12);
  });

  it("does not exist for a climb that goes nowhere", () => {
    const any = { activationEnergyJoulesPerMole: 300_000, referenceCelsius: 760 };
    expect(() => climbEquivalentSeconds({ kelvinPerMinute: 0, celsius: 760 }, any)).toThrow(
      "a climb requires a rate above 0 and an end above 0 K, got 0 K/min to 760 °C",
    );
  });
});

describe("the top of equal heat work", () => {
  it.prop([celsius, rate, rate, energy])(
    "at another rate and back is the first",
    (top, one, other, joules) => {
      const there = equalClimbTopCelsius({ kelvinPerMinute: one, celsius: top }, other, joules);
      const back = equalClimbTopCelsius({ kelvinPerMinute: other, celsius: there }, one, joules);
      expect(back).toBeCloseTo(top, 6);
    },
  );

  it.prop([celsius, rate, fc.double({ min: 1.05, max: 20, noNaN: true }), energy])(
    "gives back the energy it was found with",
    (top, slow, times, joules) => {
      const fast = { kelvinPerMinute: slow * times, celsius: 0 };
      const end = { kelvinPerMinute: slow, celsius: top };
      const other = { ...fast, celsius: equalClimbTopCelsius(end, fast.kelvinPerMinute, joules) };
      expect(relativeError(apparentEnergyJoulesPerMole(other, end) ?? 0, joules)).toBeLessThan(1e-6);
    },
  );

  it("has no energy where the faster climb ended no higher", () => {
    const slow = { kelvinPerMinute: 20, celsius: 760 };
    expect(apparentEnergyJoulesPerMole(slow, { kelvinPerMinute: 40, celsius: 760 })).toBeNull();
    expect(apparentEnergyJoulesPerMole(slow, { kelvinPerMinute: 40, celsius: 750 })).toBeNull();
  });
});

describe("the temperature of a hold of equal heat work", () => {
  const seconds = fc.double({ min: 1, max: 600, noNaN: true });

  it.prop([celsius, seconds, seconds, kinetics()])(
    "does the same as the hold it stands for",
    (at, one, other, any) => {
      const there = equalHoldCelsius(at, one, other, any.activationEnergyJoulesPerMole) ?? Number.NaN;
      const work = (top: number, length: number) =>
        curveEquivalentSeconds(trace(`0:${top} ${length / 60}:${top}`), any);
      expect(relativeError(work(there, other), work(at, one))).toBeLessThan(1e-9);
    },
  );

  it("is none where even endless heat would take too long, and refuses a hold of no length", () => {
    expect(equalHoldCelsius(770, 60, 1e-300, 10_000)).toBeNull();
    expect(() => equalHoldCelsius(770, 60, 0, 300_000)).toThrow(
      "equal holds require lengths and an energy above 0",
    );
  });
});
