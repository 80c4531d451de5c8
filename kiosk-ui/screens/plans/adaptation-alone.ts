import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { type AdaptationEffect, adaptationEffects, type WorthSettings } from "#core/plan/adaptation-effects";
import type { BakeCase } from "#core/plan/bake-case";
import type { Adaptation, AdaptationCondition, Card } from "#core/plan/card";
import type { MaterialRevision } from "#shared/material";
import type { Card as SharedCard } from "#shared/plan";

/** The case that effects are reckoned for where nobody has said one (our own choice). */
export const USUAL_CASE: BakeCase = { framework: "zirconia", caseSize: "medium", bake: "first" };

/** The usual case, changed so that a condition applies. */
export function caseOf(when: AdaptationCondition): BakeCase {
  switch (when.kind) {
    case "framework":
      return { ...USUAL_CASE, framework: when.framework };
    case "case-size":
      return { ...USUAL_CASE, caseSize: when.caseSize };
    case "bake":
      return { ...USUAL_CASE, bake: when.bake };
    case "furnace":
      return USUAL_CASE;
  }
}

/**
 * What one adaptation does to the base plan when no other applies.
 * @returns null where it gives no plan that can be fired
 */
export function adaptationAlone(
  card: Card,
  adaptation: Adaptation,
  settings: WorthSettings,
): AdaptationEffect | null {
  const { when } = adaptation;
  const furnaceId = when.kind === "furnace" ? when.furnaceId : null;
  const alone = { ...card, adaptations: [adaptation] };
  return adaptationEffects(alone, caseOf(when), furnaceId, settings)?.steps[0] ?? null;
}

/** True where an adaptation's effects compare a cooling that is counted with one that is not. */
export function isOtherCooling({ plan }: Card, { changes }: Adaptation): boolean {
  return changes.some((change) => change.kind === "cooling" && change.to.kind !== plan.cooling.kind);
}

/** The material of a card; null where none is said or it is not here. */
export function materialOf(
  { materialId }: Pick<SharedCard, "materialId">,
  materials: readonly MaterialRevision[],
): MaterialRevision | null {
  return materials.find((material) => material.materialId === materialId) ?? null;
}

/** By what the worth of a card's plans is reckoned: its material, or a middling energy without one. */
export function worthSettingsOf(
  card: Pick<SharedCard, "materialId">,
  materials: readonly MaterialRevision[],
): WorthSettings {
  const material = materialOf(card, materials)?.material ?? null;
  return {
    activationEnergyJoulesPerMole:
      material?.activationEnergyJoulesPerMole ?? DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE,
    material,
  };
}
