import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import { scaledExponentialIntegral } from "#core/heat/exponential-integral";
import { GAS_CONSTANT, heatWorkEquivalentSeconds } from "#core/heat/heat-work";
import { logSinteringWork, sinteringWorkSecondsPerKelvin } from "#core/heat/master-sintering-curve";
import type { Trace } from "#core/trace/trace";
import { traces } from "#tests/helpers/arbitraries";
import { relativeError, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-examples";
import { trace } from "#tests/helpers/trace";

describe("the work of sintering in the worked examples", () => {
  it("has a test for every one of them", () => {
    expect(sinteringExampleNames("master-sintering-curve")).toEqual(["msc-theta"]);
  });

  it("is what the example gives for three firings", () => {
    // Computed independently, by quadrature and in closed form with E₁.
    const { inputs, expected } = sinteringExample(
      "msc-theta",
      {
        Q_J_per_mol: z.number(),
        profiles: z.array(
          z.object({ from_C: z.number(), rate_K_per_min: z.number(), top_C: z.number(), hold_s: z.number() }),
        ),
      },
      { log10_theta_s_per_K: z.array(z.number()), ratio_to_first: z.array(z.number()) },
    );
    const curves = inputs.profiles.map(({ from_C, rate_K_per_min, top_C, hold_s }) => {
      const minutes = (top_C - from_C) / rate_K_per_min;
      return trace(`0:${from_C} ${minutes}:${top_C} ${minutes + hold_s / 60}:${top_C}`);
    });
    const works = curves.map((curve) => sinteringWorkSecondsPerKelvin(curve, inputs.Q_J_per_mol));
    for (const [index, curve] of curves.entries()) {
      const log = logSinteringWork(curve, inputs.Q_J_per_mol);
      expect(Math.abs(log - (expected.log10_theta_s_per_K[index] ?? 0))).toBeLessThan(1e-4);
      const ratio = (works[index] ?? 0) / (works[0] ?? 1);
      expect(relativeError(ratio, expected.ratio_to_first[index] ?? 0)).toBeLessThan(1e-5);
    }
  });
});

describe("the work of sintering", () => {
  it.prop([
    fc.double({ min: 150_000, max: 500_000, noNaN: true }),
    fc.double({ min: 600, max: 1100, noNaN: true }),
    fc.double({ min: 10, max: 100, noNaN: true }),
  ])("of a climb is E₁ in closed form", (energy, topCelsius, kelvinPerMinute) => {
    const topKelvin = topCelsius + 273.15;
    const curve = trace(`0:-273.15 ${topKelvin / kelvinPerMinute}:${topCelsius}`);
    const argument = energy / (GAS_CONSTANT * topKelvin);
    const closed = (60 / kelvinPerMinute) * Math.exp(-argument) * scaledExponentialIntegral(1, argument);
    expect(relativeError(sinteringWorkSecondsPerKelvin(curve, energy), closed)).toBeLessThan(1e-6);
  });

  it.prop([traces({ minLength: 3 }), fc.nat()])("adds up over a cut", (points, seed) => {
    const cut = 1 + (seed % (points.length - 2));
    const parts = [points.slice(0, cut + 1), points.slice(cut)];
    const sum = parts.reduce((total, part) => total + sinteringWorkSecondsPerKelvin(part, 300_000), 0);
    expect(relativeError(sum, sinteringWorkSecondsPerKelvin(points, 300_000))).toBeLessThan(1e-9);
  });

  it("tells firings apart as heat work does, but for the 1/T", () => {
    const kinetics = { activationEnergyJoulesPerMole: 300_000, referenceCelsius: 760 };
    const ratio = (of: (curve: Trace) => number) => of(trace("0:800 1:800")) / of(trace("0:760 1:760"));
    const byWork = ratio((curve) => sinteringWorkSecondsPerKelvin(curve, 300_000));
    const byHeat = ratio((curve) => heatWorkEquivalentSeconds(curve.slice(0, 2), kinetics, []));
    expect(byWork / byHeat).toBeCloseTo((760 + 273.15) / (800 + 273.15), 9);
  });

  it("of nothing is nothing, and time does not run backwards", () => {
    expect(logSinteringWork([], 300_000)).toBe(Number.NEGATIVE_INFINITY);
    expect(() => logSinteringWork(trace("1:700 0:700"), 300_000)).toThrow(
      "sintering work requires rising time, got 60 s then 0 s",
    );
  });
});
