import { it } from "@fast-check/vitest";
import fc from "fast-check";
import { describe, expect } from "vitest";
import {
  type AdaptationRefusal,
  applyingAdaptations,
  conditionName,
  type EffectivePlan,
  effectivePlan,
  PLAN_NUMBER_NAMES,
} from "#core/plan/adapt";
import type { BakeCase } from "#core/plan/bake-case";
import { type Adaptation, type Card, PLAN_NUMBERS, type PlanChange, type PlanNumber } from "#core/plan/card";
import type { Plan } from "#core/plan/plan";
import { planNumber, withPlanNumber } from "#core/plan/plan-numbers";
import { planSchema } from "#shared/plan";
import { plans } from "#tests/helpers/arbitraries";

const base: Plan = {
  name: "base",
  dryingSeconds: 360,
  closingSeconds: 180,
  lowCelsius: 510,
  lowHoldSeconds: 60,
  steps: [
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
    { kind: "hold", seconds: 60 },
  ],
  vacuum: { onAtCelsius: 510, levelHectopascals: 60, release: { kind: "at-temperature", celsius: 755 } },
  cooling: { kind: "free", openAtCelsius: 650 },
};

const largeSecond: BakeCase = { framework: "zirconia", caseSize: "large", bake: "second" };

const large = (...changes: PlanChange[]): Adaptation => ({
  when: { kind: "case-size", caseSize: "large" },
  changes,
});
const second = (...changes: PlanChange[]): Adaptation => ({
  when: { kind: "bake", bake: "second" },
  changes,
});
const onZirconia = (...changes: PlanChange[]): Adaptation => ({
  when: { kind: "framework", framework: "zirconia" },
  changes,
});
const inFurnace = (...changes: PlanChange[]): Adaptation => ({
  when: { kind: "furnace", furnaceId: "one" },
  changes,
});
const shift = (number: PlanNumber, by: number): PlanChange => ({ kind: "shift", number, by });
const set = (number: PlanNumber, to: number): PlanChange => ({ kind: "set", number, to });

function card(...adaptations: Adaptation[]): Card {
  return { plan: base, adaptations, limits: [] };
}

function isPlan(plan: Plan): boolean {
  return planSchema.safeParse(plan).success;
}

function planOf(effective: EffectivePlan): Plan {
  if (effective.ok) return effective.plan;
  throw new RangeError(`refused: ${effective.refusals.map(({ sentence }) => sentence).join("; ")}`);
}

function refusalsOf(effective: EffectivePlan): readonly AdaptationRefusal[] {
  if (!effective.ok) return effective.refusals;
  throw new RangeError("requires a card that refuses");
}

const topShifted = card(
  large(shift("top", -10), shift("climb-rate", -10)),
  inFurnace(shift("top", 4)),
  second(set("top-hold", 10)),
);

