import { describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { planFindings } from "#core/plan/findings";
import { legs, type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds } from "#core/plan/setpoint";
import { planSchema } from "#shared/plan";

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

  // Common practice, no source.
  // biome-ignore format: a table reads in columns
  it.each([
    { name: "Demo build-up, standard",                   top: 710, rate: 45, hold: 60, low: 510 },
    { name: "Demo build-up, higher-firing",              top: 760, rate: 45, hold: 60, low: 510 },
    { name: "Demo build-up, higher-firing, large case",  top: 750, rate: 35, hold: 60, low: 510 },
    { name: "Demo build-up, higher-firing, second bake", top: 760, rate: 45, hold: 10, low: 510 },
  ])("fire $name to $top °C at $rate K/min for $hold s", ({ name, top, rate, hold, low }) => {
    const plan = named(name);
    const [leg] = legs(plan);
    expect(topCelsius(plan)).toBe(top);
    expect(leg?.kelvinPerMinute).toBe(rate);
    expect(leg?.holdSeconds).toBe(hold);
    expect([plan.lowCelsius, plan.vacuum?.onAtCelsius]).toEqual([low, low]);
  });

  it("fire lithium disilicate from a higher low to a higher top, at 50 K/min", () => {
    const [plan, other] = [
      named("Demo build-up on lithium disilicate"),
      named("Demo build-up, higher-firing"),
    ];
    expect(plan.lowCelsius).toBeGreaterThan(other.lowCelsius);
    expect(topCelsius(plan)).toBeGreaterThan(topCelsius(other));
    expect(legs(plan)[0]?.kelvinPerMinute).toBe(50);
  });

  it("hold a glaze in air on the way up", () => {
    const plan = named("Demo glaze in air, two climbs");
    expect(plan.vacuum).toBeUndefined();
    expect(legs(plan).map((leg) => leg.holdSeconds > 0)).toEqual([true, true]);
  });
});

function named(name: string): Plan {
  const plan = DEMONSTRATION_PLANS.find((candidate) => candidate.name === name);
  if (!plan) throw new RangeError(`no demonstration plan is named ${name}`);
  return plan;
}
