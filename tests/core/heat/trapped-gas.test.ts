import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import { poreRadiusMicrometres, porosityOfPores } from "#core/heat/closed-pores";
import {
  gasHectopascals,
  limitRadiusMicrometres,
  mergedGas,
  restingGas,
  surfacePressureHectopascals,
} from "#core/heat/trapped-gas";
import { agrees, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-example";

const numbers = z.array(z.number());
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const gases = fc.record({
  radiusMicrometres: between(0.1, 50),
  hectopascals: between(0.01, 2000),
  kelvin: between(700, 1300),
});
const surroundings = fc.record({
  surfaceTensionNewtonsPerMetre: between(0.05, 1),
  hectopascals: between(0, 2000),
  kelvin: between(700, 1300),
});

/** Every example is at one temperature; which does not matter. */
const KELVIN = 1000;

describe("trapped gas in the worked examples", () => {
  it("has a test for every one of them", () => {
    expect(sinteringExampleNames("trapped-gas")).toEqual([
      "trapped-gas-limit-air",
      "trapped-gas-rough-vacuum",
      "trapped-gas-late-vacuum-bloat",
      "pore-coalescence-bloating",
      "big-bubble-under-vacuum",
    ]);
  });

  it("closed in air comes to rest at the given radius (computed independently by root finding)", () => {
    const { expected, tolerance, closing, limit, porosityPercent } = caseOf("trapped-gas-limit-air");
    const relative = tolerance["relative"] ?? 0;
    expect(agrees(closing / 1e6, Number(expected["a_closure_m"]), relative)).toBe(true);
    expect(agrees(limit / 1e6, Number(expected["a_limit_m"]), relative)).toBe(true);
    expect(agrees(1 - porosityPercent / 100, Number(expected["limit_density"]), relative)).toBe(true);
    expect(agrees(porosityPercent, Number(expected["limit_porosity_percent"]), relative)).toBe(true);
  });

  it("closed under a leaking seal comes to rest at the given radius (computed independently by root finding)", () => {
    const { expected, tolerance, limit, porosityPercent } = caseOf("trapped-gas-rough-vacuum");
    const relative = tolerance["relative"] ?? 0;
    expect(agrees(limit / 1e6, Number(expected["a_limit_m"]), relative)).toBe(true);
    expect(agrees(porosityPercent, Number(expected["limit_porosity_percent"]), relative)).toBe(true);
  });

  it("closed in air and pumped later swells as given (computed independently by root finding)", () => {
    const { inputs, expected, tolerance, limit, porosityPercent } = caseOf("trapped-gas-late-vacuum-bloat");
    const relative = tolerance["relative"] ?? 0;
    const before = caseOf("trapped-gas-late-vacuum-bloat", Number(inputs["p_closure_Pa"])).limit;
    expect(agrees(before / 1e6, Number(expected["a_before_m"]), relative)).toBe(true);
    expect(agrees(limit / 1e6, Number(expected["a_after_m"]), relative)).toBe(true);
    expect(agrees((limit / before) ** 3, Number(expected["volume_growth_ratio"]), relative)).toBe(true);
    expect(agrees(porosityPercent, Number(expected["porosity_after_percent"]), relative)).toBe(true);
  });

  it("of pores that merge takes the given room (computed independently, gas conserved)", () => {
    const { inputs, expected, tolerance } = sinteringExample("pore-coalescence-bloating");
    const around = aroundOf(Number(inputs["gamma_N_per_m"]), Number(inputs["p_furnace_Pa"]));
    const before = 1e6 * Number(inputs["a_before_m"]);
    const growth = numbers.parse(inputs["merge"]).map((pores) => {
      const after = limitRadiusMicrometres(mergedGas(restingGas(before, around), pores), around);
      return after ** 3 / (pores * before ** 3);
    });
    for (const [index, stated] of numbers.parse(expected["volume_growth_ratio"]).entries())
      expect(agrees(growth[index] ?? null, stated, tolerance["relative"] ?? 0)).toBe(true);
  });

  it("in a big bubble swells as given under the next vacuum (computed independently)", () => {
    const { inputs, expected, tolerance } = sinteringExample("big-bubble-under-vacuum");
    const tension = Number(inputs["gamma_N_per_m"]);
    const before = 1e6 * Number(inputs["a_before_m"]);
    const gas = restingGas(before, aroundOf(tension, Number(inputs["p_before_Pa"])));
    const after = limitRadiusMicrometres(gas, aroundOf(tension, Number(inputs["p_after_Pa"])));
    expect(agrees(after / before, Number(expected["radius_ratio"]), tolerance["relative"] ?? 0)).toBe(true);
  });
});

describe("the limit radius", () => {
  it.prop([gases, surroundings])("is where gas, surface and furnace push alike", (gas, around) => {
    const radius = limitRadiusMicrometres(gas, around);
    const squeeze = surfacePressureHectopascals(radius, around.surfaceTensionNewtonsPerMetre);
    const inside = gasHectopascals(gas, radius, around.kelvin);
    expect(agrees(inside, squeeze + around.hectopascals, 1e-9)).toBe(true);
  });

  it.prop([gases, surroundings, between(1.001, 5)])(
    "grows with the gas and its heat, and shrinks with the furnace's pressure and the surface's tension",
    (gas, around, times) => {
      const radius = limitRadiusMicrometres(gas, around);
      const withGas = (more: object) => limitRadiusMicrometres({ ...gas, ...more }, around);
      const within = (other: object) => limitRadiusMicrometres(gas, { ...around, ...other });
      expect(withGas({ hectopascals: gas.hectopascals * times })).toBeGreaterThan(radius);
      expect(within({ kelvin: around.kelvin * times })).toBeGreaterThan(radius);
      expect(within({ hectopascals: (around.hectopascals + 1) * times })).toBeLessThan(radius);
      const tension = around.surfaceTensionNewtonsPerMetre * times;
      expect(within({ surfaceTensionNewtonsPerMetre: tension })).toBeLessThan(radius);
    },
  );

  it.prop([between(0.01, 100), surroundings])("of a gas at rest is where it rests", (radius, around) => {
    expect(agrees(limitRadiusMicrometres(restingGas(radius, around), around), radius, 1e-9)).toBe(true);
  });

  it("is nothing where no gas was locked in", () => {
    const gas = { radiusMicrometres: 2, hectopascals: 0, kelvin: KELVIN };
    expect(limitRadiusMicrometres(gas, aroundOf(0.3, 0))).toBe(0);
    expect(limitRadiusMicrometres(gas, aroundOf(0.3, 101_325))).toBe(0);
  });
});

function aroundOf(surfaceTensionNewtonsPerMetre: number, pascals: number) {
  return { surfaceTensionNewtonsPerMetre, hectopascals: pascals / 100, kelvin: KELVIN };
}

function caseOf(name: string, furnacePascals?: number) {
  const example = sinteringExample(name);
  const given = z
    .object({
      gamma_N_per_m: z.number(),
      n_per_m3_solid: z.number(),
      rho_at_closure: z.number(),
      p_closure_Pa: z.number(),
      p_furnace_Pa: z.number(),
    })
    .parse(example.inputs);
  const perCubicMicrometre = given.n_per_m3_solid / 1e18;
  const closing = poreRadiusMicrometres(given.rho_at_closure, perCubicMicrometre);
  const gas = { radiusMicrometres: closing, hectopascals: given.p_closure_Pa / 100, kelvin: KELVIN };
  const around = aroundOf(given.gamma_N_per_m, furnacePascals ?? given.p_furnace_Pa);
  const limit = limitRadiusMicrometres(gas, around);
  return { ...example, closing, limit, porosityPercent: 100 * porosityOfPores(limit, perCubicMicrometre) };
}
