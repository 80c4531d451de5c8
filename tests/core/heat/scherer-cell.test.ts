import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import { lowestTopCelsius } from "#core/heat/firing-window";
import { flowLengthMicrometres } from "#core/heat/flow-length";
import {
  aspectOfReducedTime,
  aspectOfRelativeDensity,
  CLOSURE_ASPECT,
  CLOSURE_RELATIVE_DENSITY,
  cellsPerCubicMicrometre,
  flowLengthToClosureMicrometres,
  reducedTimeOfAspect,
  reducedTimeToClosure,
  relativeDensityAfterFlow,
  relativeDensityOfAspect,
} from "#core/heat/scherer-cell";
import { agrees, GLASS_S1, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-example";

const numbers = z.array(z.number());
const packings = fc.record({
  cellMicrometres: fc.double({ min: 1, max: 200, noNaN: true }),
  relativeDensity: fc.double({ min: 0.2, max: 0.9, noNaN: true }),
});
const densities = fc.double({ min: 0.05, max: CLOSURE_RELATIVE_DENSITY, noNaN: true });

describe("the cell in the worked examples", () => {
  it("has a test for every one of them", () => {
    expect(sinteringExampleNames("scherer")).toEqual([
      "scherer-reduced-time-table",
      "scherer-isothermal-time",
      "scherer-nonisothermal-S1",
    ]);
  });

  const table = sinteringExample("scherer-reduced-time-table");
  const rows = numbers.parse(table.inputs["relative_density"]).map((density, index) => ({
    density,
    aspect: numbers.parse(table.expected["x_a_over_l"])[index] ?? Number.NaN,
    reducedTime: numbers.parse(table.expected["reduced_time_from_x0"])[index] ?? Number.NaN,
  }));
  it.each(rows)(
    "of density $density has x $aspect and reduced time $reducedTime (computed independently by quadrature)",
    ({ density, aspect, reducedTime }) => {
      const relative = table.tolerance["relative"] ?? 0;
      expect(agrees(aspectOfRelativeDensity(density), aspect, relative)).toBe(true);
      expect(agrees(reducedTimeOfAspect(aspectOfRelativeDensity(density)), reducedTime, relative)).toBe(true);
      expect(agrees(relativeDensityOfAspect(aspectOfReducedTime(reducedTime)), density, relative)).toBe(true);
    },
  );

  it("closes at the given density (computed independently)", () => {
    const stated = Number(table.expected["max_density_model"]);
    expect(agrees(CLOSURE_RELATIVE_DENSITY, stated, table.tolerance["relative"] ?? 0)).toBe(true);
  });

  it("of a hold takes the given time (computed independently by quadrature and as an equation of motion)", () => {
    const { inputs, expected, tolerance } = sinteringExample("scherer-isothermal-time");
    const given = z
      .object({
        gamma_N_per_m: z.number(),
        eta_Pa_s: z.number(),
        l0_m: z.number(),
        rho0: z.number(),
        rho1: z.number(),
      })
      .parse(inputs);
    const packing = { cellMicrometres: 1e6 * given.l0_m, relativeDensity: given.rho0 };
    const cubeRoot = Math.cbrt(cellsPerCubicMicrometre(packing));
    const reducedTime = reducedTimeToClosure(given.rho0) - reducedTimeToClosure(given.rho1);
    const seconds = (reducedTime * given.eta_Pa_s) / (1e6 * cubeRoot * given.gamma_N_per_m);
    const relative = tolerance["relative"] ?? 0;
    expect(agrees(1e6 * cubeRoot, Number(expected["n_cuberoot_per_m"]), relative)).toBe(true);
    expect(agrees(seconds, Number(expected["time_s"]), relative)).toBe(true);
    const flow = (1e6 * given.gamma_N_per_m * Number(expected["time_s"])) / given.eta_Pa_s;
    expect(agrees(relativeDensityAfterFlow(packing, flow), given.rho1, relative)).toBe(true);
  });

  it("on a climb has the given density and closure (computed independently by quadrature and root finding)", () => {
    const { inputs, expected, tolerance } = sinteringExample("scherer-nonisothermal-S1");
    const given = z
      .object({
        l0_m: z.number(),
        rho0: z.number(),
        from_C: z.number(),
        to_C: z.number(),
        rate_K_per_min: z.number(),
      })
      .parse(inputs);
    const climb = [
      { atSeconds: 0, celsius: given.from_C },
      { atSeconds: (60 * (given.to_C - given.from_C)) / given.rate_K_per_min, celsius: given.to_C },
    ];
    const packing = { cellMicrometres: 1e6 * given.l0_m, relativeDensity: given.rho0 };
    const flow = flowLengthMicrometres(climb, GLASS_S1) ?? Number.NaN;
    const relative = tolerance["relative"] ?? 0;
    expect(agrees(flow / 1e6, Number(expected["flow_length_m"]), relative)).toBe(true);
    const density = relativeDensityAfterFlow(packing, flow);
    expect(agrees(density, Number(expected["relative_density"]), relative)).toBe(true);
    const closing = lowestTopCelsius(
      GLASS_S1,
      { fromCelsius: given.from_C, kelvinPerMinute: given.rate_K_per_min, holdSeconds: 0 },
      (flowLength) => flowLength >= flowLengthToClosureMicrometres(packing),
    );
    expect(agrees(closing, Number(expected["T_pores_close_C"]), relative)).toBe(true);
  });
});

describe("the cell", () => {
  it.prop([densities])("gives back its density from its x, and its x from its reduced time", (density) => {
    const aspect = aspectOfRelativeDensity(density);
    expect(relativeDensityOfAspect(aspect)).toBeCloseTo(density, 12);
    expect(aspectOfReducedTime(reducedTimeOfAspect(aspect))).toBeCloseTo(aspect, 12);
  });

  it.prop([fc.double({ min: 0.1, max: 0.49, noNaN: true })])(
    "has the reduced time whose rate is Scherer's integrand",
    (aspect) => {
      const small = 1e-5;
      const rate = (reducedTimeOfAspect(aspect + small) - reducedTimeOfAspect(aspect - small)) / (2 * small);
      const integrand = 2 / (aspect ** (2 / 3) * Math.cbrt(3 * Math.PI - 8 * Math.SQRT2 * aspect));
      expect(agrees(rate, integrand, 1e-6)).toBe(true);
    },
  );

  it.prop([packings, fc.double({ min: 0, max: 2, noNaN: true }), fc.double({ min: 0, max: 2, noNaN: true })])(
    "never becomes less dense by flowing more",
    (packing, share, more) => {
      const closing = flowLengthToClosureMicrometres(packing);
      const before = relativeDensityAfterFlow(packing, share * closing);
      const after = relativeDensityAfterFlow(packing, (share + more) * closing);
      expect(after).toBeGreaterThanOrEqual(before - 1e-12);
      expect(before).toBeGreaterThanOrEqual(packing.relativeDensity - 1e-12);
      expect(after).toBeLessThanOrEqual(CLOSURE_RELATIVE_DENSITY);
    },
  );

  it.prop([packings, fc.double({ min: 0.01, max: 0.98, noNaN: true })])(
    "does not mind where the flow is cut, but for the cell that has shrunk",
    (packing, share) => {
      const closing = flowLengthToClosureMicrometres(packing);
      const relativeDensity = relativeDensityAfterFlow(packing, share * closing);
      const cellMicrometres = packing.cellMicrometres * Math.cbrt(packing.relativeDensity / relativeDensity);
      const rest = flowLengthToClosureMicrometres({ cellMicrometres, relativeDensity });
      expect(rest).toBeCloseTo((1 - share) * closing, 8);
    },
  );

  it("of twice the size closes after twice the flow", () => {
    const fine = flowLengthToClosureMicrometres({ cellMicrometres: 20, relativeDensity: 0.6 });
    const coarse = flowLengthToClosureMicrometres({ cellMicrometres: 40, relativeDensity: 0.6 });
    expect(coarse).toBeCloseTo(2 * fine, 12);
  });

  it("is closed at x = 1/2 and stays there", () => {
    expect(aspectOfReducedTime(1e9)).toBe(CLOSURE_ASPECT);
    expect(aspectOfRelativeDensity(CLOSURE_RELATIVE_DENSITY)).toBeCloseTo(CLOSURE_ASPECT, 12);
    expect(aspectOfReducedTime(0)).toBe(0);
    expect(reducedTimeOfAspect(0)).toBe(0);
  });

  it("refuses a layer denser than a cell, and one of no size", () => {
    expect(() => aspectOfRelativeDensity(0.95)).toThrow(
      new RangeError("a cell requires a relative density above 0 and at most 0.941981, got 0.95"),
    );
    expect(() => cellsPerCubicMicrometre({ cellMicrometres: 0, relativeDensity: 0.6 })).toThrow(
      new RangeError("a cell requires some size, got 0 µm"),
    );
  });
});
