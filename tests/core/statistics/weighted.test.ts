import { fc, it as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { median } from "#core/statistics/median";
import { scatter } from "#core/statistics/scatter";
import { weightedMedian } from "#core/statistics/weighted-median";
import { weightedScatter } from "#core/statistics/weighted-scatter";

const values = fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 1, maxLength: 12 });

describe("values that count unequally", () => {
  it.each([
    { of: [1, 2, 4, 8], by: [1, 1, 1, 3], middle: 5 },
    { of: [8, 1, 4, 2], by: [3, 1, 1, 1], middle: 5 },
    { of: [5], by: [0.2], middle: 5 },
    { of: [1, 9], by: [1, 1000], middle: 9 },
  ])("have their middle at $middle", ({ of, by, middle }) => {
    expect(weightedMedian(of, by)).toBeCloseTo(middle, 1);
  });

  it("have none where there are none", () => {
    expect(weightedMedian([], [])).toBeNaN();
  });

  property.prop([values])("have the plain median and scatter when all weigh the same", (of) => {
    const by = of.map(() => 2.5);
    expect(weightedMedian(of, by)).toBeCloseTo(median(of), 6);
    expect(weightedScatter(of, by)).toBeCloseTo(scatter(of), 6);
  });

  property.prop([values, fc.double({ min: 0.1, max: 10, noNaN: true })])(
    "scatter alike whatever all weights are multiplied by",
    (of, times) => {
      const by = of.map((_, index) => 1 + (index % 3));
      const more = by.map((weight) => times * weight);
      expect(weightedScatter(of, more)).toBeCloseTo(weightedScatter(of, by), 6);
    },
  );

  it("forget what weighs nearly nothing", () => {
    expect(weightedScatter([1, 1, 50], [1, 1, 1e-9])).toBeCloseTo(0, 4);
  });
});