describe("the effective plan", () => {
  it("is the base plan itself where no adaptation applies", () => {
    const smallFirst: BakeCase = { framework: "metal", caseSize: "small", bake: "first" };
    expect(effectivePlan(topShifted, smallFirst, "two")).toMatchObject({ ok: true, plan: base });
    expect(planOf(effectivePlan(topShifted, null, null))).toBe(base);
  });

  it.prop([plans(), cases()])("is any base plan where the card has no adaptation", (plan, bakeCase) => {
    expect(planOf(effectivePlan({ plan, adaptations: [], limits: [] }, bakeCase, "one"))).toBe(plan);
  });

  it("says where each number came from", () => {
    const effective = effectivePlan(topShifted, largeSecond, "one");
    if (!effective.ok) throw new RangeError("refused");
    const top = effective.sources.find(({ number }) => number === "top");
    expect(top).toMatchObject({ base: 760, value: 754 });
    expect(top?.parts.map(({ when, change }) => [conditionName(when), change])).toEqual([
      ["large case", shift("top", -10)],
      ["furnace one", shift("top", 4)],
    ]);
    const hold = effective.sources.find(({ number }) => number === "top-hold");
    expect(hold).toMatchObject({ base: 60, value: 10 });
    expect(effective.plan.steps).toEqual([
      { kind: "climb", toCelsius: 754, kelvinPerMinute: 35 },
      { kind: "hold", seconds: 10 },
    ]);
  });

  it("adds the shifts of one number, on what is set where something is set", () => {
    const added = planOf(
      effectivePlan(card(large(shift("drying", 60)), second(shift("drying", -20))), largeSecond, null),
    );
    expect(added.dryingSeconds).toBe(400);
    const onSet = planOf(
      effectivePlan(card(large(set("drying", 100)), second(shift("drying", -20))), largeSecond, null),
    );
    expect(onSet.dryingSeconds).toBe(80);
  });

  it("changes the climb and hold of the base plan's top, even where the top comes down below another climb", () => {
    const twoClimbs: Plan = {
      ...base,
      steps: [
        { kind: "climb", toCelsius: 755, kelvinPerMinute: 60 },
        { kind: "hold", seconds: 5 },
        ...base.steps,
      ],
    };
    const both = large(shift("top", -10), shift("top-hold", -20), shift("climb-rate", -15));
    const effective = effectivePlan({ ...card(both), plan: twoClimbs }, largeSecond, null);
    expect(planOf(effective).steps).toEqual([
      { kind: "climb", toCelsius: 755, kelvinPerMinute: 60 },
      { kind: "hold", seconds: 5 },
      { kind: "climb", toCelsius: 750, kelvinPerMinute: 30 },
      { kind: "hold", seconds: 40 },
    ]);
  });

  it("keeps the end of the vacuum as far below the top as it was", () => {
    expect(planOf(effectivePlan(topShifted, largeSecond, "one")).vacuum).toEqual({
      onAtCelsius: 510,
      levelHectopascals: 60,
      release: { kind: "at-temperature", celsius: 749 },
    });
  });

  it("begins no vacuum in a plan without one", () => {
    const { vacuum: _, ...inAir } = base;
    const effective = effectivePlan(
      { ...card(large(set("vacuum-on", 500))), plan: inAir },
      largeSecond,
      null,
    );
    expect(planOf(effective)).toEqual(inAir);
  });

  it("takes another cooling, told among the sources", () => {
    const slow = { kind: "steady", toCelsius: 600, kelvinPerMinute: 20 } as const;
    const effective = effectivePlan(card(large({ kind: "cooling", to: slow })), largeSecond, null);
    if (!effective.ok) throw new RangeError("refused");
    expect(effective.plan.cooling).toEqual(slow);
    expect(effective.sources.at(-1)).toMatchObject({ number: "cooling", parts: [{ change: { to: slow } }] });
  });

  it.prop([cards(), cases(), fc.nat()])(
    "is the same in whatever order a card lists its adaptations",
    (any, bakeCase, seed) => {
      const shuffled = { ...any, adaptations: shuffle(any.adaptations, seed) };
      const one = effectivePlan(any, bakeCase, "one");
      const other = effectivePlan(shuffled, bakeCase, "one");
      expect(other.ok).toBe(one.ok);
      if (one.ok && other.ok) {
        expect(other.plan).toEqual(one.plan);
        expect(values(other)).toEqual(values(one));
      } else expect(refused(other)).toEqual(refused(one));
    },
  );

  it.prop([cards(), cases()])("has the sum of its parts in each number, cut to nothing", (any, bakeCase) => {
    const effective = effectivePlan(any, bakeCase, "one");
    if (!effective.ok) return;
    for (const { number, base: from, parts, value } of effective.sources) {
      if (number === "cooling" || value === null) continue;
      const sets = parts.flatMap(({ change }) => (change.kind === "set" ? [change.to] : []));
      const shifts = parts.map(({ change }) => (change.kind === "shift" ? change.by : 0));
      expect(value).toBeCloseTo((sets[0] ?? from ?? 0) + shifts.reduce((sum, by) => sum + by, 0), 5);
      expect(planNumber(effective.plan, number)).toBe(value);
    }
  });

  it.prop([cards(), cases()])(
    "is one of many parts only where these do not contradict each other",
    (any, bakeCase) => {
      const effective = effectivePlan(any, bakeCase, "one");
      const changes = applyingAdaptations(any, bakeCase, "one").flatMap((adaptation) => adaptation.changes);
      for (const number of PLAN_NUMBERS) {
        const sets = changes.flatMap((change) =>
          change.kind === "set" && change.number === number ? [change.to] : [],
        );
        if (new Set(sets).size > 1) expect(refused(effective)).toContain(number);
      }
    },
  );
});

