import { sphereScattering } from "#core/heat/mie";

/** Refractive index of the glass: 1.5, usual for silicate glasses of this kind (common practice, no source). */
const GLASS_INDEX = 1.5;

/** Green light, where the eye sees most: µm in air. */
const WAVELENGTH_MICROMETRES = 0.55;

/** The table of the series reaches over these radii, in logarithmic steps: its last place is 20 µm. */
const SMALLEST_MICROMETRES = 0.02;
const LARGEST_MICROMETRES = 20;
const PLACES_PER_DECADE = 300;
const LAST_PLACE = Math.round(PLACES_PER_DECADE * Math.log10(LARGEST_MICROMETRES / SMALLEST_MICROMETRES));

/** Beyond the table: what the series settles at, as its mean from 20 to 200 µm. Twice the disc, for the shadow counts too. */
const LARGE_PORE: PoreScattering = { efficiency: 2, asymmetry: 0.773 };

/** g of far smaller pores than the light is long grows with the square of x: read off the series below 0.02 µm. */
const ASYMMETRY_PER_SQUARED_SIZE = 0.145;

const MICROMETRES_PER_MILLIMETRE = 1000;

/**
 * What one pore in glass does to light, and from it what a slab with many of them looks like.
 *
 *     a     pore radius, µm                          x   size parameter, 2π·n·a/λ with n 1.5 and λ 0.55 µm
 *     φ     porosity, share of the volume            Q   scattering efficiency, over the pore's own disc
 *     t     thickness, mm                            g   asymmetry, mean cosine of the angle scattered through
 *
 *     μ_s  = 3·φ·Q/(4·a)             scattering coefficient, 1/mm
 *     μ_s' = μ_s·(1 − g)             reduced: as if every scattering sent light in all directions alike, 1/mm
 *     T_in-line = (1 − R_f)²·exp(−μ_s·t)        R_f = ((n − 1)/(n + 1))² lost at either surface (Fresnel)
 *     S = ¾·μ_s'     R_diffuse = S·t/(1 + S·t)     T_diffuse = 1 − R_diffuse        two fluxes, no absorption
 *
 * Source of Q and g: the Mie series for the relative index 1/1.5, looked up in a table. A place of it is computed
 * when it is first asked for and kept; between places it is straight in log a. Below 0.02 µm Rayleigh with its second
 * term; above 20 µm the limit of large pores. Q and 1 − g are within 1 % of the series up to 20 µm; above, they ripple
 * about the limit by 3 % against each other, and their product, which milkiness comes from, stays within 1 %. Two fluxes: Kubelka and Munk (1931)
 * without absorption, with S = ¾·μ_s' (from memory). The same porosity is milky when its pores are fine and clear
 * with visible bubbles when they are coarse.
 * Limits: all pores spheres of one size, far enough apart not to feel each other (a few per cent by volume);
 * no absorption, no colour, no light lost or sent back at the boundary in R; rough where S·t is below 0.3.
 */
export interface PoreScattering {
  readonly efficiency: number;
  readonly asymmetry: number;
}

/** Places of the table already computed: a memory of a pure function. */
const places = new Map<number, PoreScattering>();

/**
 * Diffuse reflectance of a slab of glass with closed pores of one size, 0 clear to 1 white: the milkiness.
 * @param porosityFraction       share of pores by volume, 0 to 1
 * @param poreRadiusMicrometres  radius of every pore, µm; at 0 there is nothing to see
 * @param thicknessMillimetres   of the slab, mm
 * @throws RangeError when one is negative or not a number, or the porosity above 1
 * @example Math.round(milkinessFraction(0.01, 1, 1) * 1000) / 1000 // 0.689
 */
export function milkinessFraction(
  porosityFraction: number,
  poreRadiusMicrometres: number,
  thicknessMillimetres: number,
): number {
  const { reducedPerMillimetre } = scatteringCoefficients(porosityFraction, poreRadiusMicrometres);
  return diffuseReflectanceFraction(reducedPerMillimetre, thicknessMillimetres);
}

/**
 * Scattering coefficients of glass with pores of one size, 1/mm: μ_s as it is, and μ_s' reduced.
 * @param porosityFraction       share of pores by volume, 0 to 1
 * @param poreRadiusMicrometres  radius of every pore, µm
 * @param pore                   what one such pore does; looked up unless given
 * @throws RangeError when one is negative or not a number, or the porosity above 1
 * @example Math.round(scatteringCoefficients(0.01, 1).reducedPerMillimetre * 100) / 100 // 2.96
 */
export function scatteringCoefficients(
  porosityFraction: number,
  poreRadiusMicrometres: number,
  pore: PoreScattering = poreScattering(poreRadiusMicrometres),
): { readonly perMillimetre: number; readonly reducedPerMillimetre: number } {
  if (!(porosityFraction >= 0 && porosityFraction <= 1))
    throw new RangeError(`scattering requires a porosity from 0 to 1, got ${porosityFraction}`);
  if (poreRadiusMicrometres === 0) return { perMillimetre: 0, reducedPerMillimetre: 0 };
  const perMicrometre = (3 * porosityFraction * pore.efficiency) / (4 * poreRadiusMicrometres);
  const perMillimetre = perMicrometre * MICROMETRES_PER_MILLIMETRE;
  return { perMillimetre, reducedPerMillimetre: perMillimetre * (1 - pore.asymmetry) };
}

/**
 * Efficiency and asymmetry of one pore in glass, in green light.
 * @param poreRadiusMicrometres  µm
 * @throws RangeError when it is negative or not a number
 * @example Math.round(poreScattering(2).efficiency * 1000) / 1000 // 2.13
 */
