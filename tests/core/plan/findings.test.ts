import { it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { planFindings } from "#core/plan/findings";
import type { Plan, PlanStep, VacuumRelease } from "#core/plan/plan";
import { planLengthSeconds } from "#core/plan/setpoint";
import { plans } from "#tests/helpers/arbitraries";

describe("the findings of a plan", () => {
  it("are none for a plan that can be fired", () => {
    expect(planFindings(plan({}))).toEqual([]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { wrong: "no climb",                      code: "no-climb",                        refuses: true,  change: { steps: [] } },
    { wrong: "a hold before any climb",       code: "first-step-holds",                refuses: true,  change: { steps: [hold(60), climb(760, 45)] } },
    { wrong: "a climb downwards",             code: "climbs-downwards",                refuses: true,  change: { steps: [climb(760, 45), climb(700, 45)] } },
    { wrong: "a climb to where it stands",    code: "climb-of-nothing",                refuses: true,  change: { steps: [climb(760, 45), climb(760, 45)] } },
    { wrong: "a climb of 151 K/min",          code: "climb-very-fast",                 refuses: false, change: { steps: [climb(760, 151)] } },
    { wrong: "a top of 1201 °C",              code: "top-very-hot",                    refuses: false, change: { steps: [climb(1201, 45)] } },
    { wrong: "a vacuum from above the top",   code: "vacuum-never-starts",             refuses: true,  change: { vacuum: vacuum(800, { kind: "hold-start", hold: 1 }) } },
    { wrong: "a vacuum to above the top",     code: "vacuum-never-starts",             refuses: true,  change: { vacuum: vacuum(510, { kind: "at-temperature", celsius: 761 }) } },
    { wrong: "a vacuum that ends at its start", code: "vacuum-released-before-it-starts", refuses: true, change: { vacuum: vacuum(510, { kind: "at-temperature", celsius: 510 }) } },
    { wrong: "a vacuum until a second hold",  code: "vacuum-hold-missing",             refuses: true,  change: { vacuum: vacuum(510, { kind: "hold-end", hold: 2 }) } },
    { wrong: "a vacuum of 301 hPa",           code: "vacuum-not-low",                  refuses: false, change: { vacuum: { ...vacuum(510, { kind: "hold-end", hold: 1 }), levelHectopascals: 301 } } },
    { wrong: "a cooling upwards",             code: "cooling-upwards",                 refuses: true,  change: { cooling: { kind: "steady" as const, toCelsius: 760, kelvinPerMinute: 30 } } },
    { wrong: "an opening above the top",      code: "opens-above-top",                 refuses: false, change: { cooling: { kind: "free" as const, openAtCelsius: 761 } } },
    { wrong: "a climb that takes three days", code: "takes-too-long",                  refuses: true,  change: { steps: [climb(760, 0.05)] } },
    { wrong: "no drying",                     code: "drying-absent",                   refuses: false, change: { dryingSeconds: 0 } },
  ])("name $wrong", ({ code, refuses, change }) => {
    expect(planFindings(plan(change)).map((finding) => [finding.code, finding.refuses])).toEqual([[code, refuses]]);
  });

  it("say which step, from where to where, and what to change", () => {
    const [finding] = planFindings(plan({ steps: [climb(760, 45), hold(10), climb(700, 45)] }));
    expect(finding?.step).toBe(3);
    expect(finding?.sentence).toBe("step 3 climbs downwards, from 760 to 700 °C: raise its toCelsius");
  });

  it("take two days as the longest bake", () => {
    const lasting = (seconds: number) => plan({ dryingSeconds: 1, steps: [climb(760, 45), hold(seconds)] });
    const codes = (of: Plan) => planFindings(of).map(({ code }) => code);
    const otherSeconds = planLengthSeconds(lasting(0));
    expect(codes(lasting(48 * 3600 - otherSeconds))).toEqual([]);
    expect(codes(lasting(48 * 3600 - otherSeconds + 1))).toEqual(["takes-too-long"]);
  });

  it("are all told, in the order of the steps", () => {
    const found = planFindings(
      plan({ steps: [hold(1), climb(400, 45), climb(1250, 200)], dryingSeconds: 0 }),
    );
    expect(found.map(({ code, step }) => [code, step])).toEqual([
      ["first-step-holds", 1],
      ["climbs-downwards", 2],
      ["climb-very-fast", 3],
      ["top-very-hot", 3],
      ["drying-absent", undefined],
    ]);
  });

  it.prop([plans()])("refuse no plan that rises step by step", (any) => {
    const fireable = { ...any, cooling: { kind: "free" as const } };
    expect(planFindings(fireable).filter((finding) => finding.refuses)).toEqual([]);
  });
});

function plan(change: Partial<Plan>): Plan {
  return {
    name: "test",
    dryingSeconds: 300,
    closingSeconds: 120,
    lowCelsius: 450,
    lowHoldSeconds: 0,
    steps: [climb(760, 45), hold(60)],
    vacuum: vacuum(510, { kind: "hold-end", hold: 1 }),
    cooling: { kind: "free", openAtCelsius: 600 },
    ...change,
    ...(change.steps && !change.vacuum ? { vacuum: undefined, cooling: { kind: "free" } } : {}),
  };
}

function vacuum(onAtCelsius: number, release: VacuumRelease) {
  return { onAtCelsius, levelHectopascals: 50, release };
}

function climb(toCelsius: number, kelvinPerMinute: number): PlanStep {
  return { kind: "climb", toCelsius, kelvinPerMinute };
}

function hold(seconds: number): PlanStep {
  return { kind: "hold", seconds };
}
