import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import { flowLengthMicrometres } from "#core/heat/flow-length";
import {
  FRENKEL_LARGEST_SHRINKAGE_FRACTION,
  linearShrinkageFraction,
  neckFraction,
  relativeDensityAfterShrinkage,
} from "#core/heat/frenkel";
import { flowLengthToClosureMicrometres, relativeDensityAfterFlow } from "#core/heat/scherer-cell";
import { agrees, GLASS_S1, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-example";

describe("the first stage in the worked examples", () => {
  it("has a test for every one of them", () => {
    expect(sinteringExampleNames("frenkel")).toEqual(["frenkel-isothermal-shrinkage", "flow-length-ramp-S1"]);
  });

  it("of a hold has the given shrinkage, neck and density (computed independently, Frenkel 1945 in closed form)", () => {
    const { inputs, expected, tolerance } = sinteringExample("frenkel-isothermal-shrinkage");
    const given = z
      .object({
        gamma_N_per_m: z.number(),
        eta_Pa_s: z.number(),
        particle_radius_m: z.number(),
        t_s: z.number(),
      })
      .parse(inputs);
    const flow = (1e6 * given.gamma_N_per_m * given.t_s) / given.eta_Pa_s;
    const radius = 1e6 * given.particle_radius_m;
    const shrinkage = linearShrinkageFraction(flow, radius);
    const figures = {
      linear_shrinkage: shrinkage,
      neck_ratio_x_over_r: neckFraction(flow, radius),
      relative_density_from_0p60: relativeDensityAfterShrinkage(0.6, shrinkage),
    };
    for (const [name, figure] of Object.entries(figures))
      expect(agrees(figure, Number(expected[name]), tolerance["relative"] ?? 0), name).toBe(true);
  });

  it("of a climb has the given flow length and shrinkage (computed independently by quadrature)", () => {
    const { inputs, expected, tolerance } = sinteringExample("flow-length-ramp-S1");
    const given = z
      .object({
        from_C: z.number(),
        to_C: z.number(),
        rate_K_per_min: z.number(),
        particle_radius_m: z.number(),
      })
      .parse(inputs);
    const climb = [
      { atSeconds: 0, celsius: given.from_C },
      { atSeconds: (60 * (given.to_C - given.from_C)) / given.rate_K_per_min, celsius: given.to_C },
    ];
    const flow = flowLengthMicrometres(climb, GLASS_S1) ?? Number.NaN;
    const relative = tolerance["relative"] ?? 0;
    expect(agrees(flow / 1e6, Number(expected["flow_length_m"]), relative)).toBe(true);
    const shrinkage = linearShrinkageFraction(flow, 1e6 * given.particle_radius_m);
    expect(agrees(shrinkage, Number(expected["frenkel_linear_shrinkage"]), relative)).toBe(true);
  });
});

describe("the first stage", () => {
  it.prop([fc.double({ min: 0.01, max: 100, noNaN: true }), fc.double({ min: 1, max: 100, noNaN: true })])(
    "shrinks by a quarter of the squared neck",
    (flow, radius) => {
      expect(linearShrinkageFraction(flow, radius)).toBeCloseTo(neckFraction(flow, radius) ** 2 / 4, 12);
    },
  );

  it("never makes a layer denser than glass", () => {
    expect(relativeDensityAfterShrinkage(0.6, 0.9)).toBe(1);
    expect(relativeDensityAfterShrinkage(0.6, 1.5)).toBe(1);
  });

  // The two models are of different shapes: spheres of 10 µm, and the cell of about that size. They need only agree in
  // kind: within a factor of three where Frenkel's holds.
  it("is of the size of the cell's shrinkage while it is small", () => {
    const packing = { cellMicrometres: 20, relativeDensity: 0.6 };
    const flow = flowLengthToClosureMicrometres(packing) / 8;
    const cell = 1 - Math.cbrt(0.6 / relativeDensityAfterFlow(packing, flow));
    const spheres = linearShrinkageFraction(flow, 10);
    expect(spheres).toBeLessThan(FRENKEL_LARGEST_SHRINKAGE_FRACTION);
    expect(spheres / cell).toBeGreaterThan(1 / 3);
    expect(spheres / cell).toBeLessThan(3);
  });

  it("refuses particles without a radius", () => {
    expect(() => neckFraction(1, 0)).toThrow(
      new RangeError("a neck requires particles of some radius, got 0 µm"),
    );
  });
});
