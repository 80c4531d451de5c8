import { gasFreeReducedTime } from "#core/heat/closed-pores";
import { edgeRadiusMicrometres } from "#core/heat/edge-radius";
import { flowLengthMicrometres } from "#core/heat/flow-length";
import type { Material, Packing } from "#core/heat/material";
import {
  CLOSURE_RELATIVE_DENSITY,
  cellsPerCubicMicrometre,
  reducedTimeToClosure,
} from "#core/heat/scherer-cell";

/**
 * The firing window: from the top temperature at which a layer is dense to that at which its edges are round.
 *
 *     Λ (log)                  Λ        flow length of climb and hold, µm (flow-length.ts)
 *     │            ╱           Λ_dense  = [K(ρ0 → closed) + K(closed → dense)] / n^(1/3), without gas:
 *     │─ rounded ╱             Λ_round  where the edge radius is reached (edge-radius.ts)
 *     │        ╱ window        n        cells per volume of solid, 1/µm³ (scherer-cell.ts)
 *     │─ dense╱                K        reduced times of scherer-cell.ts and closed-pores.ts
 *     └───────────── top °C
 *
 * Λ grows by a power of e for each R·T²/E of the top (about 30 K), so the window is about
 * (R·T²/E)·ln(Λ_round/Λ_dense) wide. Λ_dense grows with the size of the voids and Λ_round does not: a poorly
 * condensed layer has a narrow window or none, and comes out milky and rounded at once.
 * Source: composed here of the models named; their sources stand in their files.
 * Limits: theirs, and no gas in the pores: how milky trapped gas leaves a dense layer is in glass-outcome.ts.
 */
export interface FiringWindow {
  /** The flow length that makes the layer dense, µm. */
  readonly denseFlowLengthMicrometres: number;
  /** The lowest top at which it is dense, °C; null where none up to `HOTTEST_TOP_CELSIUS` will do. */
  readonly denseFromCelsius: number | null;
  /** The lowest top at which its edges reach the radius, °C; null as above. */
  readonly roundedFromCelsius: number | null;
  /** Between the two, K; negative where edges are round before the layer is dense. */
  readonly widthKelvin: number | null;
}

/** A climb to a top that is asked for, and the hold there; the cooling is left out. */
export interface ClimbAndHold {
  readonly fromCelsius: number;
  readonly kelvinPerMinute: number;
  readonly holdSeconds: number;
}

/** A layer is called dense from this share on: clear of all but 0.1 % of pores. */
export const DENSE_RELATIVE_DENSITY = 0.999;

/** No top above this is looked for, °C. */
export const HOTTEST_TOP_CELSIUS = 2000;

const SECONDS_PER_MINUTE = 60;

/** A top is found to this, K. */
const SMALLEST_DIFFERENCE_KELVIN = 1e-6;

/**
 * The window of a layer on a climb with a hold.
 * @param material                viscosity, surface tension and packing
 * @param climb                   from where, how fast, how long at the top
 * @param largestEdgeMicrometres  the edge radius that is still right, µm
 * @param relativeDensity         that counts as dense
 * @returns null where the material states no viscosity or packing
 * @throws RangeError when the climb does not rise, or the packing is denser than a cell can be
 * @example firingWindow({ viscosity: null, surfaceTensionNewtonsPerMetre: 0.3, packing: null }, { fromCelsius: 450, kelvinPerMinute: 45, holdSeconds: 60 }, 50) // null
 */
export function firingWindow(
  material: Pick<Material, "viscosity" | "surfaceTensionNewtonsPerMetre" | "packing">,
  climb: ClimbAndHold,
  largestEdgeMicrometres: number,
  relativeDensity = DENSE_RELATIVE_DENSITY,
): FiringWindow | null {
  const { packing, viscosity } = material;
  if (!packing || !viscosity) return null;
  const needed = flowLengthToDenseMicrometres(packing, relativeDensity);
  const dense = lowestTopCelsius(material, climb, (flow) => flow >= needed);
  const rounded = lowestTopCelsius(
    material,
    climb,
    (flow) => edgeRadiusMicrometres(flow) >= largestEdgeMicrometres,
  );
  return {
    denseFlowLengthMicrometres: needed,
    denseFromCelsius: dense,
    roundedFromCelsius: rounded,
    widthKelvin: dense === null || rounded === null ? null : rounded - dense,
  };
}

/**
 * The flow length that takes a packing to a relative density without gas, µm: open cells, then closed pores.
 * @param relativeDensity from `CLOSURE_RELATIVE_DENSITY` to 1; one below counts as closed
 * @throws RangeError when the packing is denser than a cell can be
 * @example Math.round(1e3 * flowLengthToDenseMicrometres({ cellMicrometres: 10, relativeDensity: 0.6 }, 0.999)) / 1e3 // 6.275
 */
export function flowLengthToDenseMicrometres(packing: Packing, relativeDensity: number): number {
  const closing = reducedTimeToClosure(packing.relativeDensity);
  const dense = Math.max(CLOSURE_RELATIVE_DENSITY, relativeDensity);
  const shrinking = gasFreeReducedTime(CLOSURE_RELATIVE_DENSITY, dense);
  return (closing + shrinking) / Math.cbrt(cellsPerCubicMicrometre(packing));
}

/**
 * The lowest top of a climb with a hold whose flow length is enough, °C: a hotter top always flows more.
 * @param isEnough of a flow length in µm
 * @returns null where the material has no viscosity or nothing up to `HOTTEST_TOP_CELSIUS` is enough
 * @throws RangeError when the climb does not rise
 * @example lowestTopCelsius({ viscosity: { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 }, surfaceTensionNewtonsPerMetre: 0.3 }, { fromCelsius: 450, kelvinPerMinute: 45, holdSeconds: 60 }, (flow) => flow >= 0) // 450
 */
export function lowestTopCelsius(
  glass: Pick<Material, "viscosity" | "surfaceTensionNewtonsPerMetre">,
  climb: ClimbAndHold,
  isEnough: (flowLengthMicrometres: number) => boolean,
): number | null {
  if (!(climb.kelvinPerMinute > 0))
    throw new RangeError(`a firing window requires a climb that rises, got ${climb.kelvinPerMinute} K/min`);
  const enoughAt = (celsius: number) => {
    const flow = flowLengthMicrometres(cornersTo(celsius, climb), glass);
    return flow !== null && isEnough(flow);
  };
  let low = climb.fromCelsius;
  let high = HOTTEST_TOP_CELSIUS;
  if (enoughAt(low)) return low;
  if (!enoughAt(high)) return null;
  while (high - low > SMALLEST_DIFFERENCE_KELVIN) {
    const middle = (low + high) / 2;
    if (enoughAt(middle)) high = middle;
    else low = middle;
  }
  return high;
}

function cornersTo(topCelsius: number, { fromCelsius, kelvinPerMinute, holdSeconds }: ClimbAndHold) {
  const topSeconds = (SECONDS_PER_MINUTE * Math.max(0, topCelsius - fromCelsius)) / kelvinPerMinute;
  return [
    { atSeconds: 0, celsius: fromCelsius },
    { atSeconds: topSeconds, celsius: topCelsius },
    { atSeconds: topSeconds + holdSeconds, celsius: topCelsius },
  ];
}
