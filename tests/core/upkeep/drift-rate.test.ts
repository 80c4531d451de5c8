import { describe, expect, it } from "vitest";
import { driftRate } from "#core/upkeep/drift-rate";

const checks = (differences: readonly number[], expandedKelvin = 0.6, daysApart = 30.4375) =>
  differences.map((differenceKelvin, index) => ({
    atDays: index * daysApart,
    differenceKelvin,
    expandedKelvin,
  }));

describe("the drift of a probe", () => {
  it("is the slope through its checks, in kelvins a month", () => {
    expect(driftRate(checks([0.5, 1, 1.5, 2]))?.kelvinPerMonth).toBeCloseTo(0.5, 9);
    expect(driftRate(checks([2, 1.5, 1]))?.kelvinPerMonth).toBeCloseTo(-0.5, 9);
  });

  it("is as unsure as the checks themselves where they lie on a line", () => {
    // u = 0.3 K each; Σ(x − x̄)² = 5 months² for four checks a month apart.
    expect(driftRate(checks([0, 0, 0, 0]))?.expandedKelvinPerMonth).toBeCloseTo((2 * 0.3) / Math.sqrt(5), 9);
  });

  it("is less sure where they scatter", () => {
    const scattered = driftRate(checks([0, 4, -3, 5]));
    expect(scattered?.expandedKelvinPerMonth).toBeGreaterThan(2);
  });

  it("is not told from two checks, nor from a fortnight", () => {
    expect(driftRate(checks([0, 1]))).toBeNull();
    expect(driftRate(checks([0, 1, 2], 0.6, 5))).toBeNull();
    expect(driftRate([])).toBeNull();
  });
});
