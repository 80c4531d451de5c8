import { effectivePlan } from "#core/plan/adapt";
import { topCelsius } from "#core/plan/plan";
import { planNumber } from "#core/plan/plan-numbers";
import { planLengthSeconds } from "#core/plan/setpoint";
import { durationText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import type { CardChoice } from "#kiosk-ui/screens/begin/kiosk-card-list";
import { words } from "#kiosk-ui/words";
import type { BakeCase } from "#shared/bake-case";
import type { PlanRevision } from "#shared/plan";

/** A card as the list shows it, with what it would fire for a case. */
export function cardChoice(
  card: PlanRevision,
  bakeCase: BakeCase | null,
  furnaceId: string,
  unit: TemperatureUnit,
): CardChoice {
  return { planId: card.planId, name: card.plan.name, facts: cardFacts(card, bakeCase, furnaceId, unit) };
}

/** What a card would fire for a case, in one line: "754 °C, hold 0:10 · 22:59". */
export function cardFacts(
  card: PlanRevision,
  bakeCase: BakeCase | null,
  furnaceId: string,
  unit: TemperatureUnit,
): string {
  const fit = effectivePlan(card, bakeCase, furnaceId);
  if (!fit.ok) return beginWords.noPlan;
  const hold = durationText(planNumber(fit.plan, "top-hold") ?? 0);
  const top = temperatureWithUnit(topCelsius(fit.plan), unit);
  return `${top}, ${words.plans.hold} ${hold} · ${durationText(planLengthSeconds(fit.plan))}`;
}
