import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { scaledExponentialIntegral } from "#core/heat/exponential-integral";

describe("the exponential integral", () => {
  // Abramowitz and Stegun, tables 5.1 and 5.2: E₁(u), and u·e^u·E₁(u) for large u (quoted from memory).
  it.each([
    { argument: 0.5, e1: 0.5597735948 },
    { argument: 1, e1: 0.2193839344 },
    { argument: 2, e1: 0.0489005107 },
    { argument: 10, e1: (0.9156333394 / 10) * Math.exp(-10) },
    { argument: 20, e1: (0.9543709099 / 20) * Math.exp(-20) },
  ])("of order 1 at $argument agrees to ten digits with the tables", ({ argument, e1 }) => {
    expect(Math.abs((scaledExponentialIntegral(1, argument) * Math.exp(-argument)) / e1 - 1)).toBeLessThan(
      1e-9,
    );
  });

  it.prop([fc.integer({ min: 1, max: 5 }), fc.double({ min: 0.1, max: 500, noNaN: true })])(
    "steps from an order to the next as n·Eₙ₊₁ = e^(−u) − u·Eₙ says (5.1.14)",
    (order, argument) => {
      const next = order * scaledExponentialIntegral(order + 1, argument);
      expect(Math.abs(next - (1 - argument * scaledExponentialIntegral(order, argument)))).toBeLessThan(
        1e-12,
      );
    },
  );

  it("refuses what its fraction does not come to an end for", () => {
    expect(() => scaledExponentialIntegral(1, 0.01)).toThrow("requires an argument of 0.1 or more, got 0.01");
    expect(() => scaledExponentialIntegral(0, 1)).toThrow("requires an order of 1 or more, got 0");
  });
});
