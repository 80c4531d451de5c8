import type { Viscosity } from "#core/heat/material";

/**
 * Viscosity of a glass at a temperature, Pa·s: 10^(A + B/(t − T0)), by Vogel, Fulcher and Tammann.
 * At and below T0 it is infinite.
 * @example Math.round(viscosityPascalSeconds(153 + 4887, { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 }) * 1e4) / 1e4 // 0.0316
 */
export function viscosityPascalSeconds(celsius: number, viscosity: Viscosity): number {
  const above = celsius - viscosity.zeroCelsius;
  if (above <= 0) return Number.POSITIVE_INFINITY;
  return 10 ** (viscosity.logPascalSeconds + viscosity.kelvin / above);
}
