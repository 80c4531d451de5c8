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
 * The newest revision of every card and material. A technician needs something to begin with, so an empty store
 * is given the demonstration cards with their materials first, marked as such.
 */
export async function cardsToBeginWith(
  store: Pick<Store, "plans" | "materials">,
): Promise<CardsAndMaterials> {
  if ((await store.plans.newest()).length === 0) await addDemonstrationCards(store);
  return { plans: await store.plans.newest(), materials: await store.materials.newest() };
}

async function addDemonstrationCards({
  plans,
  materials,
}: Pick<Store, "plans" | "materials">): Promise<void> {
  const ids = new Map(
    (await materials.newest()).map(({ material, materialId }) => [material.name, materialId]),
  );
  for (const material of DEMONSTRATION_MATERIALS)
    if (!ids.has(material.name))
      ids.set(material.name, (await materials.create(materialSchema.parse(material), true)).materialId);
  for (const { card, materialName } of DEMONSTRATION_CARDS)
    await plans.create(cardSchema.parse({ ...card, materialId: ids.get(materialName) ?? null }), true);
}
