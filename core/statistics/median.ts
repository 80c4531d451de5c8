/**
 * The middle value; the mean of the two middle ones for an even count.
 * @param values any order, not changed
 * @returns NaN for none
 * @example median([3, 1, 10, 2]) // 2.5
 */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const upper = sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
  const lower = sorted[Math.floor((sorted.length - 1) / 2)] ?? Number.NaN;
  return (lower + upper) / 2;
}
