/**
 * The value with as much weight below as above it, straight between two neighbours.
 * @param weights one for each value
 * @returns NaN for none
 * @example weightedMedian([1, 2, 4, 8], [1, 1, 1, 3]) // 5
 */
export function weightedMedian(values: readonly number[], weights: readonly number[]): number {
  const sorted = values
    .map((value, index) => ({ value, weight: weights[index] ?? 0 }))
    .sort((a, b) => a.value - b.value);
  const half = sorted.reduce((sum, { weight }) => sum + weight, 0) / 2;
  let below = 0;
  let before: { value: number; middle: number } | null = null;
  for (const { value, weight } of sorted) {
    const middle = below + weight / 2;
    if (middle >= half) {
      if (!before) return value;
      return before.value + ((half - before.middle) / (middle - before.middle)) * (value - before.value);
    }
    before = { value, middle };
    below += weight;
  }
  return before?.value ?? Number.NaN;
}
