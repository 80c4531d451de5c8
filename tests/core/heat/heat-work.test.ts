import { readFileSync } from "node:fs";
import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import {
  curveEquivalentSeconds,
  equivalentOffsetKelvin,
  heatWorkEquivalentSeconds,
  heatWorkRate,
  type Kinetics,
} from "#core/heat/heat-work";
import { SHORTEST_GAP_SECONDS, type Trace } from "#core/trace/trace";
import { kinetics, traces } from "#tests/helpers/arbitraries";
import { sampled, trace } from "#tests/helpers/trace";

// Worked examples, computed apart from this code in closed form and by quadrature; the provenance of each
// stands in tests/reference/heat-work-examples.json. All are given to six significant digits.
const fileSchema = z.object({
  examples: z.array(
    z.object({
      name: z.string(),
      inputs: z.record(z.string(), z.unknown()),
      expected: z.record(z.string(), z.unknown()),
    }),
  ),
});
const reference = new URL("../../reference/heat-work-examples.json", import.meta.url);
const { examples } = fileSchema.parse(JSON.parse(readFileSync(reference, "utf8")));

const numbers = z.array(z.number());
const profileInputs = z.object({
  E_J_per_mol: z.number(),
  Tref_C: z.number(),
  profile_s_C: z.array(z.tuple([z.number(), z.number()])),
});

describe("heat work in the worked examples", () => {
  it("has a test for every example in the file", () => {
    expect(examples.map(({ name }) => name).sort()).toEqual([
      "arrhenius-rate-ratio-10K",
      "heat-work-hold-temperature-trade",
      "heat-work-linear-ramp",
      "heat-work-ramp-hold-cool",
      "heat-work-rate-compensation",
      "heat-work-sampling-error",
      "heat-work-triangular-overshoot",
      "heat-work-undershoot-asymmetry",
    ]);
  });

  it("of ten kelvin more at 760 °C is worth 1.39765 times the rate", () => {
    const { inputs, expected } = example("arrhenius-rate-ratio-10K");
    const { E_J_per_mol, T1_C, T2_C } = z
      .object({ E_J_per_mol: z.number(), T1_C: z.number(), T2_C: z.number() })
      .parse(inputs);
    const rate = heatWorkRate(T2_C, { activationEnergyJoulesPerMole: E_J_per_mol, referenceCelsius: T1_C });
    expect(sixDigits(rate)).toBe(z.number().parse(expected["k2_over_k1"]));
  });

  it.each(["heat-work-linear-ramp", "heat-work-ramp-hold-cool", "heat-work-triangular-overshoot"])(
    "of %s agrees to six digits",
    (name) => {
      const { profile, profileKinetics } = profileOf(name);
      const expected = z.number().parse(example(name).expected["t_equivalent_s"]);
      expect(sixDigits(curveEquivalentSeconds(profile, profileKinetics))).toBe(expected);
      // A second that straddles a corner of the profile cuts it by half a second times 0.75 K at most: 0.012 s.
      const sampledSeconds = heatWorkEquivalentSeconds(sampled(profile, 1), profileKinetics);
      expect(Math.abs(sampledSeconds - expected)).toBeLessThan(0.012);
    },
  );

  it("of an overshoot is 14.6084 % more than of the hold without it", () => {
    const { profile, profileKinetics } = profileOf("heat-work-triangular-overshoot");
    const held = profile.map(({ atSeconds }) => ({ atSeconds, celsius: 770 }));
    const ratio =
      curveEquivalentSeconds(profile, profileKinetics) / curveEquivalentSeconds(held, profileKinetics);
    expect(sixDigits(100 * (ratio - 1))).toBe(
      example("heat-work-triangular-overshoot").expected["excess_percent"],
    );
  });

  it("of a hold off its temperature has the given ratios, and each gives back its offset", () => {
    const { inputs, expected } = example("heat-work-undershoot-asymmetry");
    const ratios = numbers.parse(expected["heat_work_ratio"]);
    const offsets = numbers.parse(inputs["offsets_K"]);
    const hold = trace("0:770 1:770");
    expect(offsets.map((offset) => sixDigits(curveEquivalentSeconds(hold, at770, offset) / 60))).toEqual(
      ratios,
    );
    for (const [index, offset] of offsets.entries())
      expect(equivalentOffsetKelvin(hold, 60 * (ratios[index] ?? 0), at770)).toBeCloseTo(offset, 3);
  });

  it("loses to coarse sampling what the example says", () => {
    const { profile, profileKinetics } = profileOf("heat-work-sampling-error");
    const { exact_s, trapezoid_s } = z
      .object({ exact_s: z.number(), trapezoid_s: z.record(z.string(), z.number()) })
      .parse(example("heat-work-sampling-error").expected);
    expect(sixDigits(curveEquivalentSeconds(profile, profileKinetics))).toBe(exact_s);
    for (const [step, trapezoidSeconds] of Object.entries(trapezoid_s)) {
      const coarse = sampled(profile, Number(/\d+/.exec(step)));
      expect(sixDigits(trapezoid(coarse, profileKinetics))).toBe(trapezoidSeconds);
    }
  });

  it("is the same for faster climbs to the higher tops that the example gives", () => {
    const { inputs, expected } = example("heat-work-rate-compensation");
    const target = curveEquivalentSeconds(climbFromZeroKelvin(45), at760);
    const tops = numbers
      .parse(inputs["rates_K_per_min"])
      .map((rate) => 760 + (equivalentOffsetKelvin(climbFromZeroKelvin(rate), target, at760) ?? Number.NaN));
    expect(tops.map(sixDigits)).toEqual(expected["equal_heat_work_top_C"]);
  });

  it("is the same for longer holds at the lower temperatures that the example gives", () => {
    const { inputs, expected } = example("heat-work-hold-temperature-trade");
    const holds = numbers
      .parse(inputs["hold_s"])
      .map(
        (seconds) =>
          770 + (equivalentOffsetKelvin(trace(`0:770 ${seconds / 60}:770`), 60, at770) ?? Number.NaN),
      );
    expect(holds.map(sixDigits)).toEqual(expected["equal_heat_work_T_C"]);
  });
});

