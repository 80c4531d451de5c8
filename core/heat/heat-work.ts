import { QUADRATURE } from "#core/heat/quadrature";
import { type Gap, gaps, type Sample, type Trace } from "#core/trace/trace";
import { kelvinFromCelsius } from "#core/units";

/** Molar gas constant, J/(mol·K): exact since the 2019 SI (k·N_A), CODATA 2018. */
export const GAS_CONSTANT = 8.314462618;

/**
 * Activation energy where nothing better is known of the material, J/mol. The honest range for
 * low-fusing glass-ceramic layers is 250,000 to 450,000 (from memory), so it is stated with every number.
 */
export const DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE = 325_000;

/** How fast a material works with temperature, and the temperature at which its seconds are counted. */
export interface Kinetics {
  readonly activationEnergyJoulesPerMole: number;
  readonly referenceCelsius: number;
}

/** A corner of a curve: all that heat work needs of a sample. */
export type CurvePoint = Pick<Sample, "atSeconds" | "celsius">;

/** Pieces no longer than this are integrated at once, K: the four-point rule is then exact to 1e-9. */
const LONGEST_PIECE_KELVIN = 8;

/**
 * Rate of heat work: how many seconds at the reference temperature one second at this one is worth.
 *
 *     k/k_ref = exp[−(E/R)·(1/T − 1/T_ref)]          T in kelvin (Arrhenius)
 *
 * @example heatWorkRate(760, { activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760 }) // 1
 */
export function heatWorkRate(celsius: number, kinetics: Kinetics): number {
  const kelvin = kelvinFromCelsius(celsius);
  if (kelvin <= 0) return 0;
  const referenceKelvin = kelvinFromCelsius(kinetics.referenceCelsius);
  const energyKelvin = kinetics.activationEnergyJoulesPerMole / GAS_CONSTANT;
  return Math.exp(-energyKelvin * (1 / kelvin - 1 / referenceKelvin));
}

/**
 * Heat work: time at temperature, as the seconds at a reference temperature that would do the same.
 *
 *     t_eq = ∫ exp[−(E/R)·(1/T − 1/T_ref)] dt          T in kelvin (Arrhenius equivalent time)
 *
 * Temperature is straight between samples; gaps hold no heat work and are reported by `gaps`.
 * @param trace     °C over seconds; fewer than two samples hold none
 * @param kinetics  activation energy in J/mol and reference temperature in °C
 * @param silences  its gaps; give those of the whole trace when this is only a part of it
 * @returns equivalent seconds, never negative
 * @throws RangeError when two samples are out of time order
 * @example heatWorkEquivalentSeconds([{ atSeconds: 0, celsius: 760 }, { atSeconds: 60, celsius: 760 }], { activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760 }) // 60
 */
export function heatWorkEquivalentSeconds(
  trace: Trace,
  kinetics: Kinetics,
  silences: readonly Gap[] = gaps(trace),
): number {
  const isSilent = (from: CurvePoint, to: CurvePoint) =>
    silences.some((gap) => from.atSeconds >= gap.fromSeconds && to.atSeconds <= gap.toSeconds);
  let equivalentSeconds = 0;
  for (const [index, to] of trace.entries()) {
    const from = trace[index - 1];
    if (from && !isSilent(from, to)) equivalentSeconds += straightPiece(from, to, kinetics);
  }
  return equivalentSeconds;
}

/**
 * Heat work of a curve given by its corners, however far apart they are: a planned curve has no gaps.
 * @param curve         corners in rising time, °C over seconds
 * @param shiftKelvin   the whole curve hotter by this much
 * @throws RangeError when two corners are out of time order
 * @example curveEquivalentSeconds([{ atSeconds: 0, celsius: 750 }, { atSeconds: 60, celsius: 750 }], { activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760 }, 10) // 60
 */
export function curveEquivalentSeconds(
  curve: readonly CurvePoint[],
  kinetics: Kinetics,
  shiftKelvin = 0,
): number {
  let equivalentSeconds = 0;
  for (const [index, to] of curve.entries()) {
    const from = curve[index - 1];
    if (from) equivalentSeconds += straightPiece(from, to, kinetics, shiftKelvin);
  }
  return equivalentSeconds;
}

/**
 * The uniform shift of a planned curve that would deliver a given heat work, K: positive when more was
 * delivered than planned. Where the cooling is left free it belongs to no plan: leave it out of both.
 * @param curve              planned corners, °C over seconds
 * @param equivalentSeconds  heat work to meet; must be above 0 for an answer
 * @returns null when nothing within ±500 K meets it
 * @example equivalentOffsetKelvin([{ atSeconds: 0, celsius: 760 }, { atSeconds: 60, celsius: 760 }], 60, { activationEnergyJoulesPerMole: 325_000, referenceCelsius: 760 }) // 0
 */
export function equivalentOffsetKelvin(
  curve: readonly CurvePoint[],
  equivalentSeconds: number,
  kinetics: Kinetics,
): number | null {
  const planned = curveEquivalentSeconds(curve, kinetics);
  if (!(equivalentSeconds > 0) || !(planned > 0)) return null;
  if (planned === equivalentSeconds) return 0;
  let lowKelvin = -500;
  let highKelvin = 500;
  const excess = (kelvin: number) => curveEquivalentSeconds(curve, kinetics, kelvin) - equivalentSeconds;
  if (excess(lowKelvin) > 0 || excess(highKelvin) < 0) return null;
  while (highKelvin - lowKelvin > 1e-7) {
    const middleKelvin = (lowKelvin + highKelvin) / 2;
    if (excess(middleKelvin) < 0) lowKelvin = middleKelvin;
    else highKelvin = middleKelvin;
  }
  return (lowKelvin + highKelvin) / 2;
}

function straightPiece(from: CurvePoint, to: CurvePoint, kinetics: Kinetics, shiftKelvin = 0): number {
  const lengthSeconds = to.atSeconds - from.atSeconds;
  if (!(lengthSeconds >= 0))
    throw new RangeError(`heat work requires rising time, got ${from.atSeconds} s then ${to.atSeconds} s`);
  const riseKelvin = to.celsius - from.celsius;
  if (riseKelvin === 0) return lengthSeconds * heatWorkRate(from.celsius + shiftKelvin, kinetics);
  const pieces = Math.ceil(Math.abs(riseKelvin) / LONGEST_PIECE_KELVIN);
  let sum = 0;
  for (let piece = 0; piece < pieces; piece++)
    for (const { at, weight } of QUADRATURE) {
      const share = (piece + (1 + at) / 2) / pieces;
      sum += weight * heatWorkRate(from.celsius + shiftKelvin + share * riseKelvin, kinetics);
    }
  return (sum / (2 * pieces)) * lengthSeconds;
}
