import { heatWorkWindow } from "#core/heat/layer-ledger";
import { median } from "#core/statistics/median";
import type { Trace } from "#core/trace/trace";
import { accountsOf, jobBakes } from "#daemon/recording/job-bakes";
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

/** A finished bake of the furnace, beside the plan that it ran. */
interface EarlierBake {
  readonly plan: Plan;
  readonly trace: Trace;
  readonly comparison: Comparison;
}

/** What an open bake is estimated with: its job's ledger, and the furnace's earlier bakes. */
export async function loadBackground<Memory>(
  store: Pick<Store, "bakes">,
  bake: BakeToEstimate,
  ahead: LookingAhead<Memory>,
): Promise<LiveBackground<Memory>> {
  if (!bake.plan) return { window: null, earlier: [] };
  const earlier = await earlierBakes(store, bake);
  return {
    window: await windowOf(store, bake, bake.plan, usualCoolingKelvinPerMinute(earlier)),
    earlier: earlier
      .map(({ plan, trace, comparison }) => ahead.remember(plan, trace, comparison))
      .filter((memory) => memory !== null),
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

/** Newest first. */
async function earlierBakes(
  { bakes }: Pick<Store, "bakes">,
  { id, furnaceId }: BakeToEstimate,
): Promise<EarlierBake[]> {
  const ids = await bakes.find({ kind: "compared", furnaceId, beforeBakeId: id }, MOST_EARLIER_BAKES);
  const earlier: EarlierBake[] = [];
  for (const earlierId of ids) {
    const detail = await bakes.detail(earlierId);
    const { plan, comparison } = detail ?? {};
    if (plan && comparison)
      earlier.push({ plan: plan.plan, trace: await bakes.samples(earlierId), comparison });
  }
  return earlier;
}

/** How fast this furnace falls from the top when nothing leads it; null when no earlier bake tells. */
function usualCoolingKelvinPerMinute(earlier: readonly EarlierBake[]): number | null {
  const rates = earlier
    .filter(({ plan }) => plan.cooling.kind === "free")
    .flatMap(({ comparison }) => comparison.cooling.actual?.kelvinPerMinute ?? [])
    .filter((rate) => rate > 0);
  return rates.length > 0 ? median(rates) : null;
}
