import { describe, expect, it } from "vitest";
import { outlook } from "#core/compare/outlook";
import { rememberedBake } from "#core/compare/remembered-bake";
import { curveEquivalentSeconds } from "#core/heat/heat-work";
import type { Plan } from "#core/plan/plan";
import { setpointCurve, setpointOnCurve } from "#core/plan/setpoint";
import type { Trace } from "#core/trace/trace";
import { judged } from "#tests/helpers/simulated-lab";

/** Led down, so that everything in it is planned. */
const PLAN: Plan = {
  name: "Led",
  dryingSeconds: 30,
  closingSeconds: 0,
  lowCelsius: 510,
  lowHoldSeconds: 30,
  steps: [
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
    { kind: "hold", seconds: 60 },
  ],
  cooling: { kind: "steady", toCelsius: 560, kelvinPerMinute: 40 },
};

const CURVE = setpointCurve(PLAN);
const HOLD_SECONDS = 60 + 250 / 0.75;
const END_SECONDS = CURVE.at(-1)?.atSeconds ?? 0;
const KINETICS = { activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760 };

/** A furnace that keeps its plan, but for so many kelvins more from the middle of its climb on. */
function kept(toSeconds: number, hotterKelvin = 0): Trace {
  return Array.from({ length: Math.floor(toSeconds) + 1 }, (_, atSeconds) => {
    const share = Math.min(1, Math.max(0, (atSeconds - 200) / 100));
    const celsius = setpointOnCurve(CURVE, atSeconds) ?? 560 - (atSeconds - END_SECONDS) / 3;
    return { atSeconds, celsius: celsius + share * hotterKelvin };
  });
}

const memory = (hotterKelvin: number) => {
  const trace = kept(END_SECONDS + 60, hotterKelvin);
  return rememberedBake(PLAN, trace, judged(PLAN, trace, true)) ?? [];
};

const lookAt = (trace: Trace, earlier: Parameters<typeof outlook>[3] = []) =>
  outlook(PLAN, trace, judged(PLAN, trace, false), earlier);

describe("the outlook", () => {
  it("has nothing to look ahead from before the first climb, nor at the end", () => {
    expect(lookAt(kept(50))).toBeNull();
    const whole = kept(END_SECONDS);
    expect(outlook(PLAN, whole, judged(PLAN, whole, true), [])).toBeNull();
  });

  it.each([
    { where: "in the climb", toSeconds: 300 },
    { where: "early in the hold", toSeconds: HOLD_SECONDS + 10 },
    { where: "late in the hold", toSeconds: HOLD_SECONDS + 50 },
    { where: "in the cooling", toSeconds: HOLD_SECONDS + 100 },
  ])("of a furnace that keeps its plan is the plan $where", ({ toSeconds }) => {
    const seen = lookAt(kept(toSeconds), [memory(0), memory(0), memory(0)].flat());
    expect(seen?.asGoing.ratio).toBeCloseTo(1, 1);
    expect(Math.abs((seen?.asGoing.ratio ?? 0) - 1)).toBeLessThan(0.015);
    expect(seen?.asGoing.lowRatio).toBeLessThan(1);
    expect(seen?.asGoing.highRatio).toBeGreaterThan(1);
  });

  it("knows how much hotter a furnace ends that always does, where the plan alone would not say", () => {
    const hotter = [memory(6), memory(6), memory(6)].flat();
    const whole = judged(PLAN, kept(END_SECONDS + 60, 6), true).heatWork.ratio ?? 0;
    const early = kept(HOLD_SECONDS - 20, 6);
    expect(whole).toBeGreaterThan(1.2);
    expect(Math.abs((lookAt(early, hotter)?.asGoing.ratio ?? 0) / whole - 1)).toBeLessThan(0.02);
    expect(lookAt(early, hotter)?.asPlannedRatio).toBeLessThan(1.1);
  });

  it("is as uncertain as what it rests on", () => {
    const at = (earlier: Parameters<typeof outlook>[3]) => {
      const { ratio = 1, highRatio = 1 } = lookAt(kept(HOLD_SECONDS), earlier)?.asGoing ?? {};
      return highRatio / ratio - 1;
    };
    const alike = [memory(0), memory(0), memory(0), memory(0)].flat();
    const apart = [memory(-4), memory(4), memory(-2), memory(2)].flat();
    expect(at([])).toBeGreaterThan(2 * at(alike));
    expect(at(apart)).toBeGreaterThan(1.2 * at(alike));
    expect(lookAt(kept(HOLD_SECONDS), [])?.learnedFromBakes).toBe(0);
  });

  it("names the hold that makes up for it: heat work of the missing or excess seconds at the hold's temperature", () => {
    const hotter = [memory(6), memory(6), memory(6)].flat();
    const seen = lookAt(kept(HOLD_SECONDS + 5, 6), hotter);
    // By hand: the whole curve 6 K hotter; each second of its hold is worth k(766), and so many are too much.
    const planned = curveEquivalentSeconds(CURVE, KINETICS);
    const perSecond = curveEquivalentSeconds(
      [
        { atSeconds: 0, celsius: 766 },
        { atSeconds: 1, celsius: 766 },
      ],
      KINETICS,
    );
    const whole = (judged(PLAN, kept(END_SECONDS + 60, 6), true).heatWork.ratio ?? 0) * planned;
    const byHand = 60 - (whole - planned) / perSecond;
    expect(seen?.hold).toMatchObject({ index: 1, plannedSeconds: 60 });
    expect(Math.abs((seen?.hold?.neededSeconds ?? 0) - byHand)).toBeLessThan(3);
  });

  it("names none in the cooling, nor where not even no hold would do", () => {
    expect(lookAt(kept(HOLD_SECONDS + 100))?.hold).toBeNull();
    const far = [memory(40), memory(40), memory(40)].flat();
    expect(lookAt(kept(HOLD_SECONDS - 5, 40), far)?.hold).toBeNull();
  });

  it("says nothing while a climb stands still", () => {
    const stuck = kept(300).map((sample) => (sample.atSeconds <= 220 ? sample : { ...sample, celsius: 630 }));
    expect(lookAt(stuck, [memory(0), memory(0)].flat())).toBeNull();
  });

  it("names none while it is unsure", () => {
    const apart = [memory(-8), memory(8), memory(-6), memory(6)].flat();
    expect(lookAt(kept(HOLD_SECONDS - 30), apart)?.hold).toBeNull();
    expect(lookAt(kept(HOLD_SECONDS - 30), [])?.hold).toBeNull();
  });

  it("says the peak that comes, and no more of it once it has been", () => {
    const hotter = [memory(6), memory(6), memory(6)].flat();
    const peak = lookAt(kept(HOLD_SECONDS - 60, 6), hotter)?.peak;
    expect(Math.abs((peak?.celsius ?? 0) - 766)).toBeLessThan(1);
    expect(peak?.inSeconds).toBeGreaterThan(30);
    expect(lookAt(kept(HOLD_SECONDS + 90, 6), hotter)?.peak).toBeNull();
  });

  it("goes by the earlier bakes that this one is like", () => {
    const both = [memory(0), memory(0), memory(10), memory(10)].flat();
    const cold = lookAt(kept(HOLD_SECONDS + 15), both)?.asGoing.ratio ?? 0;
    const hot = lookAt(kept(HOLD_SECONDS + 15, 10), both)?.asGoing.ratio ?? 0;
    expect(cold).toBeLessThan(1.05);
    expect(hot).toBeGreaterThan(1.3);
  });
});
