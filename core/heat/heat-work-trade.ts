import { scaledExponentialIntegral } from "#core/heat/exponential-integral";
import { GAS_CONSTANT, type Kinetics } from "#core/heat/heat-work";
import { celsiusFromKelvin, kelvinFromCelsius } from "#core/units";

/**
 * What heat work trades for what: a faster climb for a higher top, a longer hold for a lower one.
 *
 *     t_eq(climb from 0 K) = (T/β)·E₂(u)·e^(u_ref)          u = E/(R·T), u_ref = E/(R·T_ref)
 *     equal climbs          T₁·E₂(u₁)/β₁ = T₂·E₂(u₂)/β₂      T₂ − T₁ ≈ (R·T²/E)·ln(β₂/β₁)
 *     equal holds           1/T₂ = 1/T₁ + (R/E)·ln(t₂/t₁)
 *
 *     T  temperature, K     β  climb rate, K per minute here     t  length of a hold, s     E  energy, J/mol
 *
 * Source: Arrhenius equivalent time (`heat-work.ts`), integrated in closed form with the exponential integral E₂;
 * the shift of a climb is Kissinger's (Anal. Chem. 29 (1957) 1702, from memory).
 * Limits: one activation energy over the whole range; a climb at one rate from cold, of which only the last hundred
 * kelvin count; no hold at its end. A glass has one energy only over some ±50 K.
 */
export interface ClimbEnd {
  /** Climb rate over the last hundred kelvin, K/min. */
  readonly kelvinPerMinute: number;
  /** Where it ended, °C. */
  readonly celsius: number;
}

/** Energies looked for: wider than any glass or cone has, J/mol. */
const LEAST_ENERGY = 20_000;
const MOST_ENERGY = 10_000_000;

/**
 * Heat work of a climb at one rate from 0 K, exact, in seconds at the reference temperature.
 * @throws RangeError when its rate is not above 0, or it ends at 0 K or below
 * @example Math.round(climbEquivalentSeconds({ kelvinPerMinute: 45, celsius: 760 }, { activationEnergyJoulesPerMole: 300_000, referenceCelsius: 760 }) * 10) / 10 // 37.4
 */
export function climbEquivalentSeconds(end: ClimbEnd, kinetics: Kinetics): number {
  const referenceKelvin = kelvinFromCelsius(kinetics.referenceCelsius);
  const energyKelvin = kinetics.activationEnergyJoulesPerMole / GAS_CONSTANT;
  const logMinutes = logClimbMinutes(end, kinetics.activationEnergyJoulesPerMole);
  return 60 * Math.exp(logMinutes + energyKelvin / referenceKelvin);
}

/**
 * The top, °C, at which a climb at another rate has done the same heat work, without a hold.
 * @param end                           the climb to match
 * @param kelvinPerMinute               the other rate
 * @param activationEnergyJoulesPerMole J/mol
 * @throws RangeError when a rate is not above 0, or the climb ends at 0 K or below
 * @example Math.round(equalClimbTopCelsius({ kelvinPerMinute: 45, celsius: 760 }, 80, 300_000) * 100) / 100 // 776.37
 */
export function equalClimbTopCelsius(
  end: ClimbEnd,
  kelvinPerMinute: number,
  activationEnergyJoulesPerMole: number,
): number {
  const wanted = logClimbMinutes(end, activationEnergyJoulesPerMole);
  // Newton on ln(heat work), which is nearly straight in 1/T: a few steps from the top that is known.
  let inverseKelvin = 1 / kelvinFromCelsius(end.celsius);
  for (let step = 0; step < 50; step++) {
    const celsius = celsiusFromKelvin(1 / inverseKelvin);
    const excess = logClimbMinutes({ kelvinPerMinute, celsius }, activationEnergyJoulesPerMole) - wanted;
    const argument = (activationEnergyJoulesPerMole / GAS_CONSTANT) * inverseKelvin;
    inverseKelvin *= 1 + excess * scaledExponentialIntegral(2, argument);
    if (Math.abs(excess) < 1e-13) break;
  }
  return celsiusFromKelvin(1 / inverseKelvin);
}

/**
 * The temperature, °C, at which a hold of another length does the same heat work.
 * @param celsius      of the hold to match
 * @param seconds      its length, s
 * @param otherSeconds the other length, s
 * @param activationEnergyJoulesPerMole J/mol
 * @throws RangeError when a length or the energy is not above 0
 * @returns null where no temperature does: a hold so short that even endless heat would not
 * @example Math.round((equalHoldCelsius(770, 60, 120, 300_000) ?? 0) * 1000) / 1000 // 749.507
 */
export function equalHoldCelsius(
  celsius: number,
  seconds: number,
  otherSeconds: number,
  activationEnergyJoulesPerMole: number,
): number | null {
  if (!(seconds > 0 && otherSeconds > 0 && activationEnergyJoulesPerMole > 0))
    throw new RangeError(
      `equal holds require lengths and an energy above 0, got ${seconds} s, ${otherSeconds} s and ${activationEnergyJoulesPerMole} J/mol`,
    );
  const shift = (GAS_CONSTANT / activationEnergyJoulesPerMole) * Math.log(otherSeconds / seconds);
  const inverseKelvin = 1 / kelvinFromCelsius(celsius) + shift;
  return inverseKelvin > 0 ? celsiusFromKelvin(1 / inverseKelvin) : null;
}

/**
 * The activation energy, J/mol, by which two climbs at different rates, each ended where the same had happened to
 * the ware, did the same heat work: by bisection on the exact integrals.
 * @returns null when none from 20 kJ/mol to 10 MJ/mol does: the faster climb has to end higher
 * @throws RangeError when a rate is not above 0, or a climb ends at 0 K or below
 * @example Math.round((apparentEnergyJoulesPerMole({ kelvinPerMinute: 15 / 60, celsius: 656 }, { kelvinPerMinute: 150 / 60, celsius: 695 }) ?? 0) / 1000) // 426
 */
export function apparentEnergyJoulesPerMole(one: ClimbEnd, other: ClimbEnd): number | null {
  const [slow, fast] = one.kelvinPerMinute < other.kelvinPerMinute ? [one, other] : [other, one];
  /** Falls short for a low energy, where time is what counts; is in excess for a high one, where heat does. */
  const excess = (energy: number) => logClimbMinutes(fast, energy) - logClimbMinutes(slow, energy);
  let low = LEAST_ENERGY;
  let high = MOST_ENERGY;
  if (!(excess(low) < 0 && excess(high) > 0)) return null;
  while (high - low > 1e-3) {
    const middle = (low + high) / 2;
    if (excess(middle) < 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** ln of a climb's heat work before it is scaled to a reference: ln[(T/β)·E₂(u)], in minutes. */
function logClimbMinutes(
  { kelvinPerMinute, celsius }: ClimbEnd,
  activationEnergyJoulesPerMole: number,
): number {
  const kelvin = kelvinFromCelsius(celsius);
  if (!(kelvinPerMinute > 0 && kelvin > 0))
    throw new RangeError(
      `a climb requires a rate above 0 and an end above 0 K, got ${kelvinPerMinute} K/min to ${celsius} °C`,
    );
  const argument = activationEnergyJoulesPerMole / (GAS_CONSTANT * kelvin);
  return Math.log((kelvin / kelvinPerMinute) * scaledExponentialIntegral(2, argument)) - argument;
}
