import { type CurvePoint, GAS_CONSTANT } from "#core/heat/heat-work";
import { kelvinFromCelsius } from "#core/units";

/** Simpson's rule on pieces no longer than this, K: exact to 1e-7 for 500 kJ/mol at 700 °C. */
const LONGEST_PIECE_KELVIN = 2;

/**
 * The work of sintering Θ, s/K, of the master sintering curve.
 *
 *     Θ = ∫ (1/T)·exp[−Q/(R·T)] dt          ρ = F(Θ): one curve for all histories, if Q is right
 *
 *     T  temperature, K     Q  apparent energy of sintering, J/mol     ρ  relative density     F  found by experiment
 *
 * Numbers are tiny, so `logSinteringWork` is what is usually shown and plotted. Q is found by the least spread of
 * ρ(Θ) between heating rates. It is the physics of heat work (`heat-work.ts`) but for the 1/T, and ratios between
 * histories come out within a few per cent of the same.
 * Source: Su and Johnson, J. Am. Ceram. Soc. 79 (1996) 3211.
 * Limits: one powder, one green density, one history of atmosphere: a vacuum fault breaks it, for it changes F.
 * Straight between corners, however far apart: a trace's gaps are the caller's to leave out.
 * @param curve                corners in rising time, °C over seconds; fewer than two have done no work
 * @param energyJoulesPerMole  Q
 * @throws RangeError when two corners are out of time order
 * @example sinteringWorkSecondsPerKelvin([{ atSeconds: 0, celsius: 726.85 }, { atSeconds: 60, celsius: 726.85 }], 0) // 0.06
 */
export function sinteringWorkSecondsPerKelvin(
  curve: readonly CurvePoint[],
  energyJoulesPerMole: number,
): number {
  let work = 0;
  for (const [index, to] of curve.entries()) {
    const from = curve[index - 1];
    if (from) work += straightPiece(from, to, energyJoulesPerMole);
  }
  return work;
}

/**
 * log10 of Θ in s/K; minus infinity when nothing was done.
 * @param curve                corners in rising time, °C over seconds
 * @param energyJoulesPerMole  Q
 * @throws RangeError when two corners are out of time order
 * @example logSinteringWork([{ atSeconds: 0, celsius: 726.85 }, { atSeconds: 10, celsius: 726.85 }], 0) // -2
 */
export function logSinteringWork(curve: readonly CurvePoint[], energyJoulesPerMole: number): number {
  return Math.log10(sinteringWorkSecondsPerKelvin(curve, energyJoulesPerMole));
}

function straightPiece(from: CurvePoint, to: CurvePoint, energyJoulesPerMole: number): number {
  const lengthSeconds = to.atSeconds - from.atSeconds;
  if (!(lengthSeconds >= 0))
    throw new RangeError(
      `sintering work requires rising time, got ${from.atSeconds} s then ${to.atSeconds} s`,
    );
  const rate = (celsius: number) => workPerSecond(celsius, energyJoulesPerMole);
  const riseKelvin = to.celsius - from.celsius;
  const pieces = Math.max(1, Math.ceil(Math.abs(riseKelvin) / LONGEST_PIECE_KELVIN));
  const step = riseKelvin / pieces;
  let sum = 0;
  for (let piece = 0; piece < pieces; piece++) {
    const celsius = from.celsius + piece * step;
    sum += rate(celsius) + 4 * rate(celsius + step / 2) + rate(celsius + step);
  }
  return (sum * lengthSeconds) / (6 * pieces);
}

function workPerSecond(celsius: number, energyJoulesPerMole: number): number {
  const kelvin = kelvinFromCelsius(celsius);
  return kelvin > 0 ? Math.exp(-energyJoulesPerMole / (GAS_CONSTANT * kelvin)) / kelvin : 0;
}