describe("a card", () => {
  it("refuses two values for one number, and says who wants them", () => {
    const effective = effectivePlan(
      card(large(set("top-hold", 90)), second(set("top-hold", 10))),
      largeSecond,
      null,
    );
    expect(refusalsOf(effective)).toEqual([
      {
        number: "top-hold",
        sentence:
          "two adaptations set the hold at the top to different values (large case, second bake): keep one of them, or make one a difference",
      },
    ]);
  });

  it("takes the same value twice", () => {
    const effective = effectivePlan(
      card(large(set("top-hold", 10)), second(set("top-hold", 10))),
      largeSecond,
      null,
    );
    expect(planNumber(planOf(effective), "top-hold")).toBe(10);
  });

  it("refuses a hold below nothing instead of cutting it to nothing", () => {
    const effective = effectivePlan(
      card(large(shift("top-hold", -40)), second(shift("top-hold", -30))),
      largeSecond,
      null,
    );
    expect(refusalsOf(effective).map(({ sentence }) => sentence)).toEqual([
      "the adaptations make the hold at the top −10 (large case, second bake): make one of them smaller",
    ]);
  });

  it("refuses a rate of nothing, and allows a hold of nothing", () => {
    const still = effectivePlan(card(large(shift("climb-rate", -45))), largeSecond, null);
    expect(refusalsOf(still).map(({ number }) => number)).toEqual(["climb-rate"]);
    const none = effectivePlan(card(second(shift("top-hold", -60))), largeSecond, null);
    expect(planNumber(planOf(none), "top-hold")).toBe(0);
  });

  it.each(PLAN_NUMBERS)("refuses just the %s that no plan comes in with", (number) => {
    const most = [500, 1100, 1300, 86_400].find((value) => !isPlan(withPlanNumber(base, number, value + 1)));
    expect(isPlan(withPlanNumber(base, number, most ?? Number.NaN))).toBe(true);
    const having = (value: number) => effectivePlan(card(large(set(number, value))), largeSecond, null);
    expect(planNumber(planOf(having(most ?? Number.NaN)), number)).toBe(most);
    expect(refusalsOf(having((most ?? Number.NaN) + 1))).toEqual([
      {
        number,
        sentence: `the adaptations make the ${PLAN_NUMBER_NAMES[number]} ${(most ?? 0) + 1} (large case): make one of them smaller`,
      },
    ]);
  });

  it("refuses two different coolings", () => {
    const effective = effectivePlan(
      card(
        large({ kind: "cooling", to: { kind: "steady", toCelsius: 600, kelvinPerMinute: 20 } }),
        second({ kind: "cooling", to: { kind: "free" } }),
      ),
      largeSecond,
      null,
    );
    expect(refusalsOf(effective)).toEqual([
      {
        number: "cooling",
        sentence: "two adaptations want different coolings (large case, second bake): keep one of them",
      },
    ]);
  });

  it("lists what applies by framework, size, bake and furnace", () => {
    const listed = applyingAdaptations(
      card(
        inFurnace(shift("top", 4)),
        second(shift("top", 1)),
        large(shift("top", -10)),
        onZirconia(shift("top", 2)),
        { when: { kind: "framework", framework: "metal" }, changes: [shift("top", 9)] },
      ),
      largeSecond,
      "one",
    );
    expect(listed.map(({ when }) => when.kind)).toEqual(["framework", "case-size", "bake", "furnace"]);
  });
});

function cases(): fc.Arbitrary<BakeCase> {
  return fc.record({
    framework: fc.constantFrom("zirconia", "metal"),
    caseSize: fc.constantFrom("small", "large"),
    bake: fc.constantFrom("first", "second"),
  });
}

/** Cards whose changes may contradict each other, of which some make no plan. */
function cards(): fc.Arbitrary<Card> {
  const change: fc.Arbitrary<PlanChange> = fc.oneof(
    {
      weight: 4,
      arbitrary: fc
        .tuple(fc.constantFrom(...PLAN_NUMBERS), fc.integer({ min: -300, max: 300 }))
        .map(([number, tenths]) => shift(number, tenths / 10)),
    },
    {
      weight: 1,
      arbitrary: fc
        .tuple(fc.constantFrom<PlanNumber>("top-hold", "drying", "climb-rate"), fc.constantFrom(10, 20))
        .map(([number, to]) => set(number, to)),
    },
  );
  const changes = fc.array(change, { minLength: 1, maxLength: 4 });
  const adaptation = fc
    .tuple(fc.constantFrom(large, second, onZirconia, inFurnace), changes)
    .map(([under, all]) => under(...all));
  return fc.array(adaptation, { maxLength: 6 }).map((all) => card(...all));
}

function shuffle<T>(items: readonly T[], seed: number): T[] {
  const rest = [...items];
  return items.map((_, index) => rest.splice((seed * (index + 7)) % rest.length, 1)[0] as T);
}

function values(effective: EffectivePlan & { ok: true }) {
  return effective.sources.map(({ number, base: from, value }) => [number, from, value]);
}

function refused(effective: EffectivePlan): string[] {
  return effective.ok ? [] : effective.refusals.map(({ number }) => number);
}
