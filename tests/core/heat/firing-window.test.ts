import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import { edgeRadiusMicrometres } from "#core/heat/edge-radius";
import {
  DENSE_RELATIVE_DENSITY,
  firingWindow,
  flowLengthToDenseMicrometres,
  HOTTEST_TOP_CELSIUS,
  lowestTopCelsius,
} from "#core/heat/firing-window";
import { flowLengthMicrometres } from "#core/heat/flow-length";
import { GAS_CONSTANT } from "#core/heat/heat-work";
import { cellsPerCubicMicrometre } from "#core/heat/scherer-cell";
import { agrees, GLASS_S1, sinteringExample } from "#tests/helpers/sintering-example";

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const { inputs, expected, tolerance } = sinteringExample("firing-window-S1");
const given = z
  .object({
    rho0: z.number(),
    rho_dense: z.number(),
    from_C: z.number(),
    rate_K_per_min: z.number(),
    hold_s: z.number(),
  })
  .parse(inputs);
const rows = z
  .array(
    z.object({
      l0_um: z.number(),
      flow_length_needed_um: z.number(),
      T_top_dense_C: z.number(),
      T_top_edge_50um_C: z.number(),
      T_top_edge_100um_C: z.number(),
    }),
  )
  .parse(expected["rows"]);
const climb = {
  fromCelsius: given.from_C,
  kelvinPerMinute: given.rate_K_per_min,
  holdSeconds: given.hold_s,
};

describe("the firing window in the worked example (computed independently by quadrature and root finding)", () => {
  it("asks for the given reduced time", () => {
    const packing = { cellMicrometres: 10, relativeDensity: given.rho0 };
    const flow = flowLengthToDenseMicrometres(packing, given.rho_dense);
    const reducedTime = flow * Math.cbrt(cellsPerCubicMicrometre(packing));
    const stated = Number(expected["reduced_time_0p60_to_0p999"]);
    expect(agrees(reducedTime, stated, tolerance["relative"] ?? 0)).toBe(true);
    expect(given.rho_dense).toBe(DENSE_RELATIVE_DENSITY);
  });

  it.each(rows)("of cells of $l0_um µm opens at $T_top_dense_C °C", (row) => {
    const material = { ...GLASS_S1, packing: { cellMicrometres: row.l0_um, relativeDensity: given.rho0 } };
    const within = tolerance["absolute_C"] ?? 0;
    const narrow = firingWindow(material, climb, 50);
    const wide = firingWindow(material, climb, 100);
    const needed = narrow?.denseFlowLengthMicrometres ?? null;
    expect(agrees(needed, row.flow_length_needed_um, tolerance["relative"] ?? 0)).toBe(true);
    expect(Math.abs((narrow?.denseFromCelsius ?? 0) - row.T_top_dense_C)).toBeLessThan(within);
    expect(Math.abs((narrow?.roundedFromCelsius ?? 0) - row.T_top_edge_50um_C)).toBeLessThan(within);
    expect(Math.abs((wide?.roundedFromCelsius ?? 0) - row.T_top_edge_100um_C)).toBeLessThan(within);
    const width = row.T_top_edge_50um_C - row.T_top_dense_C;
    expect(Math.abs((narrow?.widthKelvin ?? 0) - width)).toBeLessThan(2 * within);
  });
});

describe("the firing window", () => {
  // (R·T²/E)·ln(Λ_round/Λ_dense) with the glass's own E at the middle: an estimate, so 5 % will do.
  it.each(rows)("of cells of $l0_um µm is about as wide as its estimate", (row) => {
    const material = { ...GLASS_S1, packing: { cellMicrometres: row.l0_um, relativeDensity: given.rho0 } };
    const window = firingWindow(material, climb, 100);
    const middle = ((window?.denseFromCelsius ?? 0) + (window?.roundedFromCelsius ?? 0)) / 2;
    const { kelvin, zeroCelsius } = GLASS_S1.viscosity;
    const energy = Math.LN10 * GAS_CONSTANT * kelvin * ((middle + 273.15) / (middle - zeroCelsius)) ** 2;
    const perFold = (GAS_CONSTANT * (middle + 273.15) ** 2) / energy;
    const folds = Math.log(100 / edgeRadiusMicrometres(window?.denseFlowLengthMicrometres ?? 0));
    expect(agrees(window?.widthKelvin ?? null, perFold * folds, 0.05)).toBe(true);
  });

  it("shuts where the voids are coarse: round before dense", () => {
    const material = { ...GLASS_S1, packing: { cellMicrometres: 160, relativeDensity: 0.6 } };
    expect(firingWindow(material, climb, 50)?.widthKelvin).toBeLessThan(0);
  });

  it.prop([between(1, 500), between(5, 120), between(0, 600)])(
    "opens at a top whose flow is just enough",
    (flow, kelvinPerMinute, holdSeconds) => {
      const any = { fromCelsius: 450, kelvinPerMinute, holdSeconds };
      const top = lowestTopCelsius(GLASS_S1, any, (length) => length >= flow) ?? Number.NaN;
      const topSeconds = (60 * (top - 450)) / kelvinPerMinute;
      const curve = [
        { atSeconds: 0, celsius: 450 },
        { atSeconds: topSeconds, celsius: top },
        { atSeconds: topSeconds + holdSeconds, celsius: top },
      ];
      expect(agrees(flowLengthMicrometres(curve, GLASS_S1), flow, 1e-6)).toBe(true);
    },
  );

  it("is not said of a material without viscosity or packing", () => {
    expect(firingWindow({ ...GLASS_S1, viscosity: null }, climb, 50)).toBeNull();
    expect(firingWindow({ ...GLASS_S1, packing: null }, climb, 50)).toBeNull();
    expect(lowestTopCelsius({ ...GLASS_S1, viscosity: null }, climb, () => true)).toBeNull();
  });

  it("has no edge that no furnace could round", () => {
    expect(firingWindow(GLASS_S1, climb, 1e12)).toMatchObject({
      roundedFromCelsius: null,
      widthKelvin: null,
    });
    const beyond = { ...climb, fromCelsius: HOTTEST_TOP_CELSIUS };
    expect(lowestTopCelsius(GLASS_S1, beyond, (flow) => flow > 1e12)).toBeNull();
  });

  it("refuses a climb that does not rise", () => {
    expect(() => firingWindow(GLASS_S1, { ...climb, kelvinPerMinute: 0 }, 50)).toThrow(
      new RangeError("a firing window requires a climb that rises, got 0 K/min"),
    );
  });
});
