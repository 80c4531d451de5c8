import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import {
  type CrystalGrowth,
  crystallisationPeakCelsius,
  crystallisedFraction,
  extendedTime,
  kissingerEnergyJoulesPerMole,
} from "#core/heat/crystallisation";
import { relativeError, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-examples";
import { trace } from "#tests/helpers/trace";

const growthInputs = {
  n: z.number(),
  E_J_per_mol: z.number(),
  k_ref_per_s: z.number(),
  T_ref_C: z.number(),
};

describe("crystallisation in the worked examples", () => {
  it("has a test for every one of them", () => {
    expect(sinteringExampleNames("crystallisation")).toEqual([
      "jmak-isothermal-lithium-disilicate",
      "jmak-kissinger-peaks",
      "jmak-nonisothermal",
    ]);
  });

  it("on a climb is what closed form and quadrature give", () => {
    // Computed independently by closed form (E₂) and quadrature.
    const { inputs, expected } = sinteringExample(
      "jmak-nonisothermal",
      { ...growthInputs, from_C: z.number(), to_C: z.number(), rate_K_per_min: z.number() },
      { extended: z.number(), fraction: z.number() },
    );
    const minutes = (inputs.to_C - inputs.from_C) / inputs.rate_K_per_min;
    const extended = extendedTime(trace(`0:${inputs.from_C} ${minutes}:${inputs.to_C}`), growthOf(inputs));
    expect(relativeError(extended, expected.extended)).toBeLessThan(1e-5);
    expect(relativeError(crystallisedFraction([extended], inputs.n), expected.fraction)).toBeLessThan(1e-5);
  });

  it("at steady temperature is what the published energy of lithium disilicate gives", () => {
    // E and n published: J. Am. Ceram. Soc. 97 (2014) 157–162; the rate is invented, the shares computed independently.
    const { inputs, expected } = sinteringExample(
      "jmak-isothermal-lithium-disilicate",
      { ...growthInputs, T_C: z.array(z.number()), t_s: z.number() },
      { fraction: z.array(z.number()) },
    );
    for (const [index, celsius] of inputs.T_C.entries()) {
      const hold = trace(`0:${celsius} ${inputs.t_s / 60}:${celsius}`);
      const fraction = crystallisedFraction([extendedTime(hold, growthOf(inputs))], inputs.n);
      expect(relativeError(fraction, expected.fraction[index] ?? 0)).toBeLessThan(1e-5);
    }
  });

  it("peaks where the example says, and Kissinger's line gives its energy back", () => {
    // Computed independently (maximum of dX/dT). The file's energy is Kissinger's, 0.15 % from the one put in.
    const { inputs, expected } = sinteringExample(
      "jmak-kissinger-peaks",
      { ...growthInputs, rates_K_per_min: z.array(z.number()) },
      { peak_T_C: z.array(z.number()), kissinger_E_kJ_per_mol: z.number() },
    );
    const peaks = inputs.rates_K_per_min.map((kelvinPerMinute) => ({
      kelvinPerMinute,
      celsius: crystallisationPeakCelsius(kelvinPerMinute, growthOf(inputs)) ?? Number.NaN,
    }));
    for (const [index, { celsius }] of peaks.entries())
      expect(Math.abs(celsius - (expected.peak_T_C[index] ?? 0))).toBeLessThan(0.02);
    const energy = kissingerEnergyJoulesPerMole(peaks) / 1000;
    expect(Number(energy.toPrecision(6))).toBe(expected.kissinger_E_kJ_per_mol);
    expect(relativeError(1000 * energy, inputs.E_J_per_mol)).toBeLessThan(0.002);
  });
});

describe("crystallisation", () => {
  const growth: CrystalGrowth = {
    perSecond: 1e-3,
    avramiExponent: 3,
    activationEnergyJoulesPerMole: 300_000,
    referenceCelsius: 750,
  };
  const extended = fc.double({ min: 1e-4, max: 2, noNaN: true });

  it.prop([extended, extended, fc.double({ min: 1, max: 4, noNaN: true })])(
    "goes on where the bake before left it: two bakes are one long one",
    (first, second, exponent) => {
      const both = crystallisedFraction([first, second], exponent);
      expect(both).toBe(crystallisedFraction([first + second], exponent));
      expect(both).toBeGreaterThanOrEqual(crystallisedFraction([first], exponent));
      expect(both).toBeLessThanOrEqual(1);
    },
  );

  it.prop([fc.double({ min: 1, max: 60, noNaN: true }), fc.double({ min: 1, max: 4, noNaN: true })])(
    "is slower half a kelvin before its peak and after it",
    (kelvinPerMinute, avramiExponent) => {
      const any = { ...growth, avramiExponent };
      const peak = crystallisationPeakCelsius(kelvinPerMinute, any) ?? Number.NaN;
      const gained = (celsius: number) => {
        const upTo = (end: number) => {
          const curve = trace(`0:20 ${(end - 20) / kelvinPerMinute}:${end}`);
          return crystallisedFraction([extendedTime(curve, any)], avramiExponent);
        };
        return upTo(celsius + 0.05) - upTo(celsius - 0.05);
      };
      expect(gained(peak)).toBeGreaterThan(gained(peak - 0.5));
      expect(gained(peak)).toBeGreaterThan(gained(peak + 0.5));
    },
  );

  it("of which nothing comes has no peak", () => {
    expect(crystallisationPeakCelsius(10, { ...growth, perSecond: 1e-30 })).toBeNull();
  });

  it("refuses an exponent and a time that mean nothing, and a climb that goes nowhere", () => {
    expect(() => crystallisedFraction([1], 0)).toThrow("requires an Avrami exponent above 0, got 0");
    expect(() => crystallisedFraction([-1], 3)).toThrow("requires extended times of 0 or more, got -1");
    expect(() => crystallisationPeakCelsius(0, growth)).toThrow("a climb requires a rate above 0");
  });
});

function growthOf(inputs: {
  readonly n: number;
  readonly E_J_per_mol: number;
  readonly k_ref_per_s: number;
  readonly T_ref_C: number;
}): CrystalGrowth {
  return {
    perSecond: inputs.k_ref_per_s,
    avramiExponent: inputs.n,
    activationEnergyJoulesPerMole: inputs.E_J_per_mol,
    referenceCelsius: inputs.T_ref_C,
  };
}
