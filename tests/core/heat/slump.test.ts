import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import {
  bondNumber,
  capillaryLengthMillimetres,
  columnSlumpMicrometres,
  columnStrainPerSecond,
  filmRunMicrometres,
  GLASS_KILOGRAMS_PER_CUBIC_METRE,
  type HeavyGlass,
  STANDARD_GRAVITY,
} from "#core/heat/slump";
import { relativeError, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-examples";

/** Surface tension of the worked examples, N/m: their own default. */
const GAMMA = 0.3;

const glass: HeavyGlass = {
  surfaceTensionNewtonsPerMetre: GAMMA,
  kilogramsPerCubicMetre: GLASS_KILOGRAMS_PER_CUBIC_METRE,
};

const millimetres = () => fc.double({ min: 0.05, max: 20, noNaN: true });

describe("slump in the worked examples", () => {
  it("has a test for every one of them", () => {
    expect(sinteringExampleNames("slump")).toEqual(["gravity-slump-free-column"]);
  });

  it("of a free column of 8 mm is that of Trouton's flow (computed independently, closed form)", () => {
    const { inputs, expected } = sinteringExample(
      "gravity-slump-free-column",
      { rho_kg_m3: z.number(), g: z.number(), eta_Pa_s: z.number(), height_m: z.number(), t_s: z.number() },
      {
        strain_rate_base_per_s: z.number(),
        height_loss_m: z.number(),
        bond_number_at_height: z.number(),
        capillary_length_m: z.number(),
      },
    );
    const height = inputs.height_m * 1000;
    const given = { surfaceTensionNewtonsPerMetre: GAMMA, kilogramsPerCubicMetre: inputs.rho_kg_m3 };
    const flow = (GAMMA / inputs.eta_Pa_s) * inputs.t_s * 1e6;
    expect(STANDARD_GRAVITY).toBe(inputs.g);
    const strain = columnStrainPerSecond(height, inputs.eta_Pa_s, inputs.rho_kg_m3);
    expect(relativeError(strain, expected.strain_rate_base_per_s)).toBeLessThan(1e-5);
    const loss = columnSlumpMicrometres(flow, height, given) / 1e6;
    expect(relativeError(loss, expected.height_loss_m)).toBeLessThan(1e-5);
    expect(relativeError(bondNumber(height, given), expected.bond_number_at_height)).toBeLessThan(1e-5);
    expect(relativeError(capillaryLengthMillimetres(given) / 1000, expected.capillary_length_m)).toBeLessThan(
      1e-5,
    );
  });
});

describe("slump", () => {
  it.prop([
    millimetres(),
    fc.double({ min: 4, max: 8, noNaN: true }),
    fc.double({ min: 0.15, max: 0.4, noNaN: true }),
  ])(
    "of a column is the strain of its slices added up, whatever the surface tension",
    (height, logPascalSeconds, gamma) => {
      const pascalSeconds = 10 ** logPascalSeconds;
      const slices = 1000;
      let metresPerSecond = 0;
      for (let slice = 0; slice < slices; slice++) {
        const above = height * (1 - (slice + 0.5) / slices);
        metresPerSecond += (columnStrainPerSecond(above, pascalSeconds) * height) / 1000 / slices;
      }
      const flow = (gamma / pascalSeconds) * 60 * 1e6;
      const micrometres = columnSlumpMicrometres(flow, height, {
        ...glass,
        surfaceTensionNewtonsPerMetre: gamma,
      });
      expect(relativeError(micrometres, metresPerSecond * 60 * 1e6)).toBeLessThan(1e-6);
    },
  );

  it.prop([millimetres(), fc.double({ min: 4, max: 8, noNaN: true })])(
    "of a film on a wall is its shear added up from the wall to the surface",
    (film, logPascalSeconds) => {
      const pascalSeconds = 10 ** logPascalSeconds;
      const layers = 1000;
      const thickness = film / 1000;
      let metresPerSecond = 0;
      for (let layer = 0; layer < layers; layer++) {
        const outside = thickness * (1 - (layer + 0.5) / layers);
        const stress = GLASS_KILOGRAMS_PER_CUBIC_METRE * STANDARD_GRAVITY * outside;
        metresPerSecond += ((stress / pascalSeconds) * thickness) / layers;
      }
      const flow = (GAMMA / pascalSeconds) * 60 * 1e6;
      expect(relativeError(filmRunMicrometres(flow, film, glass), metresPerSecond * 60 * 1e6)).toBeLessThan(
        1e-6,
      );
    },
  );

  it("matters from the capillary length up: 1 there, a thousandth for an edge of 0.1 mm, five for a bulk of 8 mm", () => {
    expect(bondNumber(capillaryLengthMillimetres(glass), glass)).toBeCloseTo(1, 12);
    expect(bondNumber(0.1, glass)).toBeLessThan(0.001);
    expect(bondNumber(8, glass)).toBeGreaterThan(5);
  });

  it("of a film grows with the square of its thickness", () => {
    expect(filmRunMicrometres(100, 1, glass) / filmRunMicrometres(100, 0.1, glass)).toBeCloseTo(100, 9);
  });
});
