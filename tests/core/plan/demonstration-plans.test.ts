import { describe, expect, it } from "vitest";
import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import { effectivePlan } from "#core/plan/adapt";
import { BAKE_ORDINALS, type BakeCase, CASE_SIZES, FRAMEWORKS } from "#core/plan/bake-case";
import { caseFindings } from "#core/plan/case-findings";
import { DEMONSTRATION_CARDS, DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { planFindings } from "#core/plan/findings";
import { legs, type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds } from "#core/plan/setpoint";
import { cardSchema, planSchema } from "#shared/plan";

describe("the demonstration plans", () => {
  it.each(DEMONSTRATION_PLANS)("have nothing wrong: $name", (plan) => {
    expect(planFindings(plan)).toEqual([]);
    expect(planSchema.parse(plan)).toEqual(plan);
  });

  it("have different names, each marked as a demonstration", () => {
    const names = DEMONSTRATION_PLANS.map((plan) => plan.name);
    expect(new Set(names).size).toBe(names.length);
    for (const name of names) expect(name).toMatch(/^Demo /);
  });

  it("take 20 to 25 minutes door to door for a full higher-firing cycle", () => {
    // Common practice, no source. The cooling is led, so that the plan knows its own end.
    const plan = named("Demo build-up, higher-firing");
    expect(plan.cooling.kind).toBe("steady");
    expect(planLengthSeconds(plan) / 60).toBeGreaterThanOrEqual(20);
    expect(planLengthSeconds(plan) / 60).toBeLessThanOrEqual(25);
  });

  // Common practice, no source: what the trade says of each case, checked on the plan that the card gives for it.
  // biome-ignore format: a table reads in columns
  it.each([
    { name: "Demo build-up, standard",      framework: "zirconia",           caseSize: "small",  bake: "first",      top: 710, rate: 45, hold: 60, low: 510 },
    { name: "Demo build-up, higher-firing", framework: "zirconia",           caseSize: "small",  bake: "first",      top: 760, rate: 45, hold: 60, low: 510 },
    { name: "Demo build-up, higher-firing", framework: "metal",              caseSize: "medium", bake: "first",      top: 760, rate: 40, hold: 60, low: 510 },
    { name: "Demo build-up, higher-firing", framework: "zirconia",           caseSize: "large",  bake: "first",      top: 750, rate: 35, hold: 60, low: 510 },
    { name: "Demo build-up, higher-firing", framework: "zirconia",           caseSize: "small",  bake: "second",     top: 760, rate: 45, hold: 10, low: 510 },
    { name: "Demo build-up, higher-firing", framework: "zirconia",           caseSize: "small",  bake: "correction", top: 750, rate: 45, hold: 60, low: 510 },
    { name: "Demo build-up, higher-firing", framework: "lithium-disilicate", caseSize: "small",  bake: "first",      top: 770, rate: 50, hold: 60, low: 530 },
    { name: "Demo build-up, higher-firing", framework: "lithium-disilicate", caseSize: "large",  bake: "second",     top: 760, rate: 40, hold: 10, low: 530 },
  ] as const)("fire a $caseSize $framework $bake bake of $name to $top °C at $rate K/min for $hold s", ({ name, framework, caseSize, bake, top, rate, hold, low }) => {
    const plan = planFor(name, { framework, caseSize, bake });
    const [leg] = legs(plan);
    expect([topCelsius(plan), leg?.kelvinPerMinute, leg?.holdSeconds]).toEqual([top, rate, hold]);
    expect([plan.lowCelsius, plan.vacuum?.onAtCelsius]).toEqual([low, low]);
  });

  it("hold a glaze in air on the way up", () => {
    const plan = named("Demo glaze in air, two climbs");
    expect(plan.vacuum).toBeUndefined();
    expect(legs(plan).map((leg) => leg.holdSeconds > 0)).toEqual([true, true]);
  });
});

describe("the demonstration cards", () => {
  it.each(DEMONSTRATION_CARDS)("are cards as others have them: $card.plan.name", ({ card, materialName }) => {
    expect(cardSchema.parse(card)).toEqual({ ...card, materialId: null });
    expect(DEMONSTRATION_MATERIALS.map(({ name }) => name)).toContain(materialName);
  });

  it("say of every adaptation that no source stands behind it", () => {
    const bases = DEMONSTRATION_CARDS.flatMap(({ card }) => card.adaptations.map(({ basis }) => basis));
    expect(bases.length).toBeGreaterThan(0);
    for (const basis of bases) expect(basis).toMatch(/^common practice, no source/);
  });

  it("give a plan without findings for every case there is", () => {
    for (const { card, materialName } of DEMONSTRATION_CARDS)
      for (const bakeCase of CASES) {
        const material = DEMONSTRATION_MATERIALS.find(({ name }) => name === materialName) ?? null;
        const plan = planFor(card.plan.name, bakeCase);
        const findings = caseFindings(plan, { card, bakeCase, material, fastestClimbKelvinPerMinute: null });
        expect({ bakeCase, findings }).toEqual({ bakeCase, findings: [] });
      }
  });
});

const CASES: readonly BakeCase[] = FRAMEWORKS.flatMap((framework) =>
  CASE_SIZES.flatMap((caseSize) => BAKE_ORDINALS.map((bake) => ({ framework, caseSize, bake }))),
);

function planFor(name: string, bakeCase: BakeCase): Plan {
  const found = DEMONSTRATION_CARDS.find(({ card }) => card.plan.name === name);
  if (!found) throw new RangeError(`no demonstration card is named ${name}`);
  const effective = effectivePlan(found.card, bakeCase, null);
  if (!effective.ok) throw new RangeError(effective.refusals.map(({ sentence }) => sentence).join("; "));
  return effective.plan;
}

function named(name: string): Plan {
  const plan = DEMONSTRATION_PLANS.find((candidate) => candidate.name === name);
  if (!plan) throw new RangeError(`no demonstration plan is named ${name}`);
  return plan;
}
