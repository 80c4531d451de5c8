import type { BakeOrdinal, CaseSize, Framework } from "#core/plan/bake-case";
import type { Cooling, Plan } from "#core/plan/plan";

/** When an adaptation applies. */
export type AdaptationCondition =
  | { readonly kind: "framework"; readonly framework: Framework }
  | { readonly kind: "case-size"; readonly caseSize: CaseSize }
  | { readonly kind: "bake"; readonly bake: BakeOrdinal }
  | { readonly kind: "furnace"; readonly furnaceId: string };

/**
 * A number of a plan that an adaptation may change, with its unit:
 *
 *     drying, closing, low-hold, top-hold   s      top-hold: the hold at the plan's highest temperature
 *     low, top, vacuum-on                   °C     top: the highest temperature, wherever it stands
 *     climb-rate                            K/min  of the climb to the top
 *     vacuum-level                          hPa
 */
export type PlanNumber =
  | "drying"
  | "closing"
  | "low"
  | "low-hold"
  | "climb-rate"
  | "top"
  | "top-hold"
  | "vacuum-on"
  | "vacuum-level";

export const PLAN_NUMBERS: readonly PlanNumber[] = [
  "drying",
  "closing",
  "low",
  "low-hold",
  "climb-rate",
  "top",
  "top-hold",
  "vacuum-on",
  "vacuum-level",
];

/** One change of one number: more or less than the base plan's, or this instead of it; or another cooling. */
export type PlanChange =
  | { readonly kind: "shift"; readonly number: PlanNumber; readonly by: number }
  | { readonly kind: "set"; readonly number: PlanNumber; readonly to: number }
  | { readonly kind: "cooling"; readonly to: Cooling };

/** What a card changes in its base plan under one condition. */
export interface Adaptation {
  readonly when: AdaptationCondition;
  readonly changes: readonly PlanChange[];
  /** What it rests on, in words: "common practice, no source", "dial-in of 3 November". */
  readonly basis?: string | undefined;
}

/** The highest temperature that a framework bears by its maker's instructions, °C. */
export interface FrameworkLimit {
  readonly framework: Framework;
  readonly topCelsius: number;
}

/** A base plan with what changes for a framework, a case size, the number of the bake, and a furnace. */
export interface Card {
  readonly plan: Plan;
  readonly adaptations: readonly Adaptation[];
  readonly limits: readonly FrameworkLimit[];
}
