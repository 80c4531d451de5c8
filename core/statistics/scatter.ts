import { mean } from "#core/statistics/mean";

/**
 * Sum of squares about the mean.
 * @example scatter([1, 2, 3]) // 2
 */
export function scatter(values: readonly number[]): number {
  const middle = mean(values);
  return values.reduce((sum, value) => sum + (value - middle) ** 2, 0);
}
