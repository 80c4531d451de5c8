import { GAS_CONSTANT } from "#core/heat/heat-work";
import type { Viscosity } from "#core/heat/material";
import { kelvinFromCelsius } from "#core/units";

/** A glass is this stiff at this temperature: a point of its viscosity curve. */
export interface Isokom {
  readonly celsius: number;
  /** log10 of Pa·s; 1 less than log10 of poise or dPa·s. */
  readonly logPascalSeconds: number;
}

/** Share of the volume at which crystals lock, in Krieger and Dougherty's law (from memory). */
export const LOCKED_CRYSTAL_FRACTION = 0.6;

/** Its exponent: 2.5 for spheres (Einstein) times the share at which they lock. */
const STIFFENING_EXPONENT = 2.5 * LOCKED_CRYSTAL_FRACTION;

/**
 * Viscosity of a glass at a temperature, Pa·s, by Vogel, Fulcher and Tammann (VFT):
 *
 *     log10 η = A + B/(t − T0)          t and T0 in °C, B in K, η in Pa·s
 *
 *     log η │╲                          working 3, softening 6.6, annealing 12, strain 13.5
 *           │ ╲__                       (log10 of Pa·s; ISO 7884-1)
 *           │    ‾‾───────
 *           └┬───────────── t
 *            T0
 *
 * Source: G. S. Fulcher, J. Am. Ceram. Soc. 8 (1925) 339–355 (from memory). Constants are a fit: between
 * the points that they were fitted to they are good to a few kelvin, outside they are not. Below about
 * Tg + 30 K a real glass is stiffer or softer, by what it went through (structural relaxation). Tables in
 * poise or dPa·s have an A that is 1 higher.
 * @returns Infinity at and below T0
 * @example Math.round(viscosityPascalSeconds(153 + 4887, { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 }) * 1e4) / 1e4 // 0.0316
 */
export function viscosityPascalSeconds(celsius: number, viscosity: Viscosity): number {
  const above = celsius - viscosity.zeroCelsius;
  if (above <= 0) return Number.POSITIVE_INFINITY;
  return 10 ** (viscosity.logPascalSeconds + viscosity.kelvin / above);
}

/**
 * log10 of a glass's viscosity in Pa·s at a temperature: A + B/(t − T0).
 * @returns Infinity at and below T0
 * @example viscosityLogPascalSeconds(653, { logPascalSeconds: -2.5, kelvin: 5000, zeroCelsius: 153 }) // 7.5
 */
export function viscosityLogPascalSeconds(celsius: number, viscosity: Viscosity): number {
  const above = celsius - viscosity.zeroCelsius;
  if (above <= 0) return Number.POSITIVE_INFINITY;
  return viscosity.logPascalSeconds + viscosity.kelvin / above;
}

/**
 * Where a glass has a viscosity, °C: t = T0 + B/(log10 η − A).
 * @param logPascalSeconds  log10 of Pa·s; 6.6 softening, 12 annealing (ISO 7884-1)
 * @returns null where it never gets that thin, however hot
 * @example celsiusAtViscosity(7.5, { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 }) // 641.7
 */
export function celsiusAtViscosity(logPascalSeconds: number, viscosity: Viscosity): number | null {
  const above = logPascalSeconds - viscosity.logPascalSeconds;
  return above > 0 ? viscosity.zeroCelsius + viscosity.kelvin / above : null;
}

/**
 * The activation energy that flow seems to have at a temperature, J/mol: the slope of ln η over 1/T.
 *
 *     E = ln(10)·R·B·(T/(t − T0))²          T in kelvin, t and T0 in °C
 *
 * It falls as the glass gets hotter, so one Arrhenius energy is a tangent: good for ±50 K, poor from Tg to
 * the top. Derived from VFT; no source needed.
 * @returns Infinity at and below T0
 * @example Math.round(apparentActivationEnergyJoulesPerMole(750, { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 }) / 1000) // 275
 */
