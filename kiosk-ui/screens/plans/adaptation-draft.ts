import { BAKE_ORDINALS, CASE_SIZES, FRAMEWORKS } from "#core/plan/bake-case";
import { PLAN_NUMBERS, type PlanNumber } from "#core/plan/card";
import { planNumber } from "#core/plan/plan-numbers";
import { conditionText, type FurnaceNames } from "#kiosk-ui/components/condition-text";
import { type CardDraft, newCooling } from "#kiosk-ui/screens/plans/card-draft";
import { type PlanQuantity, planQuantity } from "#kiosk-ui/screens/plans/change-text";
import { conditionKey } from "#kiosk-ui/screens/plans/condition-key";
import type { Adaptation, AdaptationCondition, PlanChange } from "#shared/plan";

/** A number that an adaptation may change, or the cooling. */
export type Changeable = PlanNumber | "cooling";

/** A first change of a number of its kind: the trade's small step, to be set as wanted (common practice, no source). */
const FIRST_SHIFTS: Readonly<Record<PlanQuantity, number>> = {
  temperature: -10,
  duration: 30,
  rate: -10,
  pressure: -10,
};

/** The conditions of a kind that can be chosen; of furnaces those that are known. */
export function conditionsOf(
  kind: AdaptationCondition["kind"],
  furnaces: FurnaceNames,
): readonly AdaptationCondition[] {
  switch (kind) {
    case "framework":
      return FRAMEWORKS.map((framework) => ({ kind, framework }));
    case "case-size":
      return CASE_SIZES.map((caseSize) => ({ kind, caseSize }));
    case "bake":
      return BAKE_ORDINALS.map((bake) => ({ kind, bake }));
    case "furnace":
      return furnaces.map(({ id }) => ({ kind, furnaceId: id }));
  }
}

/** The same as choices for a row of buttons; the value is the condition's key. */
export function conditionChoices(kind: AdaptationCondition["kind"], furnaces: FurnaceNames) {
  return conditionsOf(kind, furnaces).map((when) => ({
    when,
    value: conditionKey(when),
    name: conditionText(when, furnaces),
  }));
}

/** A new adaptation: the first condition that the card says nothing for yet, with one number changed. */
export function newAdaptation(card: CardDraft, furnaces: FurnaceNames): Adaptation {
  const taken = new Set(card.adaptations.map(({ when }) => conditionKey(when)));
  const all = (["case-size", "bake", "framework", "furnace"] as const).flatMap((kind) =>
    conditionsOf(kind, furnaces),
  );
  const preferred: AdaptationCondition = { kind: "case-size", caseSize: "large" };
  const when = [preferred, ...all].find((one) => !taken.has(conditionKey(one))) ?? preferred;
  return { when, changes: [newChange(card, "top")] };
}

/** What an adaptation does not change yet and the base plan has. */
export function changeablesLeft(card: CardDraft, { changes }: Adaptation): readonly Changeable[] {
  const taken = new Set(changes.map(changedNumber));
  const there = PLAN_NUMBERS.filter((number) => planNumber(card.plan, number) !== null);
  return ([...there, "cooling"] as const).filter((number) => !taken.has(number));
}

/** Which number a change is of. */
export function changedNumber(change: PlanChange): Changeable {
  return change.kind === "cooling" ? "cooling" : change.number;
}

/** A change to begin with. */
export function newChange(card: CardDraft, number: Changeable): PlanChange {
  if (number === "cooling")
    return { kind: "cooling", to: newCooling(card, card.plan.cooling.kind === "free" ? "steady" : "free") };
  return { kind: "shift", number, by: FIRST_SHIFTS[planQuantity(number)] };
}

/** The same change as a difference or as a value, giving the same plan. */
export function asKind(card: CardDraft, change: PlanChange, kind: "shift" | "set"): PlanChange {
  if (change.kind === "cooling" || change.kind === kind) return change;
  const base = planNumber(card.plan, change.number) ?? 0;
  return change.kind === "shift"
    ? { kind: "set", number: change.number, to: Math.max(0, base + change.by) }
    : { kind: "shift", number: change.number, by: change.to - base };
}

/** The adaptation with another change in the place of one, or added at the end. */
export function withChange(adaptation: Adaptation, index: number, change: PlanChange): Adaptation {
  const isNew = index >= adaptation.changes.length;
  return {
    ...adaptation,
    changes: isNew
      ? [...adaptation.changes, change]
      : adaptation.changes.map((old, at) => (at === index ? change : old)),
  };
}

/** The adaptation without one of its changes. */
export function withoutChange(adaptation: Adaptation, index: number): Adaptation {
  return { ...adaptation, changes: adaptation.changes.filter((_, at) => at !== index) };
}

/** The adaptation with what it rests on; none where that is empty. */
export function withBasis({ when, changes }: Adaptation, basis: string): Adaptation {
  return basis === "" ? { when, changes } : { when, changes, basis };
}
