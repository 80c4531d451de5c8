import { describe, expect, it } from "vitest";
import { studentQuantile95 } from "#core/statistics/student";

describe("Student's distribution", () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.2, column 0.95 (from memory of the table).
  it.each([
    { freedom: 3, quantile: 2.353 },
    { freedom: 4, quantile: 2.132 },
    { freedom: 5, quantile: 2.015 },
    { freedom: 8, quantile: 1.86 },
    { freedom: 10, quantile: 1.812 },
    { freedom: 30, quantile: 1.697 },
    { freedom: 100, quantile: 1.66 },
  ])("with $freedom degrees of freedom stays 95 times in 100 below $quantile", ({ freedom, quantile }) => {
    expect(Math.abs(studentQuantile95(freedom) / quantile - 1)).toBeLessThan(0.005);
  });

  it("comes to the normal deviate", () => {
    expect(studentQuantile95(1e6)).toBeCloseTo(1.644854, 5);
  });

  it("is not told below three degrees of freedom", () => {
    expect(() => studentQuantile95(2)).toThrow("studentQuantile95 requires 3 degrees of freedom, got 2");
  });
});
