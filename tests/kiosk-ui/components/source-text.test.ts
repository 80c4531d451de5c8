import { describe, expect, it } from "vitest";
import { effectivePlan, type NumberSource } from "#core/plan/adapt";
import type { Adaptation, AdaptationCondition, PlanChange, PlanNumber } from "#core/plan/card";
import { sourceText } from "#kiosk-ui/components/source-text";
import { madeUpPlans } from "#tests/helpers/made-up-bakes";

const LARGE: AdaptationCondition = { kind: "case-size", caseSize: "large" };
const SECOND: AdaptationCondition = { kind: "bake", bake: "second" };
const LITHIUM: AdaptationCondition = { kind: "framework", framework: "lithium-disilicate" };
const FURNACE: AdaptationCondition = { kind: "furnace", furnaceId: "furnace-1" };

const shift = (when: AdaptationCondition, number: PlanNumber, by: number): Adaptation => ({
  when,
  changes: [{ kind: "shift", number, by }],
});
const set = (when: AdaptationCondition, number: PlanNumber, to: number): Adaptation => ({
  when,
  changes: [{ kind: "set", number, to }],
});

/** The source of a number of the first made-up plan (760 °C, 35 K/min, hold 1:00, 45 hPa) under adaptations. */
function source(number: NumberSource["number"], adaptations: readonly Adaptation[]): NumberSource {
  const plan = madeUpPlans()[0]?.plan;
  if (!plan) throw new Error("no plan");
  const bakeCase = { framework: "lithium-disilicate", caseSize: "large", bake: "second" } as const;
  const fit = effectivePlan({ plan, adaptations, limits: [] }, bakeCase, "furnace-1");
  const found = fit.ok ? fit.sources.find((each) => each.number === number) : undefined;
  if (!found) throw new Error(`no source of ${number}`);
  return found;
}

describe("where a number comes from", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { number: "top",          adaptations: [],                                                       says: "" },
    { number: "top",          adaptations: [shift(LARGE, "top", -10), shift(FURNACE, "top", 4)],     says: "760 from the card, −10 large case, +4 this furnace" },
    { number: "top-hold",     adaptations: [set(SECOND, "top-hold", 10)],                            says: "0:10 second bake, instead of 1:00" },
    { number: "top-hold",     adaptations: [set(SECOND, "top-hold", 10), shift(LARGE, "top-hold", 5)], says: "0:10 second bake, instead of 1:00, +0:05 large case" },
    { number: "top-hold",     adaptations: [shift(SECOND, "top-hold", -50)],                         says: "1:00 from the card, −0:50 second bake" },
    { number: "climb-rate",   adaptations: [shift(LARGE, "climb-rate", -10)],                        says: "35 from the card, −10 large case" },
    { number: "low",          adaptations: [shift(LITHIUM, "low", 20)],                              says: "510 from the card, +20 lithium disilicate" },
    { number: "vacuum-level", adaptations: [shift(LITHIUM, "vacuum-level", -5)],                     says: "45\u00a0hPa from the card, −5 lithium disilicate" },
  ] as const)("of $number with $adaptations.length adaptations reads “$says”", ({ number, adaptations, says }) => {
    expect(sourceText(source(number, adaptations), "celsius")).toBe(says);
  });

  // 1.8 °F are 1 K, and only a point on the scale has an offset
  it("is told in °F with differences that have no offset", () => {
    const told = (number: NumberSource["number"], adaptation: Adaptation) =>
      sourceText(source(number, [adaptation]), "fahrenheit");
    expect(told("top", shift(LARGE, "top", -10))).toBe("1400 from the card, −18 large case");
    expect(told("climb-rate", shift(LARGE, "climb-rate", -10))).toBe("63 from the card, −18 large case");
  });

  it("names only the condition for another cooling", () => {
    const cooling: PlanChange = { kind: "cooling", to: { kind: "free", openAtCelsius: 600 } };
    const adapted = source("cooling", [{ when: LARGE, changes: [cooling] }]);
    expect(sourceText(adapted, "celsius")).toBe("for the large case");
  });
});
