import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import type { Plan } from "#core/plan/plan";
import type { FurnaceCharacter } from "#simulators/furnace";
import { furnaceFromSeed } from "#simulators/furnace";
import type { BenchOptions } from "#simulators/options";
import { simulateBake } from "#simulators/simulate-bake";

/** An invented earlier bake, as it is printed. */
export interface HistoryBake {
  readonly furnace: string;
  readonly plan: Plan;
  /** Seconds since the first sample, °C, hPa. */
  readonly samples: readonly (readonly [number, number, number])[];
}

/** What ails the furnaces in turn; most bakes go well. */
const AILMENTS: readonly ((furnace: FurnaceCharacter) => Partial<FurnaceCharacter>)[] = [
  () => ({}),
  () => ({}),
  ({ elementWatts }) => ({ elementHealthFraction: 640 / elementWatts }),
  () => ({}),
  ({ pump }) => ({ pump: { ...pump, baseHectopascals: 140, leakHectopascalsPerSecond: 3 } }),
  () => ({}),
  ({ controller }) => ({
    controller: { ...controller, feedForwardFraction: 1, integralSeconds: 120, sensorOffsetKelvin: -4 },
  }),
  ({ controller }) => ({ controller: { ...controller, sensorOffsetKelvin: 12 } }),
];

/** Invented earlier bakes, oldest first; the same ones again for the same options. */
export function* historyBakes(options: BenchOptions): Generator<HistoryBake> {
  for (let index = 0; index < (options.history ?? 0); index += 1) {
    const seed = options["history-seed"] + index;
    const plan = DEMONSTRATION_PLANS[index % DEMONSTRATION_PLANS.length];
    const ailment = AILMENTS[index % AILMENTS.length];
    if (!plan || !ailment) return;
    const { samples } = simulateBake({
      plan,
      seed,
      noiseKelvin: options.noise,
      furnace: ailment(furnaceFromSeed(seed)),
    });
    yield {
      furnace: `furnace-${1 + (index % options.furnaces)}`,
      plan,
      samples: samples.map(({ atSeconds, celsius, hectopascals }) => [atSeconds, celsius, hectopascals ?? 0]),
    };
  }
}
