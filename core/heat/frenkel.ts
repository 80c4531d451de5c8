/**
 * The first stage of sintering: two spheres of glass that touch grow a neck, and their centres come together.
 * Frenkel set the work of viscous flow equal to the surface that it saves:
 *
 *     (x/r)² = 3·γ·t/(2·η·r) = 3·Λ/(2·r)          ΔL/L0 = 3·γ·t/(8·η·r) = 3·Λ/(8·r)
 *
 *     x  radius of the neck, µm                    γ  surface tension, N/m
 *     r  radius of the particles, µm               η  viscosity, Pa·s
 *     L  length of the layer                       Λ  flow length ∫ γ/η dt, µm (flow-length.ts)
 *
 * Only the flow length stands in it, so a climb counts as a hold does: any history of the same Λ gives the same neck.
 * Source: J. Frenkel, Viscous flow of crystalline bodies under the action of surface tension, J. Phys. (USSR) 9
 * (1945) 385 (from memory).
 * Limits: spheres of one size, Newtonian glass, nothing that holds the layer; good for the first 5 % or so of
 * shrinkage. Beyond it scherer-cell.ts takes over.
 */

/** Up to this linear shrinkage the formulas of this file are meant, 0 to 1. */
export const FRENKEL_LARGEST_SHRINKAGE_FRACTION = 0.05;

/**
 * The neck between two particles, as a share of their radius: x/r = √(3·Λ/(2·r)).
 * @param flowLengthMicrometres     Λ, µm, at least 0
 * @param particleRadiusMicrometres r, µm
 * @throws RangeError when the radius is not above 0
 * @example neckFraction(6, 9) // 1
 */
export function neckFraction(flowLengthMicrometres: number, particleRadiusMicrometres: number): number {
  return Math.sqrt((3 * flowLengthOverRadius(flowLengthMicrometres, particleRadiusMicrometres)) / 2);
}

/**
 * How much shorter the layer has become, as a share of its first length: ΔL/L0 = 3·Λ/(8·r).
 * @param flowLengthMicrometres     Λ, µm, at least 0
 * @param particleRadiusMicrometres r, µm
 * @throws RangeError when the radius is not above 0
 * @example linearShrinkageFraction(2, 24) // 0.03125
 */
export function linearShrinkageFraction(
  flowLengthMicrometres: number,
  particleRadiusMicrometres: number,
): number {
  return (3 * flowLengthOverRadius(flowLengthMicrometres, particleRadiusMicrometres)) / 8;
}

/**
 * Relative density after a shrinkage that is the same in all three directions: ρ0/(1 − ΔL/L0)³, never above 1.
 * @param relativeDensity         before, 0 to 1
 * @param linearShrinkageFraction ΔL/L0, 0 to 1
 * @example relativeDensityAfterShrinkage(0.25, 0.5) // 1
 */
export function relativeDensityAfterShrinkage(
  relativeDensity: number,
  linearShrinkageFraction: number,
): number {
  if (linearShrinkageFraction >= 1) return 1;
  return Math.min(1, relativeDensity / (1 - linearShrinkageFraction) ** 3);
}

function flowLengthOverRadius(flowLengthMicrometres: number, particleRadiusMicrometres: number): number {
  if (!(particleRadiusMicrometres > 0))
    throw new RangeError(`a neck requires particles of some radius, got ${particleRadiusMicrometres} µm`);
  return flowLengthMicrometres / particleRadiusMicrometres;
}
