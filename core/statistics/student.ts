/**
 * What 95 of 100 stay below in Student's distribution: half of a two-sided interval that holds nine in ten.
 *
 *     t ≈ z + (z³+z)/4ν + (5z⁵+16z³+3z)/96ν² + (3z⁷+19z⁵+17z³−15z)/384ν³       z = 1.644854
 *
 * Expansion of Fisher and Cornish (Abramowitz and Stegun, 26.7.5), within 0.5 % from three degrees of freedom on.
 * @param degreesOfFreedom  3 or more
 * @throws RangeError below 3
 * @example studentQuantile95(10).toFixed(3) // "1.812"
 */
export function studentQuantile95(degreesOfFreedom: number): number {
  if (!(degreesOfFreedom >= 3))
    throw new RangeError(`studentQuantile95 requires 3 degrees of freedom, got ${degreesOfFreedom}`);
  const z = 1.6448536269514722;
  const n = degreesOfFreedom;
  return (
    z +
    (z ** 3 + z) / (4 * n) +
    (5 * z ** 5 + 16 * z ** 3 + 3 * z) / (96 * n ** 2) +
    (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / (384 * n ** 3)
  );
}
