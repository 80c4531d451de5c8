import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import type { Store } from "#daemon/store/store";
import type { MaterialRevision } from "#shared/material";
import { cardSchema, type PlanRevision } from "#shared/plan";

/** What there is to choose from: the newest revisions. */
export interface CardsAndMaterials {
  readonly plans: PlanRevision[];
  readonly materials: MaterialRevision[];
}

/**
 * The newest revision of every card and material. A technician needs something to begin with, so an empty store
 * is given the demonstration cards first, marked as such.
 */
export async function cardsToBeginWith({
  plans,
  materials,
}: Pick<Store, "plans" | "materials">): Promise<CardsAndMaterials> {
  if ((await plans.newest()).length === 0)
    for (const plan of DEMONSTRATION_PLANS) await plans.create(cardSchema.parse({ plan }), true);
  return { plans: await plans.newest(), materials: await materials.newest() };
}
