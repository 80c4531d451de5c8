import { bench, describe } from "vitest";
import { comparison } from "#core/compare/comparison";
import { heatWorkEquivalentSeconds, heatWorkRate } from "#core/heat/heat-work";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { packSamples, unpackSamples } from "#daemon/store/sample-chunks";
import { simulateBake } from "#simulators/simulate-bake";

const plan = DEMONSTRATION_PLANS[1];
if (!plan) throw new RangeError("there are no demonstration plans");
const { samples } = simulateBake({ plan, seed: 1, noiseKelvin: 0.5 });
const kinetics = { activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760 };

describe(`a bake of ${samples.length} samples`, () => {
  bench("floor: one exponential a sample, nothing else", () => {
    let sum = 0;
    for (const sample of samples) sum += heatWorkRate(sample.celsius, kinetics);
    if (!(sum > 0)) throw new Error("no heat work");
  });

  bench("heat work", () => {
    heatWorkEquivalentSeconds(samples, kinetics);
  });

  bench("the whole comparison, as live and afterwards", () => {
    comparison(plan, samples, { activationEnergyJoulesPerMole: 325_000, isFinished: true });
  });
});

describe(`the same bake in the store`, () => {
  const packed = packSamples(samples);

  bench("floor: JSON text", () => {
    JSON.parse(JSON.stringify(samples));
  });

  bench("packed and unpacked as a chunk", () => {
    unpackSamples(packSamples(samples));
  });

  bench(`unpacked (${(packed.length / samples.length).toFixed(2)} bytes a sample)`, () => {
    unpackSamples(packed);
  });
});
