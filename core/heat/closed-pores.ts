import {
  gasHectopascals,
  limitRadiusMicrometres,
  type PoreSurroundings,
  surfacePressureHectopascals,
  type TrappedGas,
} from "#core/heat/trapped-gas";

/**
 * The last stage of sintering: round pores, closed, shrink in a glass. Mackenzie and Shuttleworth:
 *
 *     dρ/dt = (3/(4·η))·(1 − ρ)·[2·γ/a − p_i + p_e]          a = [3·(1 − ρ)/(4·π·n·ρ)]^(1/3)
 *
 *     ρ    relative density                         γ  surface tension, N/m
 *     a    radius of a pore, µm                     η  viscosity, Pa·s
 *     n    pores per volume of solid, 1/µm³         Λ  flow length ∫ γ/η dt, µm (flow-length.ts)
 *     p_i  pressure in the pore, hPa: resists       p_e  pressure in the furnace, hPa: helps, once a pore is closed
 *
 * The same as the radius of a pore over the flow length, which is how it is solved here:
 *
 *     da/dΛ = −(1/(4·γ))·(1/ρ)·[2·γ + a·(p_e − p_i)]         1/ρ = 1 + (4·π/3)·n·a³
 *
 * Without gas it is closed: with z³ = (1 − ρ)/ρ, Λ·n^(1/3) = 2·(3/(4·π))^(1/3)·∫ dz/(1 + z³). Full density comes
 * after a finite flow, about as much again as closing the channels took.
 * Source: J. K. Mackenzie, R. Shuttleworth, A phenomenological theory of sintering, Proc. Phys. Soc. B 62 (1949) 833.
 * Limits: pores of one size that neither merge nor rise; Newtonian glass without crystals; free to shrink.
 */

const SPHERE = (4 * Math.PI) / 3;
const ROOT_3 = Math.sqrt(3);

/** Of the two-stage Rosenbrock method below: 1 − 1/√2 damps what is infinitely fast to nothing (L-stable). */
const ROSENBROCK_GAMMA = 1 - Math.SQRT1_2;

/** A step is repeated at half its length when its two orders differ by more than this share of the radius. */
const LARGEST_ERROR_FRACTION = 1e-5;

/** A pore of less than this share of its first radius is at its limit radius: there surface tension is all that counts. */
const SMALLEST_RADIUS_FRACTION = 1e-3;

/** Where even this share of a piece of flow is too long a step, the piece is long enough to come to rest in. */
const SHORTEST_STEP_FRACTION = 1e-5;

/** The pores of a layer: what does not change while they shrink. */
export interface ClosedPores {
  /** Pores per volume of solid, 1/µm³. */
  readonly perCubicMicrometre: number;
  /** What each locked in when it closed. */
  readonly gas: TrappedGas;
}

/**
 * The radius of equal round pores that make up a porosity, µm.
 * @param relativeDensity    above 0, at most 1
 * @param perCubicMicrometre pores per volume of solid, 1/µm³
 * @example Math.round(1e5 * poreRadiusMicrometres(0.9419809278192497, 1 / 600)) / 1e5 // 2.06632
 */
export function poreRadiusMicrometres(relativeDensity: number, perCubicMicrometre: number): number {
  return Math.cbrt((1 - relativeDensity) / (SPHERE * perCubicMicrometre * relativeDensity));
}

/**
 * The share of a layer that is pores: v/(1 + v) with v = (4·π/3)·n·a³ of the solid's volume.
 * @param radiusMicrometres  of every pore, µm
 * @param perCubicMicrometre pores per volume of solid, 1/µm³
 * @example porosityOfPores(0, 1 / 600) // 0
 */
export function porosityOfPores(radiusMicrometres: number, perCubicMicrometre: number): number {
  const perSolid = SPHERE * perCubicMicrometre * radiusMicrometres ** 3;
  return perSolid / (1 + perSolid);
}

/**
 * Reduced time Λ·n^(1/3) from one relative density to a higher one where no gas resists and the furnace is empty.
 * @param fromRelativeDensity above 0, at most 1
 * @param toRelativeDensity   above 0, at most 1
 * @example Math.round(1e6 * gasFreeReducedTime(0.9419809278192497, 1)) / 1e6 // 0.482688
 */
