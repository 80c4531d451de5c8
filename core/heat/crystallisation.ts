import { scaledExponentialIntegral } from "#core/heat/exponential-integral";
import { type CurvePoint, curveEquivalentSeconds, GAS_CONSTANT, type Kinetics } from "#core/heat/heat-work";
import { type ClimbEnd, climbEquivalentSeconds } from "#core/heat/heat-work-trade";
import { straightLine } from "#core/statistics/straight-line";
import { kelvinFromCelsius } from "#core/units";

/** Kelvin that reach from nothing happening to all over, for any glass: where a peak is looked for. */
const COLDEST_PEAK_CELSIUS = 100;
const HOTTEST_PEAK_CELSIUS = 2500;

/**
 * How much of a glass has turned to crystals, by Johnson and Mehl, Avrami and Kolmogorov, for any temperature history.
 *
 *     y = ∫ k dt          k = k_ref·exp[−(E/R)·(1/T − 1/T_ref)]          X = 1 − exp(−yⁿ)
 *
 *     X  share of what can crystallise that has, 0 to 1     y  extended time, no unit     k  rate, 1/s
 *     E  activation energy, J/mol     n  Avrami exponent: 3 for growth from fixed nuclei in the bulk, near 1 from surfaces
 *
 * y is k_ref times the heat work (`heat-work.ts`): it adds over the bakes of a piece and is never reset, X does not add.
 *
 * At a steady climb β the conversion is fastest at the peak, where (y'/y)·(n − 1 − n·yⁿ) + E/(R·T²) = 0, y' = k/β;
 * over several rates ln(β/T²) falls with 1/T as −E/R (Kissinger, Anal. Chem. 29 (1957) 1702, from memory).
 *
 * Source: Avrami, J. Chem. Phys. 7 (1939) 1103 and on, in the isokinetic form for changing temperature (from memory).
 * Limits: nuclei all there at the start, one energy, no change of composition as crystals grow. Never carry E between
 * methods: of one lithium disilicate glass 462 kJ/mol and n 4 by microscopy, 188 and 2.4 by calorimetry are published
 * (J. Am. Ceram. Soc. 97 (2014) 157). Crystals at the surfaces of a powder can stop its sintering: hotter and faster
 * favours density, slow and repeated favours crystals (Prado and Zanotto 2002).
 */
export interface CrystalGrowth extends Kinetics {
  /** k_ref: rate at the reference temperature, 1/s. */
  readonly perSecond: number;
  /** n */
  readonly avramiExponent: number;
}

/**
 * Extended time of a curve, no unit: ∫ k dt.
 * @param curve  corners in rising time, °C over seconds; straight between them, however far apart
 * @throws RangeError when two corners are out of time order
 * @example extendedTime([{ atSeconds: 0, celsius: 750 }, { atSeconds: 60, celsius: 750 }], { perSecond: 0.01, avramiExponent: 3, activationEnergyJoulesPerMole: 300_000, referenceCelsius: 750 }) // 0.6
 */
export function extendedTime(curve: readonly CurvePoint[], growth: CrystalGrowth): number {
  return growth.perSecond * curveEquivalentSeconds(curve, growth);
}

/**
 * Crystallised share after one or more bakes, 0 to 1: their extended times add.
 * @param extendedTimes   of each bake, no unit
 * @param avramiExponent  n
 * @throws RangeError when a time is negative or n is not above 0
 * @example Math.round(crystallisedFraction([0.5, 0.5], 3) * 1e4) / 1e4 // 0.6321
 */
export function crystallisedFraction(extendedTimes: readonly number[], avramiExponent: number): number {
  if (!(avramiExponent > 0))
    throw new RangeError(`crystallisation requires an Avrami exponent above 0, got ${avramiExponent}`);
  const wrong = extendedTimes.find((time) => !(time >= 0));
  if (wrong !== undefined)
    throw new RangeError(`crystallisation requires extended times of 0 or more, got ${wrong}`);
  const total = extendedTimes.reduce((sum, time) => sum + time, 0);
  return -Math.expm1(-(total ** avramiExponent));
}

/**
 * Where crystallisation is fastest on a steady climb from cold, °C: the peak of a calorimeter's curve.
 * @throws RangeError when the rate is not above 0
 * @returns null when there is none from 100 to 2500 °C
 * @example Math.round((crystallisationPeakCelsius(10, { perSecond: 0.001, avramiExponent: 3, activationEnergyJoulesPerMole: 300_000, referenceCelsius: 750 }) ?? 0) * 10) / 10 // 801.8
 */
export function crystallisationPeakCelsius(kelvinPerMinute: number, growth: CrystalGrowth): number | null {
  let low = COLDEST_PEAK_CELSIUS;
  let high = HOTTEST_PEAK_CELSIUS;
  /** Positive while conversion still speeds up: the slope of ln(dX/dT) times T². */
  const hastening = (celsius: number) => hasteningOf({ kelvinPerMinute, celsius }, growth);
  if (!(hastening(low) > 0 && hastening(high) < 0)) return null;
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (hastening(middle) > 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Activation energy from peaks (or any like event) at several climb rates, J/mol: Kissinger's line by least squares.
 * @param peaks at least three, not all at one temperature
 * @throws RangeError for fewer peaks, or all at one temperature
 * @example Math.round(kissingerEnergyJoulesPerMole([{ kelvinPerMinute: 15 / 60, celsius: 656 }, { kelvinPerMinute: 1, celsius: 678 }, { kelvinPerMinute: 150 / 60, celsius: 695 }]) / 10) // 42703
 */
export function kissingerEnergyJoulesPerMole(peaks: readonly ClimbEnd[]): number {
  const points = peaks.map(({ kelvinPerMinute, celsius }) => {
    const kelvin = kelvinFromCelsius(celsius);
    return { x: 1 / kelvin, y: Math.log(kelvinPerMinute / kelvin ** 2) };
  });
  return -GAS_CONSTANT * straightLine(points, points[0]?.x ?? 0).slope;
}

function hasteningOf(end: ClimbEnd, growth: CrystalGrowth): number {
  const kelvin = kelvinFromCelsius(end.celsius);
  const energyKelvin = growth.activationEnergyJoulesPerMole / GAS_CONSTANT;
  const extended = growth.perSecond * climbEquivalentSeconds(end, growth);
  // y'/y, 1/K: one over T·e^u·E₂(u), which depends on the rate no more.
  const logSlope = 1 / (kelvin * scaledExponentialIntegral(2, energyKelvin / kelvin));
  const { avramiExponent } = growth;
  return (
    logSlope * (avramiExponent - 1 - avramiExponent * extended ** avramiExponent) + energyKelvin / kelvin ** 2
  );
}
