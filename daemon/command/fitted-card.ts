import type { EffectivePlan } from "#core/plan/adapt";
import type { AdaptationEffects, PlanWorth } from "#core/plan/adaptation-effects";
import type { BakeCase } from "#core/plan/bake-case";
import type { PlanFinding } from "#core/plan/findings";
import type { ReadCard } from "#daemon/command/card-file";

/** What a card gives for a case, ready to be told. */
export interface FittedCard extends ReadCard {
  readonly bakeCase: BakeCase | null;
  readonly furnaceId: string | null;
  readonly activationEnergyJoulesPerMole: number;
  readonly effective: EffectivePlan;
  /** Empty where the card refuses. */
  readonly findings: readonly PlanFinding[];
  /** Null where the card refuses. */
  readonly effects: AdaptationEffects | null;
}

/** True when a card gives a plan for the case, and nothing refuses that. */
export function isFirable({ effective, findings }: Pick<FittedCard, "effective" | "findings">): boolean {
  return effective.ok && !findings.some(({ refuses }) => refuses);
}

/** How many times as much of each a plan is worth; null where there is nothing to compare. */
export function worthRatios(
  before: PlanWorth,
  after: PlanWorth,
): Record<"chamber" | "ware" | "flowLength", number | null> {
  return {
    chamber: ratio(before.chamberEquivalentSeconds, after.chamberEquivalentSeconds),
    ware: ratio(before.wareEquivalentSeconds, after.wareEquivalentSeconds),
    flowLength: ratio(before.flowLengthMicrometres, after.flowLengthMicrometres),
  };
}

function ratio(before: number | null, after: number | null): number | null {
  return before !== null && after !== null && before > 0 ? after / before : null;
}
