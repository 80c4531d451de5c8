import { describe, expect, it } from "vitest";
import { z } from "zod";
import { kissingerEnergyJoulesPerMole } from "#core/heat/crystallisation";
import {
  curveEquivalentSeconds,
  equivalentOffsetKelvin,
  GAS_CONSTANT,
  heatWorkEquivalentSeconds,
  heatWorkRate,
  type Kinetics,
} from "#core/heat/heat-work";
import {
  apparentEnergyJoulesPerMole,
  equalClimbTopCelsius,
  equalHoldCelsius,
} from "#core/heat/heat-work-trade";
import type { Trace } from "#core/trace/trace";
import { relativeError, sinteringExample, sinteringExampleNames } from "#tests/helpers/sintering-examples";
import { sampled, trace } from "#tests/helpers/trace";

// Worked examples of heat work, computed independently in closed form and by quadrature, but for the end points
// of the cone, which are published; the provenance of each stands in tests/reference/sintering-worked-examples.json.
// All are given to six significant digits, and met to all six where the tolerance is 1e-5.

const numbers = z.array(z.number());
const profileInputs = {
  E_J_per_mol: z.number(),
  Tref_C: z.number(),
  profile_s_C: z.array(z.tuple([z.number(), z.number()])),
};

describe("heat work in the worked examples", () => {
  it("has a test for every one of them", () => {
    expect(sinteringExampleNames("heat-work")).toEqual([
      "arrhenius-rate-ratio-10K",
      "cone-019-kissinger",
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
    const { inputs, expected } = sinteringExample(
      "arrhenius-rate-ratio-10K",
      { E_J_per_mol: z.number(), T1_C: z.number(), T2_C: z.number() },
      { k2_over_k1: z.number() },
    );
    const rate = heatWorkRate(inputs.T2_C, kineticsOf(inputs.E_J_per_mol, inputs.T1_C));
    expect(sixDigits(rate)).toBe(expected.k2_over_k1);
  });

  it.each(["heat-work-linear-ramp", "heat-work-ramp-hold-cool", "heat-work-triangular-overshoot"])(
    "of %s agrees to six digits",
    (name) => {
      const { inputs, expected } = sinteringExample(name, profileInputs, { t_equivalent_s: z.number() });
      const { profile, kinetics } = profileOf(inputs);
      expect(sixDigits(curveEquivalentSeconds(profile, kinetics))).toBe(expected.t_equivalent_s);
      // A second that straddles a corner of the profile cuts it by half a second times 0.75 K at most: 0.012 s.
      const sampledSeconds = heatWorkEquivalentSeconds(sampled(profile, 1), kinetics);
      expect(Math.abs(sampledSeconds - expected.t_equivalent_s)).toBeLessThan(0.012);
    },
  );

  it("of a climb is a few per cent below the textbook estimate R·T²/(E·β)", () => {
    const { inputs, expected } = sinteringExample("heat-work-linear-ramp", profileInputs, {
      effective_top_time_s_RT2_over_E_beta: z.number(),
      t_equivalent_s: z.number(),
    });
    const [from = [0, 0], to = [0, 0]] = inputs.profile_s_C;
    const kelvinPerSecond = (to[1] - from[1]) / (to[0] - from[0]);
    const estimate = (GAS_CONSTANT * (to[1] + 273.15) ** 2) / (inputs.E_J_per_mol * kelvinPerSecond);
    expect(sixDigits(estimate)).toBe(expected.effective_top_time_s_RT2_over_E_beta);
    const { profile, kinetics } = profileOf(inputs);
    expect(estimate / curveEquivalentSeconds(profile, kinetics)).toBeCloseTo(1.056, 3);
  });

  it("of a climb, a hold and a cooling is theirs, one by one", () => {
    const { inputs, expected } = sinteringExample("heat-work-ramp-hold-cool", profileInputs, {
      by_segment_s: numbers,
    });
    const { profile, kinetics } = profileOf(inputs);
    const pieces = profile.slice(1).map((_, index) => profile.slice(index, index + 2));
    expect(pieces.map((piece) => sixDigits(curveEquivalentSeconds(piece, kinetics)))).toEqual(
      expected.by_segment_s,
    );
  });

  it("of an overshoot is 14.6084 % more than of the hold without it", () => {
    const { inputs, expected } = sinteringExample("heat-work-triangular-overshoot", profileInputs, {
      excess_percent: z.number(),
    });
    const { profile, kinetics } = profileOf(inputs);
    const held = profile.map(({ atSeconds }) => ({ atSeconds, celsius: 770 }));
    const ratio = curveEquivalentSeconds(profile, kinetics) / curveEquivalentSeconds(held, kinetics);
    expect(sixDigits(100 * (ratio - 1))).toBe(expected.excess_percent);
  });

  it("of a hold off its temperature has the given ratios, and each gives back its offset", () => {
    const { inputs, expected } = sinteringExample(
      "heat-work-undershoot-asymmetry",
      { E_J_per_mol: z.number(), Tref_C: z.number(), hold_s: z.number(), offsets_K: numbers },
      { heat_work_ratio: numbers },
    );
    const kinetics = kineticsOf(inputs.E_J_per_mol, inputs.Tref_C);
    const hold = trace(`0:${inputs.Tref_C} ${inputs.hold_s / 60}:${inputs.Tref_C}`);
    const ratios = inputs.offsets_K.map((offset) =>
      sixDigits(curveEquivalentSeconds(hold, kinetics, offset) / inputs.hold_s),
    );
    expect(ratios).toEqual(expected.heat_work_ratio);
    for (const [index, offset] of inputs.offsets_K.entries()) {
      const equivalentSeconds = inputs.hold_s * (expected.heat_work_ratio[index] ?? 0);
      expect(equivalentOffsetKelvin(hold, equivalentSeconds, kinetics)).toBeCloseTo(offset, 3);
    }
  });

  it("loses to coarse sampling what the example says", () => {
    const { inputs, expected } = sinteringExample("heat-work-sampling-error", profileInputs, {
      exact_s: z.number(),
      trapezoid_s: z.record(z.string(), z.number()),
    });
    const { profile, kinetics } = profileOf(inputs);
    expect(sixDigits(curveEquivalentSeconds(profile, kinetics))).toBe(expected.exact_s);
    for (const [step, trapezoidSeconds] of Object.entries(expected.trapezoid_s)) {
      const coarse = sampled(profile, Number(/\d+/.exec(step)));
      expect(sixDigits(trapezoid(coarse, kinetics))).toBe(trapezoidSeconds);
    }
  });

  it("is the same for faster climbs to the higher tops that the example gives", () => {
    const { inputs, expected } = sinteringExample(
      "heat-work-rate-compensation",
      {
        E_J_per_mol: z.number(),
        reference: z.object({ rate_K_per_min: z.number(), top_C: z.number() }),
        rates_K_per_min: numbers,
      },
      { equal_heat_work_top_C: numbers },
    );
    const { rate_K_per_min, top_C } = inputs.reference;
    const climb = { kelvinPerMinute: rate_K_per_min, celsius: top_C };
    const tops = inputs.rates_K_per_min.map((rate) => equalClimbTopCelsius(climb, rate, inputs.E_J_per_mol));
    expect(tops.map(sixDigits)).toEqual(expected.equal_heat_work_top_C);
    // The same by quadrature from 0 K, shifting the whole climb's end.
    const kinetics = kineticsOf(inputs.E_J_per_mol, top_C);
    const target = curveEquivalentSeconds(climbFromZeroKelvin(rate_K_per_min, top_C), kinetics);
    for (const [index, rate] of inputs.rates_K_per_min.entries()) {
      const other = climbFromZeroKelvin(rate, tops[index] ?? Number.NaN);
      expect(relativeError(curveEquivalentSeconds(other, kinetics), target)).toBeLessThan(1e-8);
    }
  });

  it("is the same for longer holds at the lower temperatures that the example gives", () => {
    const { inputs, expected } = sinteringExample(
      "heat-work-hold-temperature-trade",
      {
        E_J_per_mol: z.number(),
        reference: z.object({ T_C: z.number(), hold_s: z.number() }),
        hold_s: numbers,
      },
      { equal_heat_work_T_C: numbers },
    );
    const { T_C, hold_s } = inputs.reference;
    const tops = inputs.hold_s.map(
      (seconds) => equalHoldCelsius(T_C, hold_s, seconds, inputs.E_J_per_mol) ?? Number.NaN,
    );
    expect(tops.map(sixDigits)).toEqual(expected.equal_heat_work_T_C);
  });

  it("of cone 019 has one energy at three climb rates, and foretells the middle one", () => {
    // End points published (pyrometric-cone chart); what follows from them was computed independently.
    const { inputs, expected } = sinteringExample(
      "cone-019-kissinger",
      { rates_C_per_h: numbers, end_T_C: numbers },
      {
        kissinger_E_kJ_per_mol: z.number(),
        exact_E_15_150_kJ_per_mol: z.number(),
        predicted_60_C: z.number(),
      },
    );
    const ends = inputs.rates_C_per_h.map((rate, index) => ({
      kelvinPerMinute: rate / 60,
      celsius: inputs.end_T_C[index] ?? Number.NaN,
    }));
    const [slow, middle, fast] = ends;
    if (!slow || !middle || !fast) throw new RangeError("cone 019 requires three ends");
    const energy = apparentEnergyJoulesPerMole(slow, fast) ?? Number.NaN;
    expect(
      relativeError(kissingerEnergyJoulesPerMole(ends), 1000 * expected.kissinger_E_kJ_per_mol),
    ).toBeLessThan(5e-4);
    expect(relativeError(energy, 1000 * expected.exact_E_15_150_kJ_per_mol)).toBeLessThan(5e-4);
    const predicted = equalClimbTopCelsius(slow, middle.kelvinPerMinute, energy);
    expect(Math.abs(predicted - expected.predicted_60_C)).toBeLessThan(0.05);
  });
});

function kineticsOf(activationEnergyJoulesPerMole: number, referenceCelsius: number): Kinetics {
  return { activationEnergyJoulesPerMole, referenceCelsius };
}

function profileOf(inputs: {
  readonly E_J_per_mol: number;
  readonly Tref_C: number;
  readonly profile_s_C: readonly (readonly [number, number])[];
}): { profile: Trace; kinetics: Kinetics } {
  return {
    profile: inputs.profile_s_C.map(([atSeconds, celsius]) => ({ atSeconds, celsius })),
    kinetics: kineticsOf(inputs.E_J_per_mol, inputs.Tref_C),
  };
}

function climbFromZeroKelvin(kelvinPerMinute: number, topCelsius: number): Trace {
  return trace(`0:-273.15 ${(topCelsius + 273.15) / kelvinPerMinute}:${topCelsius}`);
}

function trapezoid(points: Trace, kinetics: Kinetics): number {
  return points.slice(1).reduce((sum, to, index) => {
    const from = points[index] ?? to;
    const rates = heatWorkRate(from.celsius, kinetics) + heatWorkRate(to.celsius, kinetics);
    return sum + ((to.atSeconds - from.atSeconds) * rates) / 2;
  }, 0);
}

function sixDigits(value: number): number {
  return Number(value.toPrecision(6));
}
