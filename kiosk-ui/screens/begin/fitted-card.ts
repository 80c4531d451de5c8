import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { fittingHolds, type LayerAccount, type LayerForecast, layerForecasts } from "#core/heat/layer-ledger";
import { ledgerSentences } from "#core/heat/ledger-words";
import type { Material } from "#core/heat/material";
import { type AdaptationRefusal, effectivePlan, type NumberSource } from "#core/plan/adapt";
import { type AdaptationEffects, adaptationEffects } from "#core/plan/adaptation-effects";
import { caseFindings } from "#core/plan/case-findings";
import type { PlanFinding } from "#core/plan/findings";
import type { Plan } from "#core/plan/plan";
import type { TemperatureUnit } from "#kiosk-ui/format";
import type { BakeCase } from "#shared/bake-case";
import type { PlanRevision } from "#shared/plan";

/** A card fitted to a case, with all that is said of it; or why it gives no plan. */
export type FittedCard =
  | { readonly ok: false; readonly refusals: readonly AdaptationRefusal[] }
  | {
      readonly ok: true;
      readonly plan: Plan;
      readonly sources: readonly NumberSource[];
      readonly findings: readonly PlanFinding[];
      readonly effects: AdaptationEffects | null;
      readonly activationEnergyJoulesPerMole: number;
      readonly forecasts: readonly LayerForecast[];
      readonly sentences: readonly string[];
    };

/** What a card is fitted to. */
export interface FittingGround {
  /** Null fires the base plan. */
  readonly case: BakeCase | null;
  readonly furnaceId: string;
  /** Of the card; null where it names none. */
  readonly material: Material | null;
  /** The furnace's steepest whole climb, K/min; null where none is known. */
  readonly fastestClimbKelvinPerMinute: number | null;
  /** How fast the furnace falls from the top by itself, K/min. */
  readonly coolingKelvinPerMinute: number;
  /** The layers that the job has already. */
  readonly accounts: readonly LayerAccount[];
  readonly newLayers: readonly Pick<LayerAccount, "name" | "material">[];
  readonly unit: TemperatureUnit;
}

/** A card for what goes in: its effective plan, what the adaptations do, and what it would make of the layers. */
export function fittedCard(card: PlanRevision, ground: FittingGround): FittedCard {
  const { case: bakeCase, furnaceId, material, accounts, newLayers, coolingKelvinPerMinute } = ground;
  const effective = effectivePlan(card, bakeCase, furnaceId);
  if (!effective.ok) return effective;
  const { plan, sources } = effective;
  const activationEnergyJoulesPerMole =
    material?.activationEnergyJoulesPerMole ?? DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE;
  const forecasts = layerForecasts(accounts, newLayers, plan, coolingKelvinPerMinute);
  const holds = fittingHolds(accounts, newLayers, plan, coolingKelvinPerMinute);
  return {
    ok: true,
    plan,
    sources,
    findings: caseFindings(plan, {
      card,
      bakeCase,
      material,
      fastestClimbKelvinPerMinute: ground.fastestClimbKelvinPerMinute,
    }),
    effects: adaptationEffects(card, bakeCase, furnaceId, { activationEnergyJoulesPerMole, material }),
    activationEnergyJoulesPerMole,
    forecasts,
    sentences: ledgerSentences(forecasts, holds, plan, ground.unit),
  };
}
