import { heatWorkWindow } from "#core/heat/layer-ledger";
import { median } from "#core/statistics/median";
import { accountsOf, jobBakes } from "#daemon/recording/job-bakes";
import { judgedTrace } from "#daemon/recording/judged-trace";
import type { LiveBackground, LookingAhead } from "#daemon/recording/live-estimates";
import type { Store } from "#daemon/store/store";
import type { Comparison } from "#shared/comparison";
import type { BakeLayer } from "#shared/layer";
import { type HeatWorkWindow, heatWorkWindowSchema } from "#shared/outlook";
import type { BakePlan, Plan } from "#shared/plan";

/** So many earlier bakes tell a furnace's ways. */
const MOST_EARLIER_BAKES = 8;

/** An open bake, as far as its background hangs on it. */
export interface BakeToEstimate {
  readonly id: number;
  readonly furnaceId: string;
  readonly plan: BakePlan | null;
  readonly jobNumber: string | null;
  readonly layers: readonly BakeLayer[];
}

/** A finished bake of the furnace, beside the plan that it ran, and what it tells. */
interface EarlierBake<Memory> {
  readonly plan: Plan;
  readonly comparison: Comparison;
  readonly memory: Memory | null;
}

/** What an open bake is estimated with: its job's ledger, and the furnace's earlier bakes. */
export async function loadBackground<Memory>(
  store: Pick<Store, "bakes">,
  bake: BakeToEstimate,
  ahead: LookingAhead<Memory>,
): Promise<LiveBackground<Memory>> {
  if (!bake.plan) return { window: null, earlier: [] };
  const earlier = await earlierBakes(store, bake, ahead);
  return {
    window: await windowOf(store, bake, bake.plan, usualCoolingKelvinPerMinute(earlier)),
    earlier: earlier.map(({ memory }) => memory).filter((memory) => memory !== null),
  };
}

/** By the job's earlier bakes, and what was put on before this one. */
async function windowOf(
  store: Pick<Store, "bakes">,
  { id, jobNumber, layers }: BakeToEstimate,
  { plan }: BakePlan,
  coolingKelvinPerMinute: number | null,
): Promise<HeatWorkWindow | null> {
  const ofJob = jobNumber === null ? [] : await jobBakes(store, jobNumber);
  const before = ofJob.filter(({ detail }) => detail.bake.id < id && detail.bake.state === "finished");
  const added = layers.map(({ name, material }) => ({ name, material: material.material }));
  const window = heatWorkWindow(accountsOf(before), added, plan, coolingKelvinPerMinute);
  return window && heatWorkWindowSchema.parse(window);
}

/** Newest first; between two of them readings have their turn. */
async function earlierBakes<Memory>(
  { bakes }: Pick<Store, "bakes">,
  { id, furnaceId }: BakeToEstimate,
  ahead: LookingAhead<Memory>,
): Promise<EarlierBake<Memory>[]> {
  const ids = await bakes.find({ kind: "compared", furnaceId, beforeBakeId: id }, MOST_EARLIER_BAKES);
  const earlier: EarlierBake<Memory>[] = [];
  for (const earlierId of ids) {
    const { plan: ran, comparison } = (await bakes.detail(earlierId)) ?? {};
    if (!ran || !comparison) continue;
    const samples = judgedTrace(await bakes.samples(earlierId), ran.plan);
    const memory = ahead.remember(ran.plan, samples, comparison);
    earlier.push({ plan: ran.plan, comparison, memory });
  }
  return earlier;
}

/** How fast a furnace falls from the top when nothing leads it; null when no earlier bake tells. */
export function usualCoolingKelvinPerMinute(
  earlier: readonly { readonly plan: Plan; readonly comparison: Comparison }[],
): number | null {
  const rates = earlier
    .filter(({ plan }) => plan.cooling.kind === "free")
    .flatMap(({ comparison }) => comparison.cooling.actual?.kelvinPerMinute ?? [])
    .filter((rate) => rate > 0);
  return rates.length > 0 ? median(rates) : null;
}
