import { bench, describe } from "vitest";
import { comparison } from "#core/compare/comparison";
import { outlook } from "#core/compare/outlook";
import { rememberedBake } from "#core/compare/remembered-bake";
import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import { type GlassPoint, glassOutcome } from "#core/heat/glass-outcome";
import { heatWorkEquivalentSeconds, heatWorkRate } from "#core/heat/heat-work";
import { nextWarePoint, wareTrace } from "#core/heat/ware";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { simulateBake } from "#simulators/simulate-bake";

/** A usual bake has about so many, at one a second. */
const SAMPLES = 1500;

const ROUNDS = 61;
const WARMING_ROUNDS = 20;

/** Steps of the ware are so short that a thousand are timed together. */
const WARE_STEPS = 1000;

const plan = DEMONSTRATION_PLANS[1];
const material = DEMONSTRATION_MATERIALS.find(({ viscosity, packing }) => viscosity && packing);
if (!plan || !material)
  throw new RangeError("there are no demonstration plans, or no glass among the materials");

const simulated = simulateBake({ plan, seed: 1, noiseKelvin: 0.5, restAfterSeconds: SAMPLES });
const samples = simulated.samples.slice(0, SAMPLES);
const kinetics = { activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760 };
const ware = { framework: "zirconia", grams: 2, wallMillimetres: 1 } as const;
const before = wareTrace(samples, ware).at(-2);
const from = samples.at(-2);
const to = samples.at(-1);
if (!before || !from || !to) throw new RangeError("the bake is too short");

const inHold = samples.filter(
  ({ atSeconds }) => atSeconds <= (simulated.events.holdCountedFromSeconds[0] ?? 0) + 30,
);
const live = comparison(plan, inHold, { activationEnergyJoulesPerMole: 325_000, isFinished: false });
const earlier = Array.from({ length: 8 }, (_, index) => {
  const trace = simulateBake({ plan, seed: 2 + index, noiseKelvin: 0.5 }).samples;
  return rememberedBake(
    plan,
    trace,
    comparison(plan, trace, { activationEnergyJoulesPerMole: 325_000, isFinished: true }),
  );
}).filter((bake) => bake !== null);

interface Way {
  readonly name: string;
  readonly run: () => void;
  /** How many of the thing named are done in one run. */
  readonly times?: number;
}

const floor: Way = {
  name: "floor: one exponential a sample, nothing else",
  run: () => {
    let sum = 0;
    for (const sample of samples) sum += heatWorkRate(sample.celsius, kinetics);
    if (!(sum > 0)) throw new Error("no heat work");
  },
};

const judged: readonly Way[] = [
  floor,
  { name: "heat work alone", run: () => void heatWorkEquivalentSeconds(samples, kinetics) },
  { name: "the whole glass model", run: () => expectClosed(samples) },
  { name: "the comparison alone", run: () => compare(true) },
  {
    name: "the comparison and the glass model",
    run: () => {
      compare(true);
      expectClosed(samples);
    },
  },
  {
    name: "the comparison, and the glass by chamber and by ware",
    run: () => {
      compare(true);
      expectClosed(samples);
      expectClosed(ofWare());
    },
  },
];

// What one more second of a bake costs at its end, in the ways there are.
const updated: readonly Way[] = [
  floor,
  {
    name: "the ware, by its step",
    times: WARE_STEPS,
    run: () => {
      for (let step = 0; step < WARE_STEPS; step++) nextWarePoint(before, from, to, ware);
    },
  },
  { name: "the ware, anew from the first sample", run: () => void wareTrace(samples, ware) },
  { name: "the glass model, anew from the first sample", run: () => expectClosed(samples) },
  { name: "the comparison, anew as it is live", run: () => compare(false) },
  { name: "the outlook in the hold, by eight earlier bakes", run: () => expectOutlook() },
];

// The rows that vitest prints are means, which say little on a busy machine. Here the ways take turns, and the quickest
// round of each is compared with the quickest of the floor.
console.log(
  [
    `A bake of ${samples.length} samples, judged: milliseconds, ratio to the floor, bakes a second`,
    ...figures(judged),
    "",
    `One more sample after ${samples.length - 1}: milliseconds, ratio to the floor, updates a second`,
    ...figures(updated),
    "",
  ].join("\n"),
);

describe(`a bake of ${samples.length} samples, judged`, () => {
  for (const { name, run } of judged) bench(name, run);
});

describe(`one more sample after ${samples.length - 1}`, () => {
  for (const { name, run, times } of updated) bench(times ? `${times} × ${name}` : name, run);
});

function compare(isFinished: boolean): void {
  comparison(plan ?? unknown(), samples, { activationEnergyJoulesPerMole: 325_000, isFinished });
}

/** Nothing may be measured that did nothing. */
function expectClosed(points: readonly GlassPoint[]): void {
  const outcome = glassOutcome(points, material ?? unknown());
  if (outcome.porosityFraction === null || !outcome.closure) throw new Error("the pores did not close");
}

function expectOutlook(): void {
  const seen = outlook(plan ?? unknown(), inHold, live, earlier);
  if (!seen || seen.learnedFromBakes < 2) throw new Error("there is no outlook");
}

function ofWare(): GlassPoint[] {
  return wareTrace(samples, ware).map(({ atSeconds, celsius }, index) => ({
    atSeconds,
    celsius,
    hectopascals: samples[index]?.hectopascals,
  }));
}

function unknown(): never {
  throw new RangeError("there are no demonstrations");
}

function figures(ways: readonly Way[]): string[] {
  for (let round = 0; round < WARMING_ROUNDS; round++) for (const { run } of ways) run();
  const rounds = Array.from({ length: ROUNDS }, () => ways.map(millisecondsOf));
  const quickest = ways.map((_, index) => Math.min(...rounds.map((times) => times[index] ?? Number.NaN)));
  return ways.map(({ name }, index) => {
    const milliseconds = quickest[index] ?? Number.NaN;
    const ratio = milliseconds / (quickest[0] ?? Number.NaN);
    const aSecond = `${Math.round(1000 / milliseconds)}`;
    return `  ${name.padEnd(54)}${milliseconds.toFixed(4).padStart(9)} ms${ratio.toPrecision(3).padStart(9)} ×${aSecond.padStart(9)} /s`;
  });
}

function millisecondsOf({ run, times = 1 }: Way): number {
  const startedAt = process.hrtime.bigint();
  run();
  return Number(process.hrtime.bigint() - startedAt) / 1e6 / times;
}
