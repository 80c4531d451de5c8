import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import { type FlowingGlass, flowLengthMicrometres, flowMicrometresPerSecond } from "#core/heat/flow-length";
import { type CurvePoint, heatWorkRate } from "#core/heat/heat-work";
import { apparentActivationEnergyJoulesPerMole } from "#core/heat/viscosity";
import { gaps, SHORTEST_GAP_SECONDS, type Trace } from "#core/trace/trace";
import { traces } from "#tests/helpers/arbitraries";
import { relativeError, sinteringExample } from "#tests/helpers/sintering-examples";
import { sampled, trace } from "#tests/helpers/trace";

/** The invented glass of the worked examples: no product. */
const s1: FlowingGlass = {
  viscosity: { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 },
  surfaceTensionNewtonsPerMetre: 0.3,
};

const ramp = { gamma_N_per_m: z.number(), from_C: z.number(), to_C: z.number(), rate_K_per_min: z.number() };

describe("flow length in the worked examples", () => {
  it.each(["flow-length-ramp-S1", "scherer-nonisothermal-S1"])(
    "of %s agrees within 1e-4 (computed independently, by quadrature)",
    (name) => {
      const { inputs, expected } = sinteringExample(name, ramp, { flow_length_m: z.number() });
      const minutes = (inputs.to_C - inputs.from_C) / inputs.rate_K_per_min;
      const climb = trace(`0:${inputs.from_C} ${minutes}:${inputs.to_C}`);
      const glass = { ...s1, surfaceTensionNewtonsPerMetre: inputs.gamma_N_per_m };
      expect(relativeError(flowOf(climb, glass) / 1e6, expected.flow_length_m)).toBeLessThan(1e-4);
      // A sample a second says the same: the corners of this climb fall on whole samples or the last one.
      expect(relativeError(flowOf(sampled(climb, 1), glass) / 1e6, expected.flow_length_m)).toBeLessThan(
        1e-4,
      );
    },
  );

  it("shrinks a powder of 10 µm grains by what Frenkel's law (1945) says, 3Λ/8r", () => {
    const { inputs, expected } = sinteringExample(
      "flow-length-ramp-S1",
      { particle_radius_m: z.number() },
      { frenkel_linear_shrinkage: z.number() },
    );
    const shrinkage =
      ((3 / 8) * (flowOf(trace("0:450 4.444444444444445:650")) / 1e6)) / inputs.particle_radius_m;
    expect(relativeError(shrinkage, expected.frenkel_linear_shrinkage)).toBeLessThan(1e-4);
  });
});

