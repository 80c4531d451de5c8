/**
 * Exponential integral of order n, scaled so that it neither overflows nor vanishes: e^u·E_n(u).
 *
 *     E_n(u) = ∫₁^∞ e^(−u·s)/sⁿ ds
 *     e^u·E_n(u) = 1/(u + n − 1·n/(u + n + 2 − 2·(n + 1)/(u + n + 4 − …)))
 *
 * A climb from 0 K to T is a closed form in it, with u = E/(R·T): ∫₀^T e^(−E/Rt) dt = T·E₂(u) for heat work, and
 * ∫₀^T e^(−E/Rt)/t dt = E₁(u) for the master sintering curve.
 * Source: Abramowitz and Stegun, 5.1.22 in its contracted form, evaluated after Lentz (both from memory; the tests
 * hold it to their tables). Ordinary firings have u from 15 to 100, where a dozen steps do.
 * @param order     n, 1 or more
 * @param argument  u, no unit; 0.1 or more, below which the fraction takes too many steps
 * @throws RangeError for anything less
 * @example Math.round(scaledExponentialIntegral(1, 10) * 1e9) / 1e9 // 0.091563334
 */
export function scaledExponentialIntegral(order: number, argument: number): number {
  if (!(order >= 1))
    throw new RangeError(`exponential integral requires an order of 1 or more, got ${order}`);
  if (!(argument >= 0.1 && argument < Number.POSITIVE_INFINITY))
    throw new RangeError(`exponential integral requires an argument of 0.1 or more, got ${argument}`);
  let denominator = argument + order;
  let c = Number.POSITIVE_INFINITY;
  let d = 1 / denominator;
  let fraction = d;
  for (let step = 1; step < 1000; step++) {
    const numerator = -step * (order + step - 1);
    denominator += 2;
    d = 1 / (denominator + numerator * d);
    c = denominator + numerator / c;
    fraction *= c * d;
    if (Math.abs(c * d - 1) < 1e-15) break;
  }
  return fraction;
}
