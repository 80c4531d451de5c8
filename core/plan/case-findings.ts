import type { Material } from "#core/heat/material";
import type { BakeCase } from "#core/plan/bake-case";
import type { Card } from "#core/plan/card";
import type { PlanFinding } from "#core/plan/findings";
import type { Plan } from "#core/plan/plan";

/** What a plan for a case is held against. What is null is not known. */
export interface CaseKnowledge {
  readonly card: Card;
  readonly bakeCase: BakeCase | null;
  readonly material: Material | null;
  /** The steepest whole climb that the furnace has made, K/min. */
  readonly fastestClimbKelvinPerMinute: number | null;
}

/** What is wrong with an effective plan in itself, and for its case, material and furnace. */
export function caseFindings(_plan: Plan, _knowledge: CaseKnowledge): PlanFinding[] {
  throw new Error("not written yet");
}
