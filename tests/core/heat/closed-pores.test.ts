import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import {
  type ClosedPores,
  gasFreeReducedTime,
  poreRadiusAfterFlowMicrometres,
  poreRadiusMicrometres,
  porosityOfPores,
} from "#core/heat/closed-pores";
import { CLOSURE_RELATIVE_DENSITY } from "#core/heat/scherer-cell";
import { limitRadiusMicrometres, type PoreSurroundings, restingGas } from "#core/heat/trapped-gas";
import { agrees, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-example";

const numbers = z.array(z.number());
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** Pores of cells of 1 to 200 µm, as they are when the cells close on some pressure. */
const closedPores = fc
  .tuple(between(1, 200), between(0, 1100), between(750, 1300))
  .map(([cellMicrometres, hectopascals, kelvin]): ClosedPores => {
    const perCubicMicrometre = 1 / (0.6 * cellMicrometres ** 3);
    const radiusMicrometres = poreRadiusMicrometres(CLOSURE_RELATIVE_DENSITY, perCubicMicrometre);
    return { perCubicMicrometre, gas: { radiusMicrometres, hectopascals, kelvin } };
  });
const surroundings = fc.record({
  surfaceTensionNewtonsPerMetre: between(0.05, 1),
  hectopascals: between(0, 1100),
  kelvin: between(750, 1300),
});
/** Flow as a share of the radius at closure, over nine decades. */
const flowShares = between(-4, 5).map((power) => 10 ** power);

describe("closed pores in the worked examples", () => {
  it("have a test for every one of them", () => {
    expect(sinteringExampleNames("mackenzie-shuttleworth")).toEqual(["mackenzie-shuttleworth-reduced-time"]);
  });

  const { inputs, expected, tolerance } = sinteringExample("mackenzie-shuttleworth-reduced-time");
  const from = Number(inputs["rho_from"]);
  const rows = numbers.parse(inputs["rho_to"]).map((density, index) => ({
    density,
    reducedTime: numbers.parse(expected["reduced_time"])[index] ?? Number.NaN,
  }));
  it.each(rows)(
    "reach density $density after reduced time $reducedTime without gas (computed independently by quadrature)",
    ({ density, reducedTime }) => {
      expect(agrees(gasFreeReducedTime(from, density), reducedTime, tolerance["relative"] ?? 0)).toBe(true);
    },
  );

  // The example's reduced time by the other way, the equation of motion of the radius. A pore counts as gone below a
  // thousandth of its first radius, so that is how far the radius may be off at full density.
  it.each(rows)("come by the flow to density $density as well", ({ density, reducedTime }) => {
    const pores = gasFree(20);
    const cubeRoot = Math.cbrt(pores.perCubicMicrometre);
    const radius = poreRadiusAfterFlowMicrometres(
      pores.gas.radiusMicrometres,
      reducedTime / cubeRoot,
      pores,
      emptyFurnace,
    );
    const stated = poreRadiusMicrometres(density, pores.perCubicMicrometre);
    expect(Math.abs(radius - stated)).toBeLessThan(1e-3 * pores.gas.radiusMicrometres);
    expect(1 - porosityOfPores(radius, pores.perCubicMicrometre)).toBeCloseTo(density, 6);
  });
});

describe("closed pores", () => {
  it.prop([between(0.9, 1), between(1e-4, 0.1)])("have the radius of their porosity", (density, number) => {
    const radius = poreRadiusMicrometres(density, number);
    expect(porosityOfPores(radius, number)).toBeCloseTo(1 - density, 12);
  });

  it.prop([closedPores, surroundings, flowShares])(
    "without gas never grow, and vanish within the flow that the closed form gives",
    (any, around, share) => {
      const pores = { ...any, gas: { ...any.gas, hectopascals: 0 } };
      const { radiusMicrometres } = pores.gas;
      const after = poreRadiusAfterFlowMicrometres(
        radiusMicrometres,
        share * radiusMicrometres,
        pores,
        around,
      );
      expect(after).toBeGreaterThanOrEqual(0);
      expect(after).toBeLessThan(radiusMicrometres);
      const vanishing = gasFreeReducedTime(CLOSURE_RELATIVE_DENSITY, 1) / Math.cbrt(any.perCubicMicrometre);
      expect(poreRadiusAfterFlowMicrometres(radiusMicrometres, 1.01 * vanishing, pores, around)).toBe(0);
    },
  );

  it.prop([closedPores, surroundings, flowShares])(
    "stay between where they were and where their gas lets them rest",
    (pores, around, share) => {
      const { radiusMicrometres } = pores.gas;
      const limit = limitRadiusMicrometres(pores.gas, around);
      const after = poreRadiusAfterFlowMicrometres(
        radiusMicrometres,
        share * radiusMicrometres,
        pores,
        around,
      );
      const slack = 1e-5 * radiusMicrometres;
      expect(after).toBeGreaterThanOrEqual(Math.min(limit, radiusMicrometres) - slack);
      expect(after).toBeLessThanOrEqual(Math.max(limit, radiusMicrometres) + slack);
    },
  );

  it.prop([closedPores, surroundings])("come to rest where their gas lets them", (pores, around) => {
    const after = poreRadiusAfterFlowMicrometres(
      pores.gas.radiusMicrometres,
      1e4 * pores.gas.radiusMicrometres,
      pores,
      around,
    );
    const limit = limitRadiusMicrometres(pores.gas, around);
    expect(Math.abs(after - limit)).toBeLessThanOrEqual(1e-3 * pores.gas.radiusMicrometres);
    if (limit > 0.01 * pores.gas.radiusMicrometres) expect(agrees(after, limit, 1e-5)).toBe(true);
  });

  it.prop([closedPores, surroundings, between(0.01, 10), between(0.05, 0.95)])(
    "do not mind where the flow is cut",
    (pores, around, share, cut) => {
      const { radiusMicrometres } = pores.gas;
      const flow = share * radiusMicrometres;
      const whole = poreRadiusAfterFlowMicrometres(radiusMicrometres, flow, pores, around);
      const half = poreRadiusAfterFlowMicrometres(radiusMicrometres, cut * flow, pores, around);
      const both = poreRadiusAfterFlowMicrometres(half, (1 - cut) * flow, pores, around);
      expect(Math.abs(both - whole)).toBeLessThan(1e-3 * radiusMicrometres);
    },
  );

  it.prop([closedPores, between(1, 1100), between(0.01, 0.9), flowShares])(
    "swell when the pressure that held them goes, and no further than the new limit",
    (pores, hectopascals, rest, share) => {
      const air = { surfaceTensionNewtonsPerMetre: 0.3, hectopascals, kelvin: 1000 };
      const vacuum = { ...air, hectopascals: rest * hectopascals };
      const { radiusMicrometres } = pores.gas;
      const resting = { ...pores, gas: restingGas(radiusMicrometres, air) };
      const after = poreRadiusAfterFlowMicrometres(
        radiusMicrometres,
        share * radiusMicrometres,
        resting,
        vacuum,
      );
      const limit = limitRadiusMicrometres(resting.gas, vacuum);
      expect(after).toBeGreaterThan(radiusMicrometres);
      expect(after).toBeLessThanOrEqual(limit * (1 + 1e-5));
    },
  );

  // Against the classical fourth-order Runge–Kutta method with 20,000 equal steps, on the equation as it is printed
  // (density over flow, with pressures): written here apart from the code.
  it.each([
    { name: "air", closed: 1013.25, around: 1013.25, flow: 3 },
    { name: "a vacuum, let in", closed: 50, around: 1013.25, flow: 3 },
    { name: "air, pumped", closed: 1013.25, around: 20, flow: 6 },
  ])("closed on $name shrink as the printed equation says", ({ closed, around, flow }) => {
    const { perCubicMicrometre, gas } = gasFree(20);
    const pores = { perCubicMicrometre, gas: { ...gas, hectopascals: closed } };
    const outside = { surfaceTensionNewtonsPerMetre: 0.3, hectopascals: around, kelvin: gas.kelvin };
    const radius = poreRadiusAfterFlowMicrometres(gas.radiusMicrometres, flow, pores, outside);
    const porosity = porosityOfPores(radius, perCubicMicrometre);
    expect(agrees(porosity, 1 - printedDensity(pores, outside, flow), 1e-4)).toBe(true);
  });
});

const emptyFurnace = { surfaceTensionNewtonsPerMetre: 0.3, hectopascals: 0, kelvin: 1000 };

function gasFree(cellMicrometres: number): ClosedPores {
  const perCubicMicrometre = 1 / (0.6 * cellMicrometres ** 3);
  const radiusMicrometres = poreRadiusMicrometres(CLOSURE_RELATIVE_DENSITY, perCubicMicrometre);
  return { perCubicMicrometre, gas: { radiusMicrometres, hectopascals: 0, kelvin: 1000 } };
}

/** dρ/dΛ = (3/(4·γ))·(1 − ρ)·[2·γ/a − p_i + p_e], in newtons and metres. */
function printedDensity(pores: ClosedPores, around: PoreSurroundings, flowMicrometres: number): number {
  const tension = around.surfaceTensionNewtonsPerMetre;
  const closing = pores.gas.radiusMicrometres;
  const slope = (density: number) => {
    const radius = poreRadiusMicrometres(density, pores.perCubicMicrometre);
    const inside = 100 * pores.gas.hectopascals * (closing / radius) ** 3;
    const inward = (2 * tension) / (radius * 1e-6) - inside + 100 * around.hectopascals;
    return ((3 / (4 * tension)) * (1 - density) * inward) / 1e6;
  };
  const step = flowMicrometres / 20_000;
  let density = CLOSURE_RELATIVE_DENSITY;
  for (let count = 0; count < 20_000; count++) {
    const one = slope(density);
    const two = slope(density + (step * one) / 2);
    const three = slope(density + (step * two) / 2);
    const four = slope(density + step * three);
    density += (step * (one + 2 * two + 2 * three + four)) / 6;
  }
  return density;
}
