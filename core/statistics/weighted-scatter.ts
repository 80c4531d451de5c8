import { mean } from "#core/statistics/mean";

/**
 * Sum of squares about the mean, as if every value counted as much as its weight says; weights count against
 * each other only.
 * @param weights one for each value, not all 0
 * @example weightedScatter([1, 2, 3], [5, 5, 5]) // 2
 */
export function weightedScatter(values: readonly number[], weights: readonly number[]): number {
  const whole = weights.reduce((sum, weight) => sum + weight, 0);
  const share = (index: number) => ((weights[index] ?? 0) * values.length) / whole;
  const middle = mean(values.map((value, index) => value * share(index)));
  return values.reduce((sum, value, index) => sum + share(index) * (value - middle) ** 2, 0);
}
