import { flowLengthMicrometres } from "#core/heat/flow-length";
import { curveEquivalentSeconds } from "#core/heat/heat-work";
import type { Material } from "#core/heat/material";
import { usualWare, wareTrace } from "#core/heat/ware";
import { applyingAdaptations, effectivePlan } from "#core/plan/adapt";
import type { BakeCase } from "#core/plan/bake-case";
import type { AdaptationCondition, Card } from "#core/plan/card";
import { type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds, setpointCurve } from "#core/plan/setpoint";

/** What a plan is worth. Free cooling is left out: nobody planned it. */
export interface PlanWorth {
  /** From the start of drying to the end of what is planned, s. */
  readonly lengthSeconds: number;
  /** Of the chamber, s at the base plan's top temperature. */
  readonly chamberEquivalentSeconds: number;
  /** Of the usual ware of the case; null without a case. An estimate. */
  readonly wareEquivalentSeconds: number | null;
  /** Of the chamber; null without a material that states its viscosity. */
  readonly flowLengthMicrometres: number | null;
}

/** What one adaptation does to the plan that the ones before it left. */
export interface AdaptationEffect {
  readonly when: AdaptationCondition;
  readonly basis: string | null;
  readonly before: PlanWorth;
  readonly after: PlanWorth;
}

/** A card's base plan, what each adaptation does to it in turn, and what comes out. */
export interface AdaptationEffects {
  readonly base: PlanWorth;
  readonly steps: readonly AdaptationEffect[];
  readonly effective: PlanWorth;
}

/** By what the worth of a plan is reckoned. */
export interface WorthSettings {
  readonly activationEnergyJoulesPerMole: number;
  readonly material: Pick<Material, "viscosity" | "surfaceTensionNewtonsPerMetre"> | null;
}

/**
 * What each adaptation of a card does to length, heat work and flow length, one after the other, so that the
 * ratios multiply to the whole. Seconds of heat work are counted at the base plan's top all along. The share of
 * each is told in the order in which adaptations are listed; another order would divide the same whole slightly
 * otherwise. Where some of them only make a plan together with the next one, both are told with the latter.
 * @returns null when the card gives no plan for the case
 */
export function adaptationEffects(
  card: Card,
  bakeCase: BakeCase | null,
  furnaceId: string | null,
  settings: WorthSettings,
): AdaptationEffects | null {
  if (!effectivePlan(card, bakeCase, furnaceId).ok) return null;
  const worth = (plan: Plan) => planWorth(plan, topCelsius(card.plan), bakeCase, settings);
  const base = worth(card.plan);
  const steps: AdaptationEffect[] = [];
  let before = base;
  const applying = applyingAdaptations(card, bakeCase, furnaceId);
  for (const [index, { when, basis }] of applying.entries()) {
    const soFar = effectivePlan({ ...card, adaptations: applying.slice(0, index + 1) }, bakeCase, furnaceId);
    if (!soFar.ok) continue;
    const after = worth(soFar.plan);
    steps.push({ when, basis: basis ?? null, before, after });
    before = after;
  }
  return { base, steps, effective: before };
}

/**
 * What a plan is worth for a case.
 * @param referenceCelsius  where the seconds of heat work are counted, °C
 */
export function planWorth(
  plan: Plan,
  referenceCelsius: number,
  bakeCase: BakeCase | null,
  { activationEnergyJoulesPerMole, material }: WorthSettings,
): PlanWorth {
  const curve = setpointCurve(plan);
  const kinetics = { activationEnergyJoulesPerMole, referenceCelsius };
  return {
    lengthSeconds: planLengthSeconds(plan),
    chamberEquivalentSeconds: curveEquivalentSeconds(curve, kinetics),
    wareEquivalentSeconds: bakeCase
      ? curveEquivalentSeconds(wareTrace(sampledCurve(plan), usualWare(bakeCase)), kinetics)
      : null,
    flowLengthMicrometres: material && flowLengthMicrometres(curve, material),
  };
}

/** Steps in which the ware follows a planned curve, s; longer in a plan that no furnace would fire to its end. */
const STEP_SECONDS = 5;
const MOST_STEPS = 50_000;

/** A planned curve with points close enough together to follow a ware along it. */
export function sampledCurve(plan: Plan): { atSeconds: number; celsius: number }[] {
  const corners = setpointCurve(plan);
  const stepSeconds = Math.max(STEP_SECONDS, planLengthSeconds(plan) / MOST_STEPS);
  return corners.flatMap((to, index) => {
    const from = corners[index - 1];
    if (!from) return [to];
    const steps = Math.max(1, Math.ceil((to.atSeconds - from.atSeconds) / stepSeconds));
    return Array.from({ length: steps }, (_, step) => {
      const share = (step + 1) / steps;
      return {
        atSeconds: from.atSeconds + share * (to.atSeconds - from.atSeconds),
        celsius: from.celsius + share * (to.celsius - from.celsius),
      };
    });
  });
}
