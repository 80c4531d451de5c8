import { conditionName } from "#core/plan/adapt";
import { BAKE_ORDINALS, CASE_SIZES, FRAMEWORKS } from "#core/plan/bake-case";
import { planFindings } from "#core/plan/findings";
import { caseName, fitOf } from "#daemon/recording/fitted-plan";
import type { Store } from "#daemon/store/store";
import type { BakeCase } from "#shared/bake-case";
import type { Card } from "#shared/plan";

/** Every case that a card can be asked for; null fits nothing but the furnace. */
const CASES: readonly (BakeCase | null)[] = [
  null,
  ...FRAMEWORKS.flatMap((framework) =>
    CASE_SIZES.flatMap((caseSize) => BAKE_ORDINALS.map((bake) => ({ framework, caseSize, bake }))),
  ),
];

/**
 * Why a card cannot be saved, in one line; null when it can. It is fitted to every case, on every furnace that
 * it knows and on another, so that what contradicts itself is found at the desk and not at the furnace. Its
 * limits are none of that: they are there to refuse single cases.
 */
export async function cardRefusal(
  card: Card,
  { materials }: Pick<Store, "materials">,
): Promise<string | null> {
  const { materialId } = card;
  const base = planFindings(card.plan).find((finding) => finding.refuses);
  if (base) return `This plan cannot be fired: ${base.sentence}.`;
  if (materialId !== null && !(await materials.get(materialId)))
    return `There is no material ${materialId}. Choose another, or none.`;
  return unfitCase(card);
}

function unfitCase(card: Card): string | null {
  for (const furnaceId of furnacesOf(card))
    for (const bakeCase of CASES) {
      const fit = fitOf(card, bakeCase, furnaceId);
      if (!fit.ok) return `This card cannot be fired for ${nameOf(bakeCase, furnaceId)}: ${fit.sentence}.`;
    }
  return null;
}

function furnacesOf({ adaptations }: Card): (string | null)[] {
  const named = adaptations.flatMap(({ when }) => (when.kind === "furnace" ? [when.furnaceId] : []));
  return [null, ...new Set(named)];
}

function nameOf(bakeCase: BakeCase | null, furnaceId: string | null): string {
  const what = bakeCase ? caseName(bakeCase) : "any case";
  return furnaceId === null ? what : `${what} on ${conditionName({ kind: "furnace", furnaceId })}`;
}
