import { describe, expect, it } from "vitest";
import { planCurveScene } from "#kiosk-ui/screens/plans/plan-curve-scene";
import { madeUpCard } from "#tests/helpers/made-up-card";

const { plan } = madeUpCard();
const slower = { ...plan, steps: [{ kind: "climb" as const, toCelsius: 750, kelvinPerMinute: 40 }] };

describe("the picture of a plan over another", () => {
  it("is as long as the longer and as high as the higher of both", () => {
    const scene = planCurveScene(slower, plan, 325_000);
    // drying and closing 540 s, 250 K at 45 K/min 333.3 s, hold 60 s; 240 K at 40 K/min 360 s without a hold
    expect(scene.toSeconds).toBeCloseTo(540 + 1000 / 3 + 60, 6);
    expect(scene.range.fromCelsius).toBeLessThan(510);
    expect(scene.range.toCelsius).toBeGreaterThan(760);
  });

  it("marks where the top begins and ends", () => {
    const { top, topEndSeconds } = planCurveScene(plan, null, 325_000).plan;
    expect(top.celsius).toBe(760);
    expect(topEndSeconds - top.atSeconds).toBeCloseTo(60, 6);
  });

  it("counts both rates of heat work at the top of the one below, where it is 1", () => {
    const { base, plan: above, mostRate } = planCurveScene(slower, plan, 325_000);
    const most = (rates: readonly { rate: number }[]) => Math.max(...rates.map(({ rate }) => rate));
    expect(most(base?.rates ?? [])).toBeCloseTo(1, 9);
    // computed independently: exp(−(325,000/8.314463)·(1/1023.15 − 1/1033.15))
    expect(most(above.rates)).toBeCloseTo(0.691, 3);
    expect(mostRate).toBeCloseTo(1, 9);
  });

  it("has no vacuum for a bake in air", () => {
    const { vacuum: _none, ...inAir } = plan;
    expect(planCurveScene(inAir, plan, 325_000).plan.vacuum).toBeNull();
    expect(planCurveScene(inAir, plan, 325_000).base?.vacuum).not.toBeNull();
  });
});
