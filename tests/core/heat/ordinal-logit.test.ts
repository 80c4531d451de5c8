import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { type GradedPoint, ordinalLogit } from "#core/heat/ordinal-logit";

describe("the ordinal logit", () => {
  it("finds the textbook answer for twenty students' hours of study and exams passed", () => {
    // A widely printed example of logistic regression (data and result from memory): slope 1.5046, intercept −4.0777.
    // Five hundred times the same twenty leave the prior no say.
    const hours = [
      0.5, 0.75, 1, 1.25, 1.5, 1.75, 1.75, 2, 2.25, 2.5, 2.75, 3, 3.25, 3.5, 4, 4.25, 4.5, 4.75, 5, 5.5,
    ];
    const passed = [0, 0, 0, 0, 0, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 1, 1, 1, 1, 1];
    const students = hours.map((x, index) => ({ x, rank: passed[index] ?? 0 }));
    const { cuts, slope } = ordinalLogit(Array.from({ length: 500 }, () => students).flat(), 5);
    expect(slope).toBeCloseTo(1.5046, 2);
    expect(cuts[0]).toBeCloseTo(4.0777 / 1.5046, 3);
  });

  const points = fc
    .array(fc.record({ x: fc.double({ min: -3, max: 3, noNaN: true }), rank: fc.nat(3) }), {
      minLength: 4,
      maxLength: 30,
    })
    .map((some) => [...some, ...[0, 1, 2, 3].map((rank) => ({ x: rank - 1.5, rank }))]);

  it.prop([points, fc.double({ min: 0.5, max: 20, noNaN: true })])(
    "stands on the top: no constant moved a little makes the grades likelier",
    (some, usualSlope) => {
      const found = ordinalLogit(some, usualSlope);
      const here = logPosterior(some, found, usualSlope);
      expect(here).toBeCloseTo(found.logPosterior, 6);
      for (const factor of [0.99, 1.01])
        expect(logPosterior(some, { ...found, slope: found.slope * factor }, usualSlope)).toBeLessThan(
          here + 1e-7,
        );
      for (const [moved] of found.cuts.entries())
        for (const by of [-0.01, 0.01]) {
          const cuts = found.cuts.map((cut, index) => (index === moved ? cut + by : cut));
          expect(logPosterior(some, { ...found, cuts }, usualSlope)).toBeLessThan(here + 1e-7);
        }
    },
  );

  it.prop([points, fc.double({ min: -1000, max: 1000, noNaN: true })])(
    "does not care where x is counted from",
    (some, shift) => {
      const here = ordinalLogit(some, 8);
      const there = ordinalLogit(
        some.map(({ x, rank }) => ({ x: x + shift, rank })),
        8,
      );
      expect(there.slope).toBeCloseTo(here.slope, 4);
      for (const [index, cut] of here.cuts.entries())
        expect((there.cuts[index] ?? 0) - shift).toBeCloseTo(cut, 4);
    },
  );

  it("stays finite where one x parts the ranks exactly, and cuts in the middle", () => {
    const parted = [-2, -1.5, -1, 1, 1.5, 2].map((x) => ({ x, rank: Number(x > 0) }));
    const { cuts, slope } = ordinalLogit(parted, 8);
    expect(cuts[0]).toBeCloseTo(0, 6);
    expect(slope).toBeGreaterThan(4);
    expect(slope).toBeLessThan(40);
  });

  it("refuses ranks with a hole, or only one", () => {
    const ranked = (...ranks: number[]) => ranks.map((rank) => ({ x: rank, rank }));
    expect(() => ordinalLogit(ranked(0, 2), 8)).toThrow(
      "two ranks or more without holes, got 1, 0, 1 of each",
    );
    expect(() => ordinalLogit(ranked(0, 0), 8)).toThrow("two ranks or more without holes, got 2 of each");
  });
});

/** The definition itself, as differences of probabilities: not the factors that the code sums. */
function logPosterior(
  points: readonly GradedPoint[],
  { cuts, slope }: { readonly cuts: readonly number[]; readonly slope: number },
  usualSlope: number,
): number {
  const atMost = (rank: number, x: number) => {
    const cut = cuts[rank];
    if (rank < 0) return 0;
    return cut === undefined ? 1 : 1 / (1 + Math.exp(-slope * (cut - x)));
  };
  const likelihood = points.reduce(
    (sum, { x, rank }) => sum + Math.log(atMost(rank, x) - atMost(rank - 1, x)),
    0,
  );
  return likelihood + Math.log(slope / usualSlope) - slope / usualSlope;
}
