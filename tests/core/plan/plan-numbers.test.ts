import { it } from "@fast-check/vitest";
import fc from "fast-check";
import { describe, expect } from "vitest";
import { PLAN_NUMBERS } from "#core/plan/card";
import { legs, type Plan } from "#core/plan/plan";
import { planNumber, withPlanNumber } from "#core/plan/plan-numbers";
import { plans } from "#tests/helpers/arbitraries";

/** The top stands in the middle: the last climb leads to a slow second hold below it. */
const plan: Plan = {
  name: "t",
  dryingSeconds: 240,
  closingSeconds: 120,
  lowCelsius: 450,
  lowHoldSeconds: 30,
  steps: [
    { kind: "climb", toCelsius: 600, kelvinPerMinute: 60 },
    { kind: "hold", seconds: 20 },
    { kind: "climb", toCelsius: 730, kelvinPerMinute: 40 },
    { kind: "hold", seconds: 45 },
    { kind: "hold", seconds: 15 },
  ],
  vacuum: { onAtCelsius: 460, levelHectopascals: 50, release: { kind: "at-temperature", celsius: 725 } },
  cooling: { kind: "free" },
};
const { vacuum: _, ...inAir } = plan;

describe("the numbers of a plan", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { number: "drying",       value: 240 },
    { number: "closing",      value: 120 },
    { number: "low",          value: 450 },
    { number: "low-hold",     value: 30 },
    { number: "climb-rate",   value: 40 },
    { number: "top",          value: 730 },
    { number: "top-hold",     value: 60 },
    { number: "vacuum-on",    value: 460 },
    { number: "vacuum-level", value: 50 },
  ] as const)("have $number at $value", ({ number, value }) => {
    expect(planNumber(plan, number)).toBe(value);
  });

  it("are all that an adaptation may change", () => {
    expect(PLAN_NUMBERS.map((number) => planNumber(plan, number))).not.toContain(null);
  });

  it("have no vacuum in a bake in air", () => {
    expect([planNumber(inAir, "vacuum-on"), planNumber(inAir, "vacuum-level")]).toEqual([null, null]);
  });
});

describe("a plan with one number changed", () => {
  it.prop([fc.constantFrom(...PLAN_NUMBERS), fc.integer({ min: 610, max: 900 })])(
    "has it, and every other as before",
    (number, value) => {
      const changed = withPlanNumber(plan, number, value);
      for (const each of PLAN_NUMBERS)
        if (!(number === "low" && value > 730))
          expect([each, planNumber(changed, each)]).toEqual([
            each,
            each === number ? value : planNumber(plan, each),
          ]);
    },
  );

  it.prop([plans(), fc.integer({ min: 0, max: 900 })])(
    "takes a top hold of its own where it had none or several",
    (any, seconds) => {
      const changed = withPlanNumber(any, "top-hold", seconds);
      expect(legs(changed).at(-1)?.holdSeconds).toBe(seconds);
      expect(legs(changed).slice(0, -1)).toEqual(legs(any).slice(0, -1));
    },
  );

  it("moves the end of the vacuum with the top", () => {
    expect(withPlanNumber(plan, "top", 740).vacuum?.release).toEqual({
      kind: "at-temperature",
      celsius: 735,
    });
    expect(withPlanNumber(plan, "top-hold", 90).vacuum).toEqual(plan.vacuum);
  });

  it("lets the vacuum end with its hold where it ends with a hold", () => {
    const held = {
      ...plan,
      vacuum: { onAtCelsius: 460, levelHectopascals: 50, release: { kind: "hold-end", hold: 2 } },
    } as const;
    expect(withPlanNumber(held, "top", 740).vacuum).toEqual(held.vacuum);
  });

  it("is the same plan where it has no such number", () => {
    expect(withPlanNumber(inAir, "vacuum-on", 500)).toBe(inAir);
    expect(withPlanNumber(inAir, "vacuum-level", 500)).toBe(inAir);
  });

  it("keeps what comes after the top", () => {
    const further = {
      ...plan,
      steps: [...plan.steps, { kind: "climb", toCelsius: 700, kelvinPerMinute: 10 }],
    } as Plan;
    expect(withPlanNumber(further, "top-hold", 5).steps.slice(-2)).toEqual([
      { kind: "hold", seconds: 5 },
      { kind: "climb", toCelsius: 700, kelvinPerMinute: 10 },
    ]);
  });
});
