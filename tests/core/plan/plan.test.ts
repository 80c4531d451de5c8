import { it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { legs, type Plan, type PlanStep, topCelsius } from "#core/plan/plan";
import { plans } from "#tests/helpers/arbitraries";

describe("the climbs of a plan", () => {
  it("begin when drying, closing and the wait at the low temperature are over", () => {
    expect(legs(plan([climb(760, 45), hold(60)]))).toEqual([
      {
        fromCelsius: 510,
        toCelsius: 760,
        kelvinPerMinute: 45,
        holdSeconds: 60,
        climbStartSeconds: 500,
        holdStartSeconds: 500 + (250 / 45) * 60,
        holdEndSeconds: 560 + (250 / 45) * 60,
      },
    ]);
  });

  it("take a second hold as more of the first", () => {
    expect(legs(plan([climb(760, 50), hold(60), hold(30)]))).toEqual(legs(plan([climb(760, 50), hold(90)])));
  });

  it("wait for a hold that stands before any climb", () => {
    const [leg] = legs(plan([hold(30), climb(760, 50)]));
    expect(leg?.climbStartSeconds).toBe(530);
    expect(leg?.holdSeconds).toBe(0);
  });

  it("are none where a plan only holds", () => {
    expect(legs(plan([hold(30)]))).toEqual([]);
  });

  it.prop([plans()])("follow each other without a hole", (any) => {
    const found = legs(any);
    expect(found).toHaveLength(any.steps.filter((step) => step.kind === "climb").length);
    for (const [index, leg] of found.entries()) {
      const before = found[index - 1];
      expect(leg.fromCelsius).toBe(before?.toCelsius ?? any.lowCelsius);
      expect(leg.climbStartSeconds).toBe(
        before?.holdEndSeconds ?? any.dryingSeconds + any.closingSeconds + any.lowHoldSeconds,
      );
      expect(
        ((leg.toCelsius - leg.fromCelsius) / (leg.holdStartSeconds - leg.climbStartSeconds)) * 60,
      ).toBeCloseTo(leg.kelvinPerMinute, 6);
      expect(leg.holdEndSeconds - leg.holdStartSeconds).toBeCloseTo(leg.holdSeconds, 6);
    }
  });
});

describe("the top of a plan", () => {
  it("is its highest climb, wherever it stands", () => {
    expect(topCelsius(plan([climb(700, 50), climb(860, 50), hold(60), climb(800, 20)]))).toBe(860);
  });

  it("is the low temperature where nothing climbs above it", () => {
    expect(topCelsius(plan([climb(400, 50)]))).toBe(510);
  });
});

function plan(steps: readonly PlanStep[]): Plan {
  return {
    name: "test",
    dryingSeconds: 300,
    closingSeconds: 120,
    lowCelsius: 510,
    lowHoldSeconds: 80,
    steps,
    cooling: { kind: "free" },
  };
}

function climb(toCelsius: number, kelvinPerMinute: number): PlanStep {
  return { kind: "climb", toCelsius, kelvinPerMinute };
}

function hold(seconds: number): PlanStep {
  return { kind: "hold", seconds };
}
