import { describe, expect, it } from "vitest";
import { comparison } from "#core/compare/comparison";
import { uncertaintySentence } from "#core/compare/uncertainty-words";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { setpointCurve } from "#core/plan/setpoint";
import type { Probe } from "#core/thermocouple/probe";
import { probeBudget } from "#core/thermocouple/uncertainty";
import { simulateBake } from "#simulators/simulate-bake";
import { sampled } from "#tests/helpers/trace";

const plan = DEMONSTRATION_PLANS[1];
if (!plan) throw new RangeError("there are no demonstration plans");
const { samples } = simulateBake({ plan, seed: 9, noiseKelvin: 0.3 });
const PROBE: Probe = {
  type: "S",
  toleranceClass: "iec-2",
  instrumentAccuracyKelvin: 1,
  instrumentResolutionKelvin: 0.1,
  coldJunctionAccuracyKelvin: 0.5,
  positionKelvin: 2,
  correction: null,
};
const judged = (probe: Probe | null, trace = samples) =>
  comparison(plan, trace, { activationEnergyJoulesPerMole: 325_000, isFinished: true, probe });

describe("the uncertainty of a comparison", () => {
  const { uncertainty, heatWork, holds } = judged(PROBE);
  const top = Math.max(...holds.map(({ celsius }) => celsius));

  it("is the probe's at the plan's top, and at each hold", () => {
    expect(uncertainty?.topKelvin).toBeCloseTo(probeBudget(PROBE, top).expanded, 9);
    for (const { index, celsius } of holds)
      expect(uncertainty?.holds.find((hold) => hold.index === index)?.expandedKelvin).toBeCloseTo(
        probeBudget(PROBE, celsius).expanded,
        9,
      );
  });

  it("bounds the heat work by that of a bake so much colder and hotter", () => {
    const kelvin = uncertainty?.topKelvin ?? Number.NaN;
    const moved = (by: number) => samples.map((sample) => ({ ...sample, celsius: sample.celsius + by }));
    // Judged anew as a whole: stages are found anew, so that the free cooling may differ by a sample.
    expect(uncertainty?.heatWorkRatio?.low).toBeCloseTo(
      judged(null, moved(-kelvin)).heatWork.ratio ?? Number.NaN,
      2,
    );
    expect(uncertainty?.heatWorkRatio?.high).toBeCloseTo(
      judged(null, moved(kelvin)).heatWork.ratio ?? Number.NaN,
      2,
    );
    expect(uncertainty?.heatWorkRatio?.low).toBeLessThan(heatWork.ratio ?? 0);
    expect(uncertainty?.heatWorkRatio?.high).toBeGreaterThan(heatWork.ratio ?? 0);
  });

  it("says what 5 K do: as the Arrhenius law does, between the top and the low temperature", () => {
    // exp[(E/R)·(1/T − 1/(T + 5 K))] − 1: 20 % at 760 °C and more below. A share of the planned heat work,
    // the free cooling, moves with the trace, so that the whole may do a little less.
    const at = (celsius: number) => {
      const kelvin = celsius + 273.15;
      return Math.exp((325_000 / 8.314462618) * (1 / kelvin - 1 / (kelvin + 5))) - 1;
    };
    const fiveKelvin = uncertainty?.fiveKelvinFraction ?? 0;
    expect(fiveKelvin).toBeGreaterThan(0.95 * at(top));
    expect(fiveKelvin).toBeLessThan(at(plan.lowCelsius));
  });

  it("changes no other number", () => {
    const { uncertainty: _, ...without } = judged(null);
    const { uncertainty: __, ...withProbe } = judged(PROBE);
    expect(withProbe).toEqual(without);
  });

  it("is smaller by an accepted check, and none where nobody said anything", () => {
    const checked: Probe = {
      ...PROBE,
      correction: {
        checkId: 1,
        acceptedAtEpochMilliseconds: 0,
        acceptedBy: null,
        points: [{ readingCelsius: 960, correctionKelvin: 1 }],
        expandedUncertaintyKelvin: 1,
        coverageFactor: 2,
      },
    };
    const byCheck = judged(checked).uncertainty;
    expect(byCheck?.basis).toBe("check");
    expect(byCheck?.topKelvin).toBeLessThan(uncertainty?.topKelvin ?? 0);
    expect(judged(null).uncertainty).toBeNull();
    const unsaid = { instrumentAccuracyKelvin: null, instrumentResolutionKelvin: null };
    const nobody = {
      ...PROBE,
      ...unsaid,
      type: null,
      coldJunctionAccuracyKelvin: null,
      positionKelvin: null,
    };
    expect(judged(nobody).uncertainty).toBeNull();
  });

  it("takes the cold junction as it was", () => {
    const curve = sampled(setpointCurve(plan), 1);
    const hotAdapter = curve.map((sample) => ({ ...sample, coldJunctionCelsius: 45 }));
    const roomAdapter = curve.map((sample) => ({ ...sample, coldJunctionCelsius: 5 }));
    // The Seebeck coefficient of type S rises with the cold junction: so does its part.
    expect(judged(PROBE, hotAdapter).uncertainty?.topKelvin).toBeGreaterThan(
      judged(PROBE, roomAdapter).uncertainty?.topKelvin ?? 0,
    );
  });
});

describe("the uncertainty in words", () => {
  const known = {
    coverageFactor: 2,
    basis: "check",
    topKelvin: 3.94,
    holds: [],
    heatWorkRatio: { low: 0.884, high: 1.148 },
    fiveKelvinFraction: 0.171,
  } as const;

  it("says k, what it rests on, and what 5 K are worth", () => {
    expect(uncertaintySentence(known, "celsius")).toBe(
      "Temperatures are sure to ± 3.9 K (k = 2, the thermocouple by its last check), heat work from 88 to 115 % of plan. 5 K are 17 % of it.",
    );
    expect(uncertaintySentence(known, "fahrenheit")).toContain("± 7.1 °F");
  });

  it("says that the thermocouple is not in it where nobody told its class", () => {
    expect(uncertaintySentence({ ...known, basis: "none", heatWorkRatio: null }, "celsius")).toBe(
      "Temperatures are sure to ± 3.9 K (k = 2, the thermocouple's own part is not known and not in it). 5 K are 17 % of it.",
    );
  });
});
