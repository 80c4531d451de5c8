/** Gauss–Legendre, four points on [−1, 1]: Abramowitz and Stegun, table 25.4. */
export const QUADRATURE = [
  { at: -0.8611363115940526, weight: 0.3478548451374538 },
  { at: -0.3399810435848563, weight: 0.6521451548625461 },
  { at: 0.3399810435848563, weight: 0.6521451548625461 },
  { at: 0.8611363115940526, weight: 0.3478548451374538 },
] as const;
