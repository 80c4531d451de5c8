import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import { DEMONSTRATION_CARDS } from "#core/plan/demonstration-plans";
import type { Store } from "#daemon/store/store";
import { type MaterialRevision, materialSchema } from "#shared/material";
import { cardSchema, type PlanRevision } from "#shared/plan";

/** What there is to choose from: the newest revisions. */
export interface CardsAndMaterials {
  readonly plans: PlanRevision[];
  readonly materials: MaterialRevision[];
}

/**
 * The newest revision of every card and material. A technician needs something to begin with, so a store without
 * materials is given those of the demonstration first, and one without cards its cards, all marked as such.
 */
export async function cardsToBeginWith(
  store: Pick<Store, "plans" | "materials">,
): Promise<CardsAndMaterials> {
  if ((await store.materials.newest()).length === 0)
    for (const material of DEMONSTRATION_MATERIALS)
      await store.materials.create(materialSchema.parse(material), true);
  const materials = await store.materials.newest();
  if ((await store.plans.newest()).length === 0) await addDemonstrationCards(store, materials);
  return { plans: await store.plans.newest(), materials };
}

async function addDemonstrationCards(
  { plans }: Pick<Store, "plans">,
  materials: readonly MaterialRevision[],
): Promise<void> {
  for (const { card, materialName } of DEMONSTRATION_CARDS) {
    const made = materials.find(({ material }) => material.name === materialName);
    await plans.create(cardSchema.parse({ ...card, materialId: made?.materialId ?? null }), true);
  }
}
