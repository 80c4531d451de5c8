import { heatWorkWindow } from "#core/heat/layer-ledger";
import { accountsOf, jobBakes } from "#daemon/recording/job-bakes";
import type { LiveBackground, LookingAhead } from "#daemon/recording/live-estimates";
import type { Store } from "#daemon/store/store";
import type { BakeLayer } from "#shared/layer";
import { type HeatWorkWindow, heatWorkWindowSchema } from "#shared/outlook";
import type { BakePlan } from "#shared/plan";

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

/** What an open bake is estimated with: its job's ledger, and the furnace's earlier bakes. */
export async function loadBackground<Memory>(
  store: Pick<Store, "bakes">,
  bake: BakeToEstimate,
  ahead: LookingAhead<Memory>,
): Promise<LiveBackground<Memory>> {
  if (!bake.plan) return { window: null, earlier: [] };
  return {
    window: await windowOf(store, bake, bake.plan),
    earlier: await earlierBakes(store, bake, ahead),
  };
}

async function windowOf(
  { bakes }: Pick<Store, "bakes">,
  { id, jobNumber, layers }: BakeToEstimate,
  plan: BakePlan,
): Promise<HeatWorkWindow | null> {
  const ofJob = jobNumber === null ? [] : await jobBakes(bakes, jobNumber);
  const before = ofJob.filter(({ detail }) => detail.bake.id < id && detail.bake.state === "finished");
  const added = layers.map(({ name, material }) => ({ name, material: material.material }));
  const window = heatWorkWindow(accountsOf(before), added, plan.plan);
  return window && heatWorkWindowSchema.parse(window);
}

async function earlierBakes<Memory>(
  { bakes }: Pick<Store, "bakes">,
  { id, furnaceId }: BakeToEstimate,
  ahead: LookingAhead<Memory>,
): Promise<Memory[]> {
  const ids = await bakes.find({ kind: "compared", furnaceId, beforeBakeId: id }, MOST_EARLIER_BAKES);
  const earlier: Memory[] = [];
  for (const earlierId of ids) {
    const detail = await bakes.detail(earlierId);
    if (!detail?.plan || !detail.comparison) continue;
    const memory = ahead.remember(detail.plan.plan, await bakes.samples(earlierId), detail.comparison);
    if (memory !== null) earlier.push(memory);
  }
  return earlier;
}