export function apparentActivationEnergyJoulesPerMole(celsius: number, viscosity: Viscosity): number {
  const above = celsius - viscosity.zeroCelsius;
  if (above <= 0) return Number.POSITIVE_INFINITY;
  return Math.LN10 * GAS_CONSTANT * viscosity.kelvin * (kelvinFromCelsius(celsius) / above) ** 2;
}

/**
 * The one VFT curve through three points. L·t = A·t + T0·L + (B − A·T0), with L = log10 η, is linear in A,
 * T0 and the rest: two differences give them, exactly.
 *
 * Three points leave nothing over to judge the fit by: use it between them only.
 * @param points  at three temperatures, in any order
 * @returns null where no such curve goes through: viscosity has to fall with temperature, ever more slowly
 * @example viscosityThrough([{ celsius: 100, logPascalSeconds: 11 }, { celsius: 200, logPascalSeconds: 5 }, { celsius: 400, logPascalSeconds: 2 }]) // { logPascalSeconds: -1, kelvin: 1200, zeroCelsius: 0 }
 */
export function viscosityThrough([one, two, three]: readonly [Isokom, Isokom, Isokom]): Viscosity | null {
  const first = differenceOf(one, two);
  const second = differenceOf(two, three);
  const determinant = first.celsius * second.logarithm - second.celsius * first.logarithm;
  const logPascalSeconds =
    (first.product * second.logarithm - second.product * first.logarithm) / determinant;
  const zeroCelsius = (first.celsius * second.product - second.celsius * first.product) / determinant;
  const kelvin = (one.logPascalSeconds - logPascalSeconds) * (one.celsius - zeroCelsius);
  const coldestCelsius = Math.min(one.celsius, two.celsius, three.celsius);
  const isCurve = Number.isFinite(kelvin) && kelvin > 0 && zeroCelsius < coldestCelsius;
  return isCurve ? { logPascalSeconds, kelvin, zeroCelsius } : null;
}

/**
 * How much stiffer crystals make a melt, as a factor on its viscosity: (1 − φ/0.6)^−1.5.
 *
 * Krieger and Dougherty, Trans. Soc. Rheol. 3 (1959) 137–152; law and constants from memory, for equal
 * spheres that do not touch. Needles and plates lock sooner. 6 % leucite: 1.17; 25 %: 2.24.
 * @param crystalFraction  share of the volume, 0 to 1
 * @returns at least 1; Infinity from where the crystals lock
 * @example Math.round(stiffeningByCrystals(0.25) * 100) / 100 // 2.24
 */
export function stiffeningByCrystals(crystalFraction: number): number {
  if (crystalFraction >= LOCKED_CRYSTAL_FRACTION) return Number.POSITIVE_INFINITY;
  return (1 - Math.max(0, crystalFraction) / LOCKED_CRYSTAL_FRACTION) ** -STIFFENING_EXPONENT;
}

/**
 * The viscosity of a melt that carries crystals: its A is higher by log10 of `stiffeningByCrystals`.
 * @param viscosity        of the glass between the crystals
 * @param crystalFraction  share of the volume, 0 to below 0.6
 * @throws RangeError from where the crystals lock: that flows no more
 * @example Math.round(stiffenedByCrystals({ logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 }, 0.25).logPascalSeconds * 1000) / 1000 // -2.149
 */
export function stiffenedByCrystals(viscosity: Viscosity, crystalFraction: number): Viscosity {
  if (!(crystalFraction >= 0 && crystalFraction < LOCKED_CRYSTAL_FRACTION))
    throw new RangeError(
      `stiffening requires a crystal share from 0 to below ${LOCKED_CRYSTAL_FRACTION}, got ${crystalFraction}`,
    );
  const logPascalSeconds = viscosity.logPascalSeconds + Math.log10(stiffeningByCrystals(crystalFraction));
  return { ...viscosity, logPascalSeconds };
}

function differenceOf(one: Isokom, other: Isokom) {
  return {
    celsius: one.celsius - other.celsius,
    logarithm: one.logPascalSeconds - other.logPascalSeconds,
    product: one.celsius * one.logPascalSeconds - other.celsius * other.logPascalSeconds,
  };
}
