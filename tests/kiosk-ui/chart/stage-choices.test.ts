import { describe, expect, it } from "vitest";
import { stageChoices } from "#kiosk-ui/chart/stage-choices";
import { madeUpComparison, madeUpPlans, madeUpTrace } from "#tests/helpers/made-up-bakes";

describe("what a chart can look at", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { place: 0, names: ["Whole bake", "Drying", "Climb", "Hold", "Cooling"], last: "cooling-1" },
    { place: 2, names: ["Whole bake", "Drying", "Climb 1", "Hold 1", "Climb 2", "Hold 2", "Cooling"], last: "cooling-1" },
  ])("is the whole bake and every stage of plan $place", ({ place, names, last }) => {
    const plan = madeUpPlans()[place]?.plan;
    if (!plan) throw new Error("no such plan");
    const samples = madeUpTrace(plan, { seed: 3, slowness: 1, overshootKelvin: 1 });
    const choices = stageChoices(plan, madeUpComparison(plan, samples, true), samples);
    expect(choices.map(({ name }) => name)).toEqual(names);
    expect(choices[0]?.value).toBe("");
    expect(choices.at(-1)?.value).toBe(last);
  });
});
