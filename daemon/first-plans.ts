import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import type { Store } from "#daemon/store/store";
import { type PlanRevision, planSchema } from "#shared/plan";

/**
 * The newest revision of every plan. A technician needs something to begin with, so an empty store is given the
 * demonstration plans first, marked as such.
 */
export async function plansToBeginWith({ plans }: Pick<Store, "plans">): Promise<PlanRevision[]> {
  const kept = await plans.newest();
  if (kept.length > 0) return kept;
  for (const plan of DEMONSTRATION_PLANS) await plans.create(planSchema.parse(plan), true);
  return plans.newest();
}
