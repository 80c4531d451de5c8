import { type Comparison, comparison } from "#core/compare/comparison";
import { type RememberedBake, rememberedBake } from "#core/compare/remembered-bake";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import type { Plan } from "#core/plan/plan";
import { withPlanNumber } from "#core/plan/plan-numbers";
import type { Trace } from "#core/trace/trace";
import { type FurnaceCharacter, furnaceFromSeed } from "#simulators/furnace";
import type { Load } from "#simulators/load";
import { randomStream } from "#simulators/random";
import { type SimulatedBake, simulateBake } from "#simulators/simulate-bake";

/** Bakes that a furnace of this lab has made before the one in question. */
const EARLIER_BAKES = 5;

/** Drying does no heat work: short, so that many bakes can be simulated. */
const PLANS: readonly Plan[] = DEMONSTRATION_PLANS.flatMap((plan) => {
  const short = { ...plan, dryingSeconds: 20, closingSeconds: 20, lowHoldSeconds: 40 };
  const second = [0, 10].map((seconds) => withPlanNumber(short, "top-hold", seconds));
  return [short, ...second, withPlanNumber(short, "climb-rate", 36)];
});

/**
 * A furnace of its own kind, its probe off by up to 4 K, ageing from bake to bake, with loads of 15 to 60 g; and
 * what its earlier bakes taught: seven in ten of them with the same plan.
 */
export interface SimulatedLab {
  readonly seed: number;
  readonly plan: Plan;
  readonly earlier: readonly RememberedBake[];
  /** The bake in question: the same in everything but its hold, s; null for the plan's own. */
  bake(holdSeconds: number | null): SimulatedBake;
}

/** The same seed is the same lab. */
export function simulatedLab(seed: number): SimulatedLab {
  const random = randomStream(seed, "lab");
  const plan = planOf(seed);
  const furnace = furnaceFromSeed(seed);
  const ageing = 0.002 * random.uniform();
  const offsetKelvin = 8 * (random.uniform() - 0.5);
  const once = (index: number, fired: Plan, load: Load) =>
    simulateBake({
      plan: fired,
      seed: seed * 50 + index,
      furnace: aged(furnace, ageing * index),
      probe: { offsetKelvin },
      load,
      noiseKelvin: 0.4,
      restBeforeSeconds: 10,
      restAfterSeconds: 0,
    });
  const loads = Array.from({ length: EARLIER_BAKES + 1 }, () => loadFrom(random));
  const earlier = loads.slice(0, EARLIER_BAKES).flatMap((load, index) => {
    const fired = random.uniform() < 0.7 ? plan : planOf(Math.floor(1e6 * random.uniform()));
    const { samples } = once(index, fired, load);
    return rememberedBake(fired, samples, judged(fired, samples, true)) ?? [];
  });
  const last = loads.at(-1) ?? { framework: "zirconia", grams: 30 };
  return {
    seed,
    plan,
    earlier,
    bake: (holdSeconds) =>
      once(EARLIER_BAKES, holdSeconds === null ? plan : withPlanNumber(plan, "top-hold", holdSeconds), last),
  };
}

/** A trace beside its plan, with the default activation energy. */
export function judged(plan: Plan, trace: Trace, isFinished: boolean): Comparison {
  return comparison(plan, trace, { activationEnergyJoulesPerMole: 325_000, isFinished });
}

function planOf(number: number): Plan {
  const plan = PLANS[number % PLANS.length];
  if (!plan) throw new RangeError("there are no demonstration plans");
  return plan;
}

function aged(furnace: FurnaceCharacter, by: number): FurnaceCharacter {
  return { ...furnace, elementHealthFraction: furnace.elementHealthFraction - by };
}

function loadFrom(random: ReturnType<typeof randomStream>): Load {
  const framework = random.uniform() < 0.5 ? "zirconia" : "lithium-disilicate";
  return { framework, grams: 15 + 45 * random.uniform() };
}
