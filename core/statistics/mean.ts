/**
 * The arithmetic mean.
 * @returns 0 for none
 * @example mean([1, 2, 6]) // 3
 */
export function mean(values: readonly number[]): number {
  return values.length > 0 ? values.reduce((sum, value) => sum + value, 0) / values.length : 0;
}