export function poreScattering(poreRadiusMicrometres: number): PoreScattering {
  if (!(poreRadiusMicrometres >= 0))
    throw new RangeError(`scattering requires a pore radius of 0 or more, got ${poreRadiusMicrometres} µm`);
  if (poreRadiusMicrometres < SMALLEST_MICROMETRES)
    return smallPore(poreSizeParameter(poreRadiusMicrometres));
  if (poreRadiusMicrometres > LARGEST_MICROMETRES) return LARGE_PORE;
  const at = PLACES_PER_DECADE * Math.log10(poreRadiusMicrometres / SMALLEST_MICROMETRES);
  const below = Math.min(LAST_PLACE - 1, Math.floor(at));
  return between(place(below), place(below + 1), at - below);
}

/**
 * Size parameter of a pore in glass, in green light: x = 2π·n·a/λ.
 * @param poreRadiusMicrometres  µm
 * @example Math.round(poreSizeParameter(1) * 1000) / 1000 // 17.136
 */
export function poreSizeParameter(poreRadiusMicrometres: number): number {
  return (2 * Math.PI * GLASS_INDEX * poreRadiusMicrometres) / WAVELENGTH_MICROMETRES;
}

/**
 * Scattering efficiency by anomalous diffraction, the closed formula to compare with: Q = 2 − (4/p)·sin p +
 * (4/p²)·(1 − cos p), p = 2x·|m − 1| (van de Hulst, Light Scattering by Small Particles, 1957, section 11.22).
 * It assumes m near 1 and x large: far too high for pores below 0.5 µm, within about 5 % above 1 µm.
 * @param sizeParameter  x, above 0
 * @param relativeIndex  m; 1/1.5 for a pore in glass
 * @example Math.round(anomalousDiffractionEfficiency(poreSizeParameter(1), 1 / 1.5) * 1000) / 1000 // 2.336
 */
export function anomalousDiffractionEfficiency(sizeParameter: number, relativeIndex: number): number {
  const phase = 2 * sizeParameter * Math.abs(relativeIndex - 1);
  return 2 - (4 / phase) * Math.sin(phase) + (4 / phase ** 2) * (1 - Math.cos(phase));
}

/**
 * Share of light that goes straight through a slab: (1 − R_f)²·exp(−μ_s·t).
 * @param scatteringPerMillimetre  μ_s, 1/mm
 * @param thicknessMillimetres     mm
 * @example Math.round(inLineTransmittanceFraction(0, 1) * 1e4) / 1e4 // 0.9216
 */
export function inLineTransmittanceFraction(
  scatteringPerMillimetre: number,
  thicknessMillimetres: number,
): number {
  const surfaceLoss = ((GLASS_INDEX - 1) / (GLASS_INDEX + 1)) ** 2;
  return (1 - surfaceLoss) ** 2 * Math.exp(-scatteringPerMillimetre * thicknessMillimetres);
}

/**
 * Share of light that a slab sends back: S·t/(1 + S·t), S = ¾·μ_s'. The rest goes through, for nothing is absorbed.
 * @param reducedPerMillimetre  μ_s', 1/mm
 * @param thicknessMillimetres  mm
 * @throws RangeError when one is negative or not a number
 * @example diffuseReflectanceFraction(4 / 3, 1) // 0.5
 */
export function diffuseReflectanceFraction(
  reducedPerMillimetre: number,
  thicknessMillimetres: number,
): number {
  if (!(reducedPerMillimetre >= 0 && thicknessMillimetres >= 0))
    throw new RangeError(
      `reflectance requires a coefficient and a thickness of 0 or more, got ${reducedPerMillimetre} per mm and ${thicknessMillimetres} mm`,
    );
  const depths = 0.75 * reducedPerMillimetre * thicknessMillimetres;
  return depths === Number.POSITIVE_INFINITY ? 1 : depths / (1 + depths);
}

/** Rayleigh with its second term: Q = (8/3)·x⁴·L²·(1 + (6/5)·(m² − 2)/(m² + 2)·x²), L = (m² − 1)/(m² + 2). */
function smallPore(sizeParameter: number): PoreScattering {
  const squaredIndex = 1 / GLASS_INDEX ** 2;
  const squaredSize = sizeParameter ** 2;
  const polarisability = (squaredIndex - 1) / (squaredIndex + 2);
  const second = 1 + (6 / 5) * ((squaredIndex - 2) / (squaredIndex + 2)) * squaredSize;
  return {
    efficiency: (8 / 3) * squaredSize ** 2 * polarisability ** 2 * second,
    asymmetry: ASYMMETRY_PER_SQUARED_SIZE * squaredSize,
  };
}

function place(index: number): PoreScattering {
  const known = places.get(index);
  if (known) return known;
  const radiusMicrometres = SMALLEST_MICROMETRES * 10 ** (index / PLACES_PER_DECADE);
  const sphere = sphereScattering(poreSizeParameter(radiusMicrometres), 1 / GLASS_INDEX);
  const computed = { efficiency: sphere.scatteringEfficiency, asymmetry: sphere.asymmetry };
  places.set(index, computed);
  return computed;
}

function between(one: PoreScattering, other: PoreScattering, share: number): PoreScattering {
  return {
    efficiency: one.efficiency + share * (other.efficiency - one.efficiency),
    asymmetry: one.asymmetry + share * (other.asymmetry - one.asymmetry),
  };
}