describe("flow length", () => {
  it.prop([
    glasses(),
    fc.double({ min: 0, max: 1200, noNaN: true }),
    fc.double({ min: 450, max: 1200, noNaN: true }),
  ])(
    "of one straight climb or cooling, however long, is the integral within 1e-6 (Simpson in 20,000 parts)",
    (glass, fromCelsius, toCelsius) => {
      const piece = [
        { atSeconds: 0, celsius: fromCelsius },
        { atSeconds: 1000, celsius: toCelsius },
      ];
      expect(relativeError(flowOf(piece, glass), simpson(piece, glass, 20_000))).toBeLessThan(1e-6);
    },
  );

  it.prop([hotTraces(), glasses(), fc.nat()])("adds up over a cut", (points, glass, seed) => {
    const cut = 1 + (seed % (points.length - 2));
    const parts = flowOf(points.slice(0, cut + 1), glass) + flowOf(points.slice(cut), glass);
    expect(relativeError(parts, flowOf(points, glass))).toBeLessThan(1e-12);
  });

  it.prop([hotTraces(), glasses(), fc.nat()])(
    "is blind to a sample added on the line",
    (points, glass, seed) => {
      expect(relativeError(flowOf(withMidpoint(points, seed), glass), flowOf(points, glass))).toBeLessThan(
        1e-8,
      );
    },
  );

  it.prop([hotTraces(), glasses(), fc.nat(), fc.double({ min: 0.1, max: 50, noNaN: true })])(
    "never falls when a sample is hotter, and grows when all are",
    (points, glass, seed, kelvin) => {
      const hotter = (isHotter: (index: number) => boolean) =>
        points.map((point, index) =>
          isHotter(index) ? { ...point, celsius: point.celsius + kelvin } : point,
        );
      const one = hotter((index) => index === seed % points.length);
      expect(flowOf(one, glass)).toBeGreaterThanOrEqual(flowOf(points, glass));
      expect(
        flowOf(
          hotter(() => true),
          glass,
        ),
      ).toBeGreaterThan(flowOf(points, glass));
    },
  );

  it.prop([hotTraces(), glasses(), fc.double({ min: 0.1, max: 10, noNaN: true })])(
    "grows in step with surface tension and with time",
    (points, glass, factor) => {
      const tighter = {
        ...glass,
        surfaceTensionNewtonsPerMetre: factor * glass.surfaceTensionNewtonsPerMetre,
      };
      const slower = points.map((point) => ({ ...point, atSeconds: factor * point.atSeconds }));
      const expected = factor * flowOf(points, glass);
      expect(relativeError(flowOf(points, tighter), expected)).toBeLessThan(1e-12);
      expect(relativeError(flowOf(slower, glass), expected)).toBeLessThan(1e-9);
    },
  );

  it("is heat work near a temperature, with the activation energy that the viscosity has there", () => {
    const kinetics = {
      activationEnergyJoulesPerMole: apparentActivationEnergyJoulesPerMole(750, s1.viscosity),
      referenceCelsius: 745,
    };
    const ratio = flowMicrometresPerSecond(755, s1) / flowMicrometresPerSecond(745, s1);
    expect(relativeError(ratio, heatWorkRate(755, kinetics))).toBeLessThan(1e-3);
  });

  it("grows by about a third with 10 K more at the top", () => {
    const to = (top: number) =>
      flowOf(trace(`0:450 ${(top - 450) / 45}:${top} ${(top - 450) / 45 + 1}:${top}`));
    expect(to(780) / to(770)).toBeGreaterThan(1.3);
    expect(to(780) / to(770)).toBeLessThan(1.4);
  });

  it("is nothing at and below T0, and for fewer than two points", () => {
    expect(flowOf(trace("0:20 10:153 20:100"))).toBe(0);
    expect(flowOf(trace("0:20"))).toBe(0);
    expect(flowOf([])).toBe(0);
    expect(flowMicrometresPerSecond(153, s1)).toBe(0);
  });

  it("of a climb through T0 is that of the part above it", () => {
    const whole = flowOf(trace("0:53 10:753"));
    expect(relativeError(flowOf(trace(`${10 / 7}:153 10:753`)), whole)).toBeLessThan(1e-8);
  });

  it.each([1e-13, 1e-9, 1e-3])(
    "of a reading that wavers by %s K is that of a hold, but for 3 % a kelvin",
    (kelvin) => {
      const wavering = [760, 760 + kelvin, 760, 760 + kelvin].map((celsius, atSeconds) => ({
        atSeconds,
        celsius,
      }));
      const held = 3 * flowMicrometresPerSecond(760, s1);
      expect(relativeError(flowOf(wavering), held)).toBeLessThan(0.03 * kelvin + 1e-12);
    },
  );

  it("is unknown where the viscosity is", () => {
    expect(
      flowLengthMicrometres(trace("0:760 1:760"), { viscosity: null, surfaceTensionNewtonsPerMetre: 0.3 }),
    ).toBeNull();
  });

  it("of a planned curve is straight between corners, of a measured trace not counted in its silences", () => {
    const before = sampled(trace("0:760 1:760"), 1);
    const lateSeconds = 60 + SHORTEST_GAP_SECONDS;
    const after = before.map((sample) => ({ ...sample, atSeconds: sample.atSeconds + lateSeconds }));
    const measured = [...before, ...after];
    const minute = 60 * flowMicrometresPerSecond(760, s1);
    expect(flowLengthMicrometres(measured, s1, gaps(measured))).toBeCloseTo(2 * minute, 9);
    expect(flowOf(measured)).toBeCloseTo((2 + SHORTEST_GAP_SECONDS / 60) * minute, 9);
    expect(flowLengthMicrometres(measured.slice(50, 70), s1, gaps(measured))).toBeCloseTo(
      (18 / 60) * minute,
      9,
    );
  });

  it("refuses time that runs backwards", () => {
    expect(() => flowOf(trace("10:700 5:710"))).toThrow(
      new RangeError("flow length requires rising time, got 600 s then 300 s"),
    );
  });
});

function flowOf(curve: readonly CurvePoint[], glass: FlowingGlass = s1): number {
  return flowLengthMicrometres(curve, glass) ?? Number.NaN;
}

/** Glasses of the ranges met in silicates (B 2,000 K and more), and odd ones such as a bad fit gives. */
function glasses(): fc.Arbitrary<FlowingGlass> {
  return fc.record({
    viscosity: fc.record({
      logPascalSeconds: fc.double({ min: -4, max: 0, noNaN: true }),
      kelvin: fc.double({ min: 100, max: 8000, noNaN: true }),
      zeroCelsius: fc.double({ min: 50, max: 350, noNaN: true }),
    }),
    surfaceTensionNewtonsPerMetre: fc.double({ min: 0.15, max: 0.4, noNaN: true }),
  });
}

/** Above any of those glasses' T0, so that every sample flows a little. */
function hotTraces(): fc.Arbitrary<Trace> {
  return traces({ minLength: 3 }).map((points) =>
    points.map((point) => ({ ...point, celsius: 400 + (2 / 3) * point.celsius })),
  );
}

/** Composite Simpson's rule over one straight piece, µm. */
function simpson(piece: readonly CurvePoint[], glass: FlowingGlass, parts: number): number {
  const [from, to] = piece;
  if (!from || !to) return Number.NaN;
  let sum = 0;
  for (let part = 0; part <= parts; part++) {
    const weight = part === 0 || part === parts ? 1 : 2 + 2 * (part % 2);
    sum +=
      weight * flowMicrometresPerSecond(from.celsius + (part / parts) * (to.celsius - from.celsius), glass);
  }
  return ((to.atSeconds - from.atSeconds) * sum) / (3 * parts);
}

function withMidpoint(points: Trace, seed: number): Trace {
  const index = seed % (points.length - 1);
  const [from, to] = [points[index], points[index + 1]];
  if (!from || !to) return points;
  const middle = { atSeconds: (from.atSeconds + to.atSeconds) / 2, celsius: (from.celsius + to.celsius) / 2 };
  return [...points.slice(0, index + 1), middle, ...points.slice(index + 1)];
}