describe("heat work", () => {
  it.prop([traces({ minLength: 3 }), kinetics(), fc.nat()])("adds up over a cut", (points, any, seed) => {
    const cut = 1 + (seed % (points.length - 2));
    const parts =
      heatWorkEquivalentSeconds(points.slice(0, cut + 1), any) +
      heatWorkEquivalentSeconds(points.slice(cut), any);
    expect(nearly(parts, heatWorkEquivalentSeconds(points, any))).toBe(true);
  });

  it.prop([traces(), kinetics(), fc.nat()])("is blind to a sample added on the line", (points, any, seed) => {
    expect(
      nearly(
        heatWorkEquivalentSeconds(withMidpoint(points, seed), any),
        heatWorkEquivalentSeconds(points, any),
      ),
    ).toBe(true);
  });

  it.prop([traces(), kinetics(), fc.nat(), fc.double({ min: 0.1, max: 50, noNaN: true })])(
    "grows with the temperature of any sample",
    (points, any, seed, kelvin) => {
      const hotter = points.map((sample, index) =>
        index === seed % points.length ? { ...sample, celsius: sample.celsius + kelvin } : sample,
      );
      expect(heatWorkEquivalentSeconds(hotter, any)).toBeGreaterThan(heatWorkEquivalentSeconds(points, any));
    },
  );

  it.prop([traces(), kinetics(), fc.integer({ min: -100_000, max: 100_000 })])(
    "does not depend on when the bake was",
    (points, any, seconds) => {
      const later = points.map((sample) => ({ ...sample, atSeconds: sample.atSeconds + seconds }));
      expect(nearly(heatWorkEquivalentSeconds(later, any), heatWorkEquivalentSeconds(points, any))).toBe(
        true,
      );
    },
  );

  it.prop([traces(), kinetics(), fc.double({ min: -60, max: 60, noNaN: true })])(
    "of a shifted curve gives back the shift",
    (points, any, shiftKelvin) => {
      const shifted = curveEquivalentSeconds(points, any, shiftKelvin);
      expect(equivalentOffsetKelvin(points, shifted, any)).toBeCloseTo(shiftKelvin, 5);
    },
  );

  it("is not counted in a silence", () => {
    const before = sampled(trace("0:760 1:760"), 1);
    const after = before.map((sample) => ({
      ...sample,
      atSeconds: sample.atSeconds + 60 + SHORTEST_GAP_SECONDS,
    }));
    expect(heatWorkEquivalentSeconds([...before, ...after], at760)).toBeCloseTo(120, 9);
  });

  it("has no offset that would deliver nothing, or what only a sun could", () => {
    expect(equivalentOffsetKelvin(trace("0:760 1:760"), 0, at760)).toBeNull();
    expect(equivalentOffsetKelvin(trace("0:760 1:760"), 1e30, at760)).toBeNull();
  });

  it("refuses time that runs backwards", () => {
    const backwards = [
      { atSeconds: 600, celsius: 700 },
      { atSeconds: 300, celsius: 710 },
    ];
    const message = "heat work requires rising time, got 600 s then 300 s";
    expect(() => heatWorkEquivalentSeconds(backwards, at760)).toThrow(new RangeError(message));
    expect(() => curveEquivalentSeconds(backwards, at760)).toThrow(new RangeError(message));
  });
});

