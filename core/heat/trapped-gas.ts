/**
 * Gas that a pore locks in when it closes. Surface tension squeezes it until it pushes back as hard as the surface
 * and the furnace push in, and there the pore stays, however long and hot the hold:
 *
 *     p_i = p_c·(a_c/a)³·(T/T_c)                   ideal gas, nothing dissolves or leaks
 *     2·γ/a + p_e = p_c·(a_c/a)³·(T/T_c)           the limit radius a
 *
 *     a    radius of the pore, µm                  p_i  pressure in it, hPa
 *     a_c  radius when it closed, µm               p_c  pressure locked in then: the furnace's of that moment, hPa
 *     T    temperature, K                          p_e  pressure in the furnace now, hPa
 *     T_c  temperature when it closed, K           γ    surface tension, N/m
 *
 * A pore of 2 µm has 2·γ/a ≈ 3 bar: it squeezes a vacuum's leavings to nothing, but air only to a seventh of its
 * volume. Air let in after closure adds its push from outside; a vacuum pulled after closure takes that push away
 * and the pore swells, a large one most of all. Pores that merge lose surface pressure and swell too.
 * Source: J. K. Mackenzie, R. Shuttleworth, A phenomenological theory of sintering, Proc. Phys. Soc. B 62 (1949) 833,
 * for the balance; the rest is Boyle's and Gay-Lussac's law.
 * Limits: pores of one size, spheres; no gas dissolves (nitrogen hardly does in the time of a bake, from memory) and
 * none is released by the glass; so this is the least that a closed-in gas can do, not the most.
 */

/** 1 N/m over 1 µm is 10⁴ hPa. */
const HECTOPASCAL_MICROMETRES_PER_NEWTON_PER_METRE = 1e4;

/** Newton's method comes down on the root from above, doubling its digits. */
const NEWTON_ROUNDS = 60;

/** The gas in one pore: how much there is, told by the pressure that it had in a pore of some radius at some heat. */
export interface TrappedGas {
  readonly radiusMicrometres: number;
  readonly hectopascals: number;
  readonly kelvin: number;
}

/** What acts on a pore from outside. */
export interface PoreSurroundings {
  readonly surfaceTensionNewtonsPerMetre: number;
  /** Absolute pressure in the furnace, hPa. */
  readonly hectopascals: number;
  readonly kelvin: number;
}

/**
 * The pressure with which surface tension squeezes a pore, hPa: 2·γ/a (Young and Laplace).
 * @example surfacePressureHectopascals(2, 0.3) // 3000
 */
export function surfacePressureHectopascals(
  radiusMicrometres: number,
  surfaceTensionNewtonsPerMetre: number,
): number {
  const tension = HECTOPASCAL_MICROMETRES_PER_NEWTON_PER_METRE * surfaceTensionNewtonsPerMetre;
  return (2 * tension) / radiusMicrometres;
}

/**
 * The pressure of a gas in a pore of another radius and at another temperature, hPa.
 * @example gasHectopascals({ radiusMicrometres: 2, hectopascals: 1000, kelvin: 1000 }, 1, 1100) // 8800
 */
export function gasHectopascals(gas: TrappedGas, radiusMicrometres: number, kelvin: number): number {
  return gas.hectopascals * (gas.radiusMicrometres / radiusMicrometres) ** 3 * (kelvin / gas.kelvin);
}

/**
 * The radius at which a pore with gas in it comes to rest, µm; 0 when there is no gas.
 * Both 2·γ·a² and p_e·a³ alone reach the gas's p·a³ above the root, so Newton's method starts at the nearer one.
 * @example Math.round(1e3 * limitRadiusMicrometres({ radiusMicrometres: 2, hectopascals: 1000, kelvin: 1000 }, { surfaceTensionNewtonsPerMetre: 0.3, hectopascals: 1000, kelvin: 1000 })) / 1e3 // 1.064
 */
export function limitRadiusMicrometres(gas: TrappedGas, around: PoreSurroundings): number {
  const amount = gasHectopascals(gas, 1, around.kelvin);
  if (!(amount > 0)) return 0;
  const squeeze = surfacePressureHectopascals(1, around.surfaceTensionNewtonsPerMetre);
  const push = Math.max(0, around.hectopascals);
  let radius = Math.min(Math.sqrt(amount / squeeze), Math.cbrt(amount / push));
  for (let round = 0; round < NEWTON_ROUNDS; round++) {
    const excess = squeeze * radius ** 2 + push * radius ** 3 - amount;
    const step = excess / (2 * squeeze * radius + 3 * push * radius ** 2);
    if (!(step > 1e-15 * radius)) break;
    radius -= step;
  }
  return radius;
}

/**
 * The gas in a pore that has come to rest: it pushes as hard as surface and furnace together.
 * @example restingGas(2, { surfaceTensionNewtonsPerMetre: 0.3, hectopascals: 1000, kelvin: 1000 }) // { radiusMicrometres: 2, hectopascals: 4000, kelvin: 1000 }
 */
export function restingGas(radiusMicrometres: number, around: PoreSurroundings): TrappedGas {
  const squeeze = surfacePressureHectopascals(radiusMicrometres, around.surfaceTensionNewtonsPerMetre);
  return { radiusMicrometres, hectopascals: squeeze + around.hectopascals, kelvin: around.kelvin };
}

/**
 * The gas of several equal pores run together: as much pressure in as many volumes.
 * @param pores how many
 * @example mergedGas({ radiusMicrometres: 1, hectopascals: 4000, kelvin: 1000 }, 8) // { radiusMicrometres: 2, hectopascals: 4000, kelvin: 1000 }
 */
export function mergedGas(gas: TrappedGas, pores: number): TrappedGas {
  return { ...gas, radiusMicrometres: gas.radiusMicrometres * Math.cbrt(pores) };
}
