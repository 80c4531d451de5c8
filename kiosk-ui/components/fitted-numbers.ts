import { planNumber } from "#core/plan/plan-numbers";
import { planTable } from "#kiosk-ui/components/plan-facts";
import { durationText, rateText, type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import { words } from "#kiosk-ui/words";
import type { BakePlan, NumberSource } from "#shared/plan";

/** Under which word of a plan's table a number stands. */
const PLACES: Readonly<Record<NumberSource["number"], string>> = {
  drying: words.plans.drying,
  closing: words.plans.drying,
  low: words.plans.low,
  "low-hold": words.plans.low,
  "climb-rate": words.plans.climb,
  top: words.plans.climb,
  "top-hold": words.plans.hold,
  "vacuum-on": words.plans.vacuum,
  "vacuum-level": words.plans.vacuum,
  cooling: words.plans.cooling,
};

/**
 * The numbers of a plan that its card changed for the case, as they are to be set: "climb 35 K/min to 760 °C,
 * hold 0:10"; empty where the card changed none. Of several climbs and holds a card changes those at the top.
 */
export function fittedNumbers(
  { plan, sources }: Pick<BakePlan, "plan" | "sources">,
  unit: TemperatureUnit,
): string {
  const rate = rateText(planNumber(plan, "climb-rate") ?? 0, unit);
  const told = new Map(planTable(plan, unit))
    .set(words.plans.climb, `${rate} to ${temperatureWithUnit(planNumber(plan, "top") ?? 0, unit)}`)
    .set(words.plans.hold, durationText(planNumber(plan, "top-hold") ?? 0));
  const changed = sources.filter(({ parts }) => parts.length > 0).map(({ number }) => PLACES[number]);
  return [...new Set(changed)].map((word) => `${word} ${told.get(word)}`).join(", ");
}
