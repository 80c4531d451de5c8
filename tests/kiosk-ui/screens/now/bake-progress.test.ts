import { describe, expect, it } from "vitest";
import { bakeProgress } from "#kiosk-ui/screens/now/bake-progress";
import { madeUpComparison, madeUpPlans, madeUpTrace } from "#tests/helpers/made-up-bakes";

const plan = (index: number) => {
  const found = madeUpPlans()[index]?.plan;
  if (!found) throw new Error(`no made-up plan ${index}`);
  return found;
};

function traceUntil(seconds: number, planIndex = 0) {
  const course = { seed: 7, slowness: 0, overshootKelvin: 0 };
  return madeUpTrace(plan(planIndex), course).filter(({ atSeconds }) => atSeconds <= seconds);
}

const comparisonAt = (seconds: number, planIndex = 0) =>
  madeUpComparison(plan(planIndex), traceUntil(seconds, planIndex), false);

/** Where a made-up bake stands after so many seconds. */
const progressAt = (seconds: number, planIndex = 0) =>
  bakeProgress(plan(planIndex), traceUntil(seconds, planIndex), comparisonAt(seconds, planIndex));

describe("where a bake stands", () => {
  // the made-up plan: drying 5:00, climb of 7:09 to 760, hold 1:00, cooling of 3:00
  // biome-ignore format: a table reads in columns
  it.each([
    { at: 120, stage: "drying",  counts: ["to-top", "to-opening"] },
    { at: 500, stage: "climb",   counts: ["to-top", "to-opening"] },
    { at: 775, stage: "hold",    counts: ["hold-left", "to-opening"] },
    { at: 900, stage: "cooling", counts: ["since-top", "to-opening"] },
  ])("is $stage after $at s, with the times that matter then", ({ at, stage, counts }) => {
    const progress = progressAt(at);
    expect(progress.stage.kind).toBe(stage);
    expect(progress.countdowns.map(({ kind }) => kind)).toEqual(counts);
    expect(progress.stageBars.filter(({ isNow }) => isNow).map(({ kind }) => kind)).toEqual([stage]);
  });

  it("fills the bars before now, and none after", () => {
    const bars = progressAt(500).stageBars;
    expect(bars.map(({ kind }) => kind)).toEqual(["drying", "climb", "hold", "cooling"]);
    expect(bars.map(({ doneFraction }) => Math.round(doneFraction * 10) / 10)).toEqual([1, 0.4, 0, 0]);
  });

  it("counts down to the top by the plan", () => {
    const [toTop] = progressAt(500).countdowns;
    const { planZeroSeconds } = comparisonAt(500);
    // drying 300 s, then 250 K at 35 K/min
    expect(toTop?.seconds).toBeCloseTo(planZeroSeconds + 300 + (250 / 35) * 60 - 500, 6);
  });

  it("says how far the trace is from the plan", () => {
    const slow = madeUpTrace(plan(0), { seed: 7, slowness: 8, overshootKelvin: 0 }).slice(0, 600 * 4);
    const progress = bakeProgress(plan(0), slow, null);
    expect(progress.plannedCelsius).toBeCloseTo(684.9, 0);
    expect(progress.differenceKelvin).toBeLessThan(-12);
  });

  it("plans nothing in a free cooling", () => {
    expect(progressAt(900, 1)).toMatchObject({ plannedCelsius: null, differenceKelvin: null });
    expect(progressAt(900, 1).countdowns.map(({ kind }) => kind)).toEqual(["since-top"]);
  });

  it("counts down one time alone while the last hold ends the plan", () => {
    const progress = progressAt(720, 1);
    expect(progress.stage.kind).toBe("hold");
    expect(progress.countdowns.map(({ kind }) => kind)).toEqual(["hold-left"]);
  });

  it("cools from where the chamber falls from its last hold, whatever is settled by then", () => {
    const held = traceUntil(900, 1).filter(({ celsius }) => celsius > 400);
    const comparison = { ...comparisonAt(720, 1), stage: { kind: "hold", index: 1 } as const };
    const last = held.at(-1);
    if (!last) throw new Error("no made-up hold");
    const top = Math.max(...held.map(({ celsius }) => celsius));
    const fallen = (kelvin: number) =>
      Array.from({ length: 10 }, (_, at) => ({
        ...last,
        atSeconds: last.atSeconds + at,
        celsius: top - (kelvin * at) / 9,
      }));
    expect(bakeProgress(plan(1), [...held, ...fallen(2)], comparison).countdowns[0]?.kind).toBe("hold-over");
    const falling = bakeProgress(plan(1), [...held, ...fallen(9)], comparison);
    expect(falling).toMatchObject({ isLeavingTop: true });
    expect(falling.countdowns[0]?.kind).toBe("since-top");
  });

  it("is drying before anything was measured", () => {
    expect(bakeProgress(plan(0), [], null)).toMatchObject({ celsius: null, stage: { kind: "drying" } });
  });
});
