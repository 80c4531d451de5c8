import { describe, expect, it } from "vitest";
import { randomStream } from "#simulators/random";

const COUNT = 40_000;

describe("a random stream", () => {
  it("repeats exactly for the same seed and use", () => {
    expect(drawn(7, "probe")).toEqual(drawn(7, "probe"));
  });

  it("differs by seed, also beyond 32 bits, and by use", () => {
    const streams = [drawn(7, "probe"), drawn(8, "probe"), drawn(7 + 2 ** 32, "probe"), drawn(7, "mains")];
    expect(new Set(streams.map((values) => values.join())).size).toBe(streams.length);
  });

  it("draws uniform numbers with the mean and variance of their law, 1/2 and 1/12", () => {
    const { uniform } = randomStream(1, "test");
    const values = Array.from({ length: COUNT }, uniform);
    expect(Math.min(...values)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...values)).toBeLessThan(1);
    // Within five standard errors.
    expect(Math.abs(mean(values) - 1 / 2)).toBeLessThan(5 / Math.sqrt(12 * COUNT));
    expect(variance(values) * 12).toBeCloseTo(1, 1);
  });

  it("draws normal deviates: mean 0, variance 1, 68.27 % within one, 4.55 % beyond two", () => {
    const { normal } = randomStream(2, "test");
    const values = Array.from({ length: COUNT }, normal);
    const share = (isCounted: (value: number) => boolean) => values.filter(isCounted).length / COUNT;
    // Normal distribution, two-sided shares; within five standard errors of a share.
    expect(Math.abs(mean(values))).toBeLessThan(5 / Math.sqrt(COUNT));
    expect(Math.abs(variance(values) - 1)).toBeLessThan(5 * Math.sqrt(2 / COUNT));
    expect(Math.abs(share((value) => Math.abs(value) < 1) - 0.6827)).toBeLessThan(0.012);
    expect(Math.abs(share((value) => Math.abs(value) > 2) - 0.0455)).toBeLessThan(0.0053);
  });
});

function drawn(seed: number, use: string): number[] {
  const { uniform } = randomStream(seed, use);
  return Array.from({ length: 20 }, uniform);
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function variance(values: readonly number[]): number {
  const middle = mean(values);
  return mean(values.map((value) => (value - middle) ** 2));
}
