import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import {
  deepLevellingTimeConstantSeconds,
  dropModeDecayPerSecond,
  levellingTimeConstantSeconds,
  type Melt,
  type Ripple,
  remainingRippleFraction,
  thinLevellingTimeConstantSeconds,
} from "#core/heat/levelling";
import { relativeError, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-examples";

const numbers = z.array(z.number());
const meltInputs = { gamma_N_per_m: z.number(), eta_Pa_s: z.number() };

const melt: Melt = { pascalSeconds: 1e5, surfaceTensionNewtonsPerMetre: 0.3 };

describe("levelling in the worked examples", () => {
  it("has a test for every one of them", () => {
    expect(sinteringExampleNames("levelling")).toEqual(["drop-mode-decay-2d", "levelling-orchard"]);
  });

  it("takes the time that Orchard's formula (1963) gives, with both its limits (computed independently)", () => {
    const { inputs, expected } = sinteringExample(
      "levelling-orchard",
      { ...meltInputs, wavelength_m: z.number(), layer_thickness_m: numbers },
      { time_constant_s: numbers, thin_film_limit_s: numbers, deep_limit_s: z.number() },
    );
    const given = meltOf(inputs);
    const ripples = inputs.layer_thickness_m.map((metres) => ({
      wavelengthMicrometres: inputs.wavelength_m * 1e6,
      layerMicrometres: metres * 1e6,
    }));
    expect(ripples).toHaveLength(3);
    for (const [index, ripple] of ripples.entries())
      expect(
        relativeError(levellingTimeConstantSeconds(ripple, given), expected.time_constant_s[index] ?? 0),
      ).toBeLessThan(1e-5);
    const [thinnest = { wavelengthMicrometres: 0, layerMicrometres: 0 }] = ripples;
    const [thinLimit = 0] = expected.thin_film_limit_s;
    expect(relativeError(thinLevellingTimeConstantSeconds(thinnest, given), thinLimit)).toBeLessThan(1e-5);
    expect(
      relativeError(deepLevellingTimeConstantSeconds(thinnest, given), expected.deep_limit_s),
    ).toBeLessThan(1e-5);
  });

  it("of a drop's outline has the rates of its closed form (a boundary-integral solver agrees)", () => {
    const { inputs, expected } = sinteringExample(
      "drop-mode-decay-2d",
      { ...meltInputs, radius_m: z.number(), mode: numbers },
      { decay_rate_per_s: numbers },
    );
    expect(inputs.mode).toEqual([2, 3, 5]);
    for (const [index, mode] of inputs.mode.entries())
      expect(
        relativeError(
          dropModeDecayPerSecond(mode, inputs.radius_m * 1e6, meltOf(inputs)),
          expected.decay_rate_per_s[index] ?? 0,
        ),
      ).toBeLessThan(1e-6);
  });
});

describe("levelling", () => {
  it.prop([ripples()])(
    "is the slow flow of a layer that sticks to its floor, solved apart from Orchard",
    (ripple) => {
      const seconds = levellingTimeConstantSeconds(ripple, melt);
      expect(relativeError(seconds, 1 / stokesDecayPerSecond(ripple, melt))).toBeLessThan(1e-6);
    },
  );

  it.prop([ripples()])("is never faster than a deep layer's nor than lubrication allows", (ripple) => {
    const seconds = levellingTimeConstantSeconds(ripple, melt) * (1 + 1e-9);
    expect(seconds).toBeGreaterThanOrEqual(deepLevellingTimeConstantSeconds(ripple, melt));
    expect(seconds).toBeGreaterThanOrEqual(thinLevellingTimeConstantSeconds(ripple, melt));
  });

  it("comes to its limits, thin and deep, without losing digits or overflowing", () => {
    const thin = { wavelengthMicrometres: 10_000, layerMicrometres: 1 };
    expect(
      relativeError(levellingTimeConstantSeconds(thin, melt), thinLevellingTimeConstantSeconds(thin, melt)),
    ).toBeLessThan(1e-5);
    const deep = { wavelengthMicrometres: 1, layerMicrometres: 5000 };
    expect(
      relativeError(levellingTimeConstantSeconds(deep, melt), deepLevellingTimeConstantSeconds(deep, melt)),
    ).toBeLessThan(1e-12);
  });

  it("does not jump where its series takes over", () => {
    const at = (kh: number) =>
      levellingTimeConstantSeconds(
        { wavelengthMicrometres: 200, layerMicrometres: (kh * 200) / (2 * Math.PI) },
        melt,
      ) *
      kh ** 3;
    expect(relativeError(at(0.05 - 1e-9), at(0.05 + 1e-9))).toBeLessThan(1e-7);
  });

  it.prop([ripples()])(
    "leaves 1/e of the depth after a time constant's flow length, and all of it after none",
    (ripple) => {
      const micrometresPerSecond = (melt.surfaceTensionNewtonsPerMetre / melt.pascalSeconds) * 1e6;
      const flow = levellingTimeConstantSeconds(ripple, melt) * micrometresPerSecond;
      expect(remainingRippleFraction(flow, ripple)).toBeCloseTo(Math.exp(-1), 9);
      expect(remainingRippleFraction(0, ripple)).toBe(1);
    },
  );

  it("of a glaze five times as thin takes some 27 times as long: it cannot hide a deep scratch", () => {
    const seconds = (layerMicrometres: number) =>
      levellingTimeConstantSeconds({ wavelengthMicrometres: 200, layerMicrometres }, melt);
    expect(seconds(10) / seconds(50)).toBeCloseTo(27.3, 1);
  });

  it.each([1, 2.5])("of a drop has no mode %s", (mode) => {
    expect(() => dropModeDecayPerSecond(mode, 1000, melt)).toThrow(
      new RangeError(`drop mode requires a whole number of at least 2, got ${mode}`),
    );
  });
});

/** Ripples of 10 µm to 5 mm on layers of 0.03 to 3 of 1/k, where the solution below keeps its digits. */
function ripples(): fc.Arbitrary<Ripple> {
  return fc
    .record({
      wavelengthMicrometres: fc.double({ min: 10, max: 5000, noNaN: true }),
      depth: fc.double({ min: 0.03, max: 3, noNaN: true }),
    })
    .map(({ wavelengthMicrometres, depth }) => ({
      wavelengthMicrometres,
      layerMicrometres: (depth * wavelengthMicrometres) / (2 * Math.PI),
    }));
}

/**
 * Decay of a ripple by its stream function: ψ = f(ky)·sin kx with f = a·(sinh − x·cosh) + b·x·sinh, biharmonic,
 * at rest on the floor. On top there is no shear, f″ + f = 0, and the normal stress is that of the bent
 * surface, f‴ − 3f′ = −γ/η for a ripple of depth 1; it sinks with k·f.
 */
function stokesDecayPerSecond(
  { wavelengthMicrometres, layerMicrometres }: Ripple,
  { pascalSeconds, surfaceTensionNewtonsPerMetre }: Melt,
): number {
  const wavePerMetre = (2 * Math.PI) / (wavelengthMicrometres * 1e-6);
  const x = wavePerMetre * layerMicrometres * 1e-6;
  const [sinh, cosh] = [Math.sinh(x), Math.cosh(x)];
  const shear = { a: -2 * x * cosh, b: 2 * cosh + 2 * x * sinh };
  const normal = { a: 2 * x * sinh - 2 * cosh, b: -2 * x * cosh };
  const speed = -surfaceTensionNewtonsPerMetre / pascalSeconds;
  const determinant = shear.a * normal.b - shear.b * normal.a;
  const a = (-shear.b * speed) / determinant;
  const b = (shear.a * speed) / determinant;
  return Math.abs(wavePerMetre * (a * (sinh - x * cosh) + b * x * sinh));
}

function meltOf({ gamma_N_per_m, eta_Pa_s }: { gamma_N_per_m: number; eta_Pa_s: number }): Melt {
  return { pascalSeconds: eta_Pa_s, surfaceTensionNewtonsPerMetre: gamma_N_per_m };
}
