import type { CurvePoint } from "#core/heat/heat-work";
import type { Material, Viscosity } from "#core/heat/material";
import { QUADRATURE } from "#core/heat/quadrature";
import { viscosityPascalSeconds } from "#core/heat/viscosity";
import type { Gap } from "#core/trace/trace";

/** All that makes a glass flow: a material whose viscosity is known. */
export interface FlowingGlass {
  readonly viscosity: Viscosity;
  readonly surfaceTensionNewtonsPerMetre: number;
}

const MICROMETRES_PER_METRE = 1e6;

/** log10 to ln. */
const NATURAL_PER_DECADE = Math.LN10;

/** The rate changes at most by this power of e over a piece: the four-point rule is then exact to 1e-9. */
const LONGEST_PIECE_NATURAL = 0.5;

/** And a piece is at most this share of its distance from T0, where the formula has its pole. */
const LONGEST_PIECE_FRACTION = 0.2;

/** No piece is shorter than this, K: what is left so near T0 is nothing. */
const SHORTEST_PIECE_KELVIN = 1e-6;

/** Colder than where the rate is e^−45 of the hottest of a straight piece (3e-20), nothing is added. */
const NEGLIGIBLE_NATURAL = 45;

/**
 * How fast a glass flows at a temperature, µm/s: dΛ/dt = γ/η(t), the speed at which surface tension pulls
 * its shape together. 0 at and below T0, where the viscosity is infinite.
 * @param celsius  of the glass itself, °C
 * @param glass    viscosity (VFT) and surface tension, N/m
 * @example Math.round(flowMicrometresPerSecond(700, { viscosity: { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 }, surfaceTensionNewtonsPerMetre: 0.3 }) * 1e4) / 1e4 // 0.1104
 */
export function flowMicrometresPerSecond(celsius: number, glass: FlowingGlass): number {
  return (
    (MICROMETRES_PER_METRE * glass.surfaceTensionNewtonsPerMetre) /
    viscosityPascalSeconds(celsius, glass.viscosity)
  );
}

/**
 * Flow length of a curve, µm: how far surface tension has pulled the glass.
 *
 *     Λ = ∫ γ/η(t) dt          γ surface tension, N/m; η viscosity, Pa·s (VFT); so Λ in metres, told in µm
 *
 * It is heat work with a physical unit, and carries the activation energy that the viscosity has at each
 * temperature. What surface tension does to a shape of size L depends on Λ/L alone: necks and shrinkage
 * (Frenkel 1945: ΔL/L0 = 3Λ/8r), densification (Scherer 1977), rounded edges, levelled ripples.
 *
 *     Λ
 *     │            ╭────     nearly all of it comes in the last 50 K and the hold:
 *     │           ╱          10 K at the top are worth about a third of it
 *     │  ________╱
 *     └──────────────── t
 *
 * Straight between corners, however far apart they are: a planned curve has no gaps. Of a measured trace
 * give its gaps as `silences`, which then hold no flow, as they hold no heat work.
 *
 * Limits: Newtonian glass of one composition; crystals only as a constant share (`stiffenedByCrystals`);
 * constant surface tension (it changes by some 2 % over 300 K, but steam can halve it near 600 °C); and no
 * structural relaxation, so that little is meant by the flow below about Tg + 30 K.
 * @param curve     corners in rising time, °C over seconds; fewer than two hold no flow
 * @param material  viscosity and surface tension, N/m
 * @param silences  stretches in which nothing was measured; none unless given
 * @returns µm, never negative; null where the material states no viscosity. Within 1e-8 of the integral.
 * @throws RangeError when two corners are out of time order
 * @example Math.round((flowLengthMicrometres([{ atSeconds: 0, celsius: 700 }, { atSeconds: 60, celsius: 700 }], { viscosity: { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 }, surfaceTensionNewtonsPerMetre: 0.3 }) ?? 0) * 1000) / 1000 // 6.623
 */
export function flowLengthMicrometres(
  curve: readonly CurvePoint[],
  material: Pick<Material, "viscosity" | "surfaceTensionNewtonsPerMetre">,
  silences: readonly Gap[] = [],
): number | null {
  const { viscosity, surfaceTensionNewtonsPerMetre } = material;
  if (!viscosity) return null;
  const glass = { viscosity, surfaceTensionNewtonsPerMetre };
  const isSilent = (from: CurvePoint, to: CurvePoint) =>
    silences.some((gap) => from.atSeconds >= gap.fromSeconds && to.atSeconds <= gap.toSeconds);
  let micrometres = 0;
  for (const [index, to] of curve.entries()) {
    const from = curve[index - 1];
    if (from && !isSilent(from, to)) micrometres += straightPiece(from, to, glass);
  }
  return micrometres;
}

function straightPiece(from: CurvePoint, to: CurvePoint, glass: FlowingGlass): number {
  const lengthSeconds = to.atSeconds - from.atSeconds;
  if (!(lengthSeconds >= 0))
    throw new RangeError(`flow length requires rising time, got ${from.atSeconds} s then ${to.atSeconds} s`);
  const riseKelvin = Math.abs(to.celsius - from.celsius);
  if (riseKelvin === 0) return lengthSeconds * flowMicrometresPerSecond(from.celsius, glass);
  const hotCelsius = Math.max(from.celsius, to.celsius);
  return (lengthSeconds * flowOverTemperature(hotCelsius, riseKelvin, glass)) / riseKelvin;
}

/**
 * ∫ γ/η dT over a rise, µm·K/s: from the hottest down, in pieces over each of which the rate changes little.
 * Counted as kelvin below the hottest, so that a rise of one rounding of a reading keeps its digits.
 */
function flowOverTemperature(hotCelsius: number, riseKelvin: number, glass: FlowingGlass): number {
  const { kelvin, zeroCelsius } = glass.viscosity;
  const naturalKelvin = kelvin * NATURAL_PER_DECADE;
  const highest = hotCelsius - zeroCelsius;
  const deepest = Math.min(riseKelvin, highest); // nothing flows below T0
  let sum = 0;
  let below = 0;
  while (below < deepest) {
    const above = highest - below;
    if (naturalKelvin / above - naturalKelvin / highest > NEGLIGIBLE_NATURAL) break;
    const piece = Math.min(longestPieceKelvin(above, naturalKelvin), deepest - below);
    sum += pieceOverTemperature(hotCelsius - below, piece, glass);
    below += piece;
  }
  return sum;
}

function longestPieceKelvin(above: number, naturalKelvin: number): number {
  const bySlope = (LONGEST_PIECE_NATURAL * above ** 2) / naturalKelvin;
  return Math.max(SHORTEST_PIECE_KELVIN, Math.min(bySlope, LONGEST_PIECE_FRACTION * above));
}

function pieceOverTemperature(hotCelsius: number, dropKelvin: number, glass: FlowingGlass): number {
  let sum = 0;
  for (const { at, weight } of QUADRATURE)
    sum += weight * flowMicrometresPerSecond(hotCelsius - ((1 + at) / 2) * dropKelvin, glass);
  return (sum / 2) * dropKelvin;
}