const at760: Kinetics = { activationEnergyJoulesPerMole: 300_000, referenceCelsius: 760 };
const at770: Kinetics = { activationEnergyJoulesPerMole: 300_000, referenceCelsius: 770 };

function example(name: string) {
  const found = examples.find((candidate) => candidate.name === name);
  if (!found) throw new RangeError(`no worked example is called ${name}`);
  return found;
}

function profileOf(name: string): { profile: Trace; profileKinetics: Kinetics } {
  const inputs = profileInputs.parse(example(name).inputs);
  return {
    profile: inputs.profile_s_C.map(([atSeconds, celsius]) => ({ atSeconds, celsius })),
    profileKinetics: { activationEnergyJoulesPerMole: inputs.E_J_per_mol, referenceCelsius: inputs.Tref_C },
  };
}

/** The example integrates from 0 K. */
function climbFromZeroKelvin(kelvinPerMinute: number): Trace {
  const minutes = (760 + 273.15) / kelvinPerMinute;
  return trace(`0:-273.15 ${minutes}:760`);
}

function trapezoid(points: Trace, any: Kinetics): number {
  return points.slice(1).reduce((sum, to, index) => {
    const from = points[index] ?? to;
    const rates = heatWorkRate(from.celsius, any) + heatWorkRate(to.celsius, any);
    return sum + ((to.atSeconds - from.atSeconds) * rates) / 2;
  }, 0);
}

function withMidpoint(points: Trace, seed: number): Trace {
  const index = seed % (points.length - 1);
  const from = points[index];
  const to = points[index + 1];
  if (!from || !to) return points;
  const middle = {
    atSeconds: (from.atSeconds + to.atSeconds) / 2,
    celsius: (from.celsius + to.celsius) / 2,
  };
  return [...points.slice(0, index + 1), middle, ...points.slice(index + 1)];
}

function sixDigits(value: number): number {
  return Number(value.toPrecision(6));
}

/** Equal but for the rounding of sums and of the quadrature; a billionth of a second is nothing to a bake. */
function nearly(one: number, other: number): boolean {
  return Math.abs(one - other) <= 1e-8 * Math.max(Math.abs(one), Math.abs(other)) + 1e-9;
}