export function gasFreeReducedTime(fromRelativeDensity: number, toRelativeDensity: number): number {
  const from = Math.cbrt((1 - fromRelativeDensity) / fromRelativeDensity);
  const to = Math.cbrt((1 - toRelativeDensity) / toRelativeDensity);
  return 2 * Math.cbrt(1 / SPHERE) * (gasFreeIntegral(from) - gasFreeIntegral(to));
}

/**
 * The radius of closed pores after some flow, µm: shrunk towards the limit that their gas sets, or swollen to it.
 * Steady pressure and temperature; where those change, call it piece by piece.
 *
 * Near its limit a pore settles within a flow of about its own radius, thousands of times faster than a hold lasts:
 * the equation is stiff. Solved by the two-stage Rosenbrock method of second order (J. G. Verwer et al., SIAM J. Sci.
 * Comput. 20 (1999) 1456: ROS2), with steps chosen by the difference to its first-order part.
 * @param radiusMicrometres     before, µm
 * @param flowLengthMicrometres Λ of this piece, µm; none changes nothing
 * @returns µm; 0 where no pore is left
 * @example poreRadiusAfterFlowMicrometres(2, 1e6, { perCubicMicrometre: 1 / 600, gas: { radiusMicrometres: 2, hectopascals: 4000, kelvin: 1000 } }, { surfaceTensionNewtonsPerMetre: 0.3, hectopascals: 1000, kelvin: 1000 }) // 2
 */
export function poreRadiusAfterFlowMicrometres(
  radiusMicrometres: number,
  flowLengthMicrometres: number,
  pores: ClosedPores,
  around: PoreSurroundings,
): number {
  const smallest = SMALLEST_RADIUS_FRACTION * pores.gas.radiusMicrometres;
  const shortest = SHORTEST_STEP_FRACTION * flowLengthMicrometres;
  const change = changeOfRadius(pores, around);
  let radius = radiusMicrometres;
  let left = flowLengthMicrometres;
  let step = left;
  while (left > 0 && radius > smallest && step >= Math.min(shortest, left)) {
    step = Math.min(step, left);
    const tried = rosenbrockStep(radius, step, change);
    if (tried.errorFraction > LARGEST_ERROR_FRACTION) {
      step /= 2;
      continue;
    }
    radius = tried.radius;
    left -= step;
    if (tried.errorFraction < LARGEST_ERROR_FRACTION / 5) step *= 2;
  }
  return left > 0 ? limitRadiusMicrometres(pores.gas, around) : radius;
}

/** da/dΛ at a radius, and its own derivative. */
type ChangeOfRadius = (radius: number) => { readonly slope: number; readonly slopePerRadius: number };

function changeOfRadius({ perCubicMicrometre, gas }: ClosedPores, around: PoreSurroundings): ChangeOfRadius {
  const squeeze = surfacePressureHectopascals(1, around.surfaceTensionNewtonsPerMetre);
  const push = Math.max(0, around.hectopascals);
  const amount = gasHectopascals(gas, 1, around.kelvin);
  return (radius) => {
    const perSolid = SPHERE * perCubicMicrometre * radius ** 3;
    const inward = squeeze + push * radius - amount / radius ** 2;
    const inwardPerRadius = push + (2 * amount) / radius ** 3;
    return {
      slope: -((1 + perSolid) * inward) / (2 * squeeze),
      slopePerRadius: -((1 + perSolid) * inwardPerRadius + (3 * perSolid * inward) / radius) / (2 * squeeze),
    };
  };
}

function rosenbrockStep(
  radius: number,
  step: number,
  change: ChangeOfRadius,
): { readonly radius: number; readonly errorFraction: number } {
  const { slope, slopePerRadius } = change(radius);
  const damping = 1 - ROSENBROCK_GAMMA * step * slopePerRadius;
  const first = slope / damping;
  const predicted = radius + step * first;
  if (!(damping > 0 && predicted > 0)) return { radius: 0, errorFraction: Number.POSITIVE_INFINITY };
  const second = (change(predicted).slope - 2 * first) / damping;
  const corrected = radius + (step * (3 * first + second)) / 2;
  const difference = Math.abs(step * (first + second)) / 2;
  return {
    radius: corrected,
    errorFraction: corrected > 0 ? difference / corrected : Number.POSITIVE_INFINITY,
  };
}

/** ∫ dz/(1 + z³) from 0, but for a constant. */
function gasFreeIntegral(z: number): number {
  return Math.log((1 + z) ** 2 / (1 - z + z * z)) / 6 + Math.atan((2 * z - 1) / ROOT_3) / ROOT_3;
}
