import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import { sphereScattering } from "#core/heat/mie";
import {
  anomalousDiffractionEfficiency,
  diffuseReflectanceFraction,
  inLineTransmittanceFraction,
  milkinessFraction,
  poreScattering,
  poreSizeParameter,
  scatteringCoefficients,
} from "#core/heat/scattering";
import { relativeError, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-examples";

const RELATIVE_INDEX = 1 / 1.5;

describe("scattering in the worked examples", () => {
  it("has a test for every one of them, here and with the Mie series", () => {
    expect(sinteringExampleNames("scattering")).toEqual([
      "mie-bohren-huffman",
      "mie-pore-in-glass",
      "mie-wiscombe-bubble",
      "opacity-air-fired-limit",
      "opacity-constant-porosity-size-dependence",
    ]);
  });

  it("by pores of 0.1 to 10 µm in glass has their efficiencies and asymmetries, and van de Hulst's", () => {
    // Computed independently, by a series checked on the two published cases.
    const row = z.array(z.number());
    const { inputs, expected } = sinteringExample(
      "mie-pore-in-glass",
      { pore_radius_um: row },
      { x: row, Qsca: row, g: row, Q_anomalous_diffraction: row },
    );
    for (const [index, radius] of inputs.pore_radius_um.entries()) {
      const sizeParameter = poreSizeParameter(radius);
      const sphere = sphereScattering(sizeParameter, RELATIVE_INDEX);
      const closed = anomalousDiffractionEfficiency(sizeParameter, RELATIVE_INDEX);
      expect(relativeError(sizeParameter, expected.x[index] ?? 0)).toBeLessThan(1e-4);
      expect(relativeError(sphere.scatteringEfficiency, expected.Qsca[index] ?? 0)).toBeLessThan(1e-4);
      expect(relativeError(sphere.asymmetry, expected.g[index] ?? 0)).toBeLessThan(1e-4);
      expect(relativeError(closed, expected.Q_anomalous_diffraction[index] ?? 0)).toBeLessThan(1e-4);
    }
  });

  it("by 1 % of pores of 1 µm leaves nothing of a beam through a millimetre: milk white", () => {
    // Computed independently (Mie and closed forms).
    const { inputs, expected } = sinteringExample(
      "opacity-air-fired-limit",
      { porosity: z.number(), pore_radius_um: z.number(), thickness_mm: z.number() },
      {
        mu_s_per_mm: z.number(),
        mu_s_reduced_per_mm: z.number(),
        inline_transmittance: z.number(),
        two_flux_diffuse_transmittance: z.number(),
        two_flux_diffuse_reflectance: z.number(),
      },
    );
    const { porosity, pore_radius_um, thickness_mm } = inputs;
    const { perMillimetre, reducedPerMillimetre } = scatteringCoefficients(porosity, pore_radius_um);
    const milkiness = milkinessFraction(porosity, pore_radius_um, thickness_mm);
    expect(relativeError(perMillimetre, expected.mu_s_per_mm)).toBeLessThan(1e-3);
    expect(relativeError(reducedPerMillimetre, expected.mu_s_reduced_per_mm)).toBeLessThan(1e-3);
    expect(relativeError(milkiness, expected.two_flux_diffuse_reflectance)).toBeLessThan(1e-3);
    expect(relativeError(1 - milkiness, expected.two_flux_diffuse_transmittance)).toBeLessThan(1e-3);
    // exp(−17) multiplies a relative error of μ_s by 17, so here the series itself is asked, not the table.
    const exact = sphereScattering(poreSizeParameter(pore_radius_um), RELATIVE_INDEX);
    const pore = { efficiency: exact.scatteringEfficiency, asymmetry: exact.asymmetry };
    const through = inLineTransmittanceFraction(
      scatteringCoefficients(porosity, pore_radius_um, pore).perMillimetre,
      thickness_mm,
    );
    expect(relativeError(through, expected.inline_transmittance)).toBeLessThan(1e-3);
  });

  it("by the same porosity is milky when its pores are fine and clear when they are coarse", () => {
    // Computed independently (Mie and closed forms).
    const row = z.array(z.number());
    const { inputs, expected } = sinteringExample(
      "opacity-constant-porosity-size-dependence",
      { porosity: z.number(), pore_radius_um: row, thickness_mm: z.number() },
      { mu_s_reduced_per_mm: row, two_flux_reflectance: row },
    );
    for (const [index, radius] of inputs.pore_radius_um.entries()) {
      const { reducedPerMillimetre } = scatteringCoefficients(inputs.porosity, radius);
      const milkiness = milkinessFraction(inputs.porosity, radius, inputs.thickness_mm);
      expect(relativeError(reducedPerMillimetre, expected.mu_s_reduced_per_mm[index] ?? 0)).toBeLessThan(
        1e-3,
      );
      expect(relativeError(milkiness, expected.two_flux_reflectance[index] ?? 0)).toBeLessThan(1e-3);
    }
  });
});

describe("the table of pores in glass", () => {
  // Ratios that no step of the table divides, so that the radii fall anywhere between its places.
  const radii = (from: number, to: number, ratio: number) =>
    Array.from(
      { length: Math.floor(Math.log(to / from) / Math.log(ratio)) },
      (_, index) => from * ratio ** index,
    );
  const exactly = (radius: number) => sphereScattering(poreSizeParameter(radius), RELATIVE_INDEX);
  const reduced = (efficiency: number, asymmetry: number) => efficiency * (1 - asymmetry);

  it.each([
    { what: "below it, by Rayleigh", from: 0.001, to: 0.02, ratio: 1.0137 },
    { what: "within it", from: 0.02, to: 20, ratio: 1.00173 },
  ])("is within 1 % of the series $what", ({ from, to, ratio }) => {
    for (const radius of radii(from, to, ratio)) {
      const { scatteringEfficiency, asymmetry } = exactly(radius);
      const found = poreScattering(radius);
      expect(relativeError(found.efficiency, scatteringEfficiency)).toBeLessThan(0.01);
      expect(relativeError(1 - found.asymmetry, 1 - asymmetry)).toBeLessThan(0.01);
    }
  });

  it("is within 1 % of the reduced scattering above it, where Q and 1 − g ripple against each other by 3 %", () => {
    for (const radius of radii(20.01, 200, 1.0031)) {
      const { scatteringEfficiency, asymmetry } = exactly(radius);
      const found = poreScattering(radius);
      const error = relativeError(
        reduced(found.efficiency, found.asymmetry),
        reduced(scatteringEfficiency, asymmetry),
      );
      expect(error).toBeLessThan(0.01);
      expect(relativeError(found.efficiency, scatteringEfficiency)).toBeLessThan(0.035);
    }
  });

  it("meets its two ends without milkiness jumping by 1 %", () => {
    for (const end of [0.02, 20]) {
      const [below, above] = [1 - 1e-9, 1 + 1e-9].map((side) => milkinessFraction(0.01, end * side, 1));
      expect(relativeError(below ?? 0, above ?? 0)).toBeLessThan(0.01);
    }
  });

  it("says the same of a pore however often it is asked", () => {
    expect(poreScattering(0.737)).toEqual(poreScattering(0.737));
  });
});

describe("milkiness", () => {
  const radius = fc.double({ min: 0.001, max: 200, noNaN: true });
  const porosity = fc.double({ min: 1e-6, max: 0.05, noNaN: true });
  const millimetres = fc.double({ min: 0.01, max: 5, noNaN: true });

  it.prop([porosity, radius, millimetres])(
    "lies between clear and white, and grows with porosity and thickness",
    (share, micrometres, thickness) => {
      const milkiness = milkinessFraction(share, micrometres, thickness);
      expect(milkiness).toBeGreaterThan(0);
      expect(milkiness).toBeLessThan(1);
      expect(milkinessFraction(1.1 * share, micrometres, thickness)).toBeGreaterThan(milkiness);
      expect(milkinessFraction(share, micrometres, 1.1 * thickness)).toBeGreaterThan(milkiness);
    },
  );

  it.prop([porosity, radius, millimetres])(
    "of a slab is that of two halves laid together, with light going to and fro between them",
    (share, micrometres, thickness) => {
      // Without absorption two slabs pass T₁·T₂/(1 − R₁·R₂): Stokes' sum of the reflections (from memory).
      const half = milkinessFraction(share, micrometres, thickness / 2);
      const passed = (1 - half) ** 2 / (1 - half ** 2);
      expect(milkinessFraction(share, micrometres, thickness)).toBeCloseTo(1 - passed, 9);
    },
  );

  it("of glass without pores is none, and of endless scattering white", () => {
    expect(milkinessFraction(0, 1, 1)).toBe(0);
    expect(milkinessFraction(0.01, 0, 1)).toBe(0);
    expect(milkinessFraction(0.01, 1, 0)).toBe(0);
    expect(diffuseReflectanceFraction(Number.POSITIVE_INFINITY, 1)).toBe(1);
  });

  it.each([
    { of: [1.2, 1, 1], message: "scattering requires a porosity from 0 to 1, got 1.2" },
    { of: [Number.NaN, 1, 1], message: "scattering requires a porosity from 0 to 1, got NaN" },
    { of: [0.01, -1, 1], message: "scattering requires a pore radius of 0 or more, got -1 µm" },
  ])("refuses $of", ({ of: [share = 0, micrometres = 0, thickness = 0], message }) => {
    expect(() => milkinessFraction(share, micrometres, thickness)).toThrow(new RangeError(message));
  });

  it("refuses a slab of less than no thickness", () => {
    expect(() => milkinessFraction(0.01, 1, -1)).toThrow("a coefficient and a thickness of 0 or more");
  });
});
