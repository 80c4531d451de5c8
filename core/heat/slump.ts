/** Standard acceleration of free fall, m/s²: exact (3rd CGPM, 1901; NIST SP 811, appendix B). */
export const STANDARD_GRAVITY = 9.80665;

/** Density of feldspathic and similar silicate glasses, kg/m³ (from memory of general handbooks). */
export const GLASS_KILOGRAMS_PER_CUBIC_METRE = 2450;

/** A glass as weight and surface tension pull at it. */
export interface HeavyGlass {
  readonly surfaceTensionNewtonsPerMetre: number;
  readonly kilogramsPerCubicMetre: number;
}

const MILLIMETRES_PER_METRE = 1000;

/**
 * The size at which weight and surface tension pull alike, mm: √(γ/(ρ·g)).
 *
 *     smaller: cusps, edges, beads     rounded by surface tension long before they sag
 *     larger:  a bulk, a long pontic   sags by its weight before it rounds
 *
 * Textbook (capillary length); about 3.5 mm for silicate glass.
 * @example Math.round(capillaryLengthMillimetres({ surfaceTensionNewtonsPerMetre: 0.3, kilogramsPerCubicMetre: 2450 }) * 100) / 100 // 3.53
 */
export function capillaryLengthMillimetres(glass: HeavyGlass): number {
  const { surfaceTensionNewtonsPerMetre, kilogramsPerCubicMetre } = glass;
  return (
    Math.sqrt(surfaceTensionNewtonsPerMetre / (kilogramsPerCubicMetre * STANDARD_GRAVITY)) *
    MILLIMETRES_PER_METRE
  );
}

/**
 * Weight over surface tension at a size, without a unit: ρ·g·h²/γ, the square of h in capillary lengths.
 * @example Math.round(bondNumber(8, { surfaceTensionNewtonsPerMetre: 0.3, kilogramsPerCubicMetre: 2450 }) * 100) / 100 // 5.13
 */
export function bondNumber(heightMillimetres: number, glass: HeavyGlass): number {
  return (heightMillimetres / capillaryLengthMillimetres(glass)) ** 2;
}

/**
 * How fast the foot of a free column spreads under what stands on it, 1/s: ρ·g·h/(3η).
 * Trouton: a viscous column is three times as stiff against stretching as against shear (textbook).
 * @param pascalSeconds  viscosity
 * @example Math.round(columnStrainPerSecond(8, 1e5, 2450) * 1e7) / 1e7 // 0.0006407
 */
export function columnStrainPerSecond(
  heightMillimetres: number,
  pascalSeconds: number,
  kilogramsPerCubicMetre: number = GLASS_KILOGRAMS_PER_CUBIC_METRE,
): number {
  const heightMetres = heightMillimetres / MILLIMETRES_PER_METRE;
  return (kilogramsPerCubicMetre * STANDARD_GRAVITY * heightMetres) / (3 * pascalSeconds);
}

/**
 * How much height a free column of glass has lost by its own weight, µm.
 *
 *     Δh = ρ·g·h²·t/(6η)   =   Λ·Bo/6          Λ flow length, Bo = ρ·g·h²/γ
 *
 *     ┌─┐        ┌─┐ ↕ Δh
 *     │ │   →   ╱   ╲
 *     └─┘      └─────┘
 *
 * The strain of `columnStrainPerSecond` falls to nothing at the top: half of it on average. Written with Λ it
 * holds for a whole bake, whatever its temperatures were.
 *
 * Limits: dense glass alone, nothing that carries it (a framework does: this is the most it could be), small
 * losses (up to about a tenth of the height), a free foot, no surface tension.
 * @param flowLengthMicrometres  of the glass's own temperature, from `flowLengthMicrometres`
 * @example Math.round(columnSlumpMicrometres(180, 8, { surfaceTensionNewtonsPerMetre: 0.3, kilogramsPerCubicMetre: 2450 }) * 10) / 10 // 153.8
 */
export function columnSlumpMicrometres(
  flowLengthMicrometres: number,
  heightMillimetres: number,
  glass: HeavyGlass,
): number {
  return (flowLengthMicrometres * bondNumber(heightMillimetres, glass)) / 6;
}

/**
 * How far the surface of a film on an upright wall has run down, µm.
 *
 *     Δz = ρ·g·d²·t/(2η)   =   Λ·Bo/2          d thickness of the film, Bo = ρ·g·d²/γ
 *
 * Plane flow down a wall that it sticks to (textbook); the film as a whole runs two thirds as far. A layer of
 * 0.1 mm runs a hundred times less than one of 1 mm: glazes run where they are thick.
 * Limits: wide even film, no rim, wall upright (else times the sine of its slope).
 * @param flowLengthMicrometres  of the glass's own temperature, from `flowLengthMicrometres`
 * @example Math.round(filmRunMicrometres(180, 1, { surfaceTensionNewtonsPerMetre: 0.3, kilogramsPerCubicMetre: 2450 }) * 100) / 100 // 7.21
 */
export function filmRunMicrometres(
  flowLengthMicrometres: number,
  filmMillimetres: number,
  glass: HeavyGlass,
): number {
  return (flowLengthMicrometres * bondNumber(filmMillimetres, glass)) / 2;
}
