import type { Packing } from "#core/heat/material";

/**
 * The middle stage of sintering: a layer as a stack of cubic cells whose edges are cylinders of glass, with open
 * channels between. The cylinders grow thick and short until they touch, and the channels pinch off into pores.
 *
 *      ┌──────┐      a  radius of a cylinder      x = a/l
 *     ╱      ╱│      l  edge of a cell, µm        n  cells (later: pores) per volume of solid, 1/µm³
 *    ┌──────┐ │      ρ  relative density          Λ  flow length, µm (flow-length.ts)
 *    │      │ ╱      K  reduced time Λ·n^(1/3), a pure number counted from x = 0
 *    └──────┘╱
 *
 *     ρ = 3·π·x² − 8·√2·x³                 closed where cylinders touch: x = 1/2, ρ = 0.941981
 *     dx/dt = γ/(2·η·l)                    n^(1/3) = (1/l0)·(1/ρ0)^(1/3)
 *     K(x) = ∫ 2 dx/[x^(2/3)·(3·π − 8·√2·x)^(1/3)]
 *
 * With y = (3·π/x − 8·√2)^(1/3) and b = (8·√2)^(1/3) the integral is ∫ −6·y/(y³ + b³) dy, which is closed:
 *
 *     K = (1/b)·{ √3·π + ln[(y + b)²/(y² − b·y + b²)] − 2·√3·atan[(2·y − b)/(√3·b)] }
 *
 * so nothing here is tabulated, and densities are exact to rounding.
 * Source: G. W. Scherer, Sintering of low-density glasses: I, theory, J. Am. Ceram. Soc. 60 (1977) 236.
 * Limits: one size of cell, Newtonian glass without crystals, free to shrink in all directions. A layer on a rigid
 * core densifies more slowly (from memory, by a factor of 1.5 to 3), and a spread of sizes closes gradually.
 */

const SQUARE = 3 * Math.PI;
const CUBE = 8 * Math.SQRT2;
const CUBE_ROOT = Math.cbrt(CUBE);
const ROOT_3 = Math.sqrt(3);

/** Newton's method settles in four to six rounds from the start chosen below; more would only stir the last digit. */
const NEWTON_ROUNDS = 12;

/** Where the cylinders touch and the channels close: x = a/l = 1/2. */
export const CLOSURE_ASPECT = 1 / 2;

/** Relative density at closure: 3·π/4 − √2 = 0.941981; also the highest that the cell can have. */
export const CLOSURE_RELATIVE_DENSITY = relativeDensityOfAspect(CLOSURE_ASPECT);

/**
 * Relative density of a cell: 3·π·x² − 8·√2·x³.
 * @param aspect x = a/l, 0 to 1/2
 * @example Math.round(1e6 * relativeDensityOfAspect(1 / 2)) / 1e6 // 0.941981
 */
export function relativeDensityOfAspect(aspect: number): number {
  return aspect ** 2 * (SQUARE - CUBE * aspect);
}

/**
 * The x = a/l of a cell with a relative density: the middle root of the cubic, by Viète's cosine.
 * @param relativeDensity above 0, at most `CLOSURE_RELATIVE_DENSITY`
 * @throws RangeError outside of that
 * @example Math.round(1e5 * aspectOfRelativeDensity(0.6)) / 1e5 // 0.32221
 */
export function aspectOfRelativeDensity(relativeDensity: number): number {
  if (!(relativeDensity > 0 && relativeDensity <= CLOSURE_RELATIVE_DENSITY))
    throw new RangeError(
      `a cell requires a relative density above 0 and at most ${CLOSURE_RELATIVE_DENSITY.toFixed(6)}, got ${relativeDensity}`,
    );
  const scale = SQUARE / CUBE;
  const cosine = 1 - (27 * relativeDensity) / (2 * CUBE * scale ** 3);
  const angle = (2 * Math.PI - Math.acos(cosine)) / 3;
  return Math.min(CLOSURE_ASPECT, (scale / 3) * (1 + 2 * Math.cos(angle)));
}

/**
 * Reduced time K of a cell, counted from x = 0: only differences mean something.
 * @param aspect x = a/l, 0 to 1/2
 * @example Math.round(1e5 * reducedTimeOfAspect(aspectOfRelativeDensity(0.6))) / 1e5 // 2.02196
 */
export function reducedTimeOfAspect(aspect: number): number {
  if (!(aspect > 0)) return 0;
  const y = Math.cbrt(SQUARE / aspect - CUBE);
  const logarithm = Math.log((y + CUBE_ROOT) ** 2 / (y * y - CUBE_ROOT * y + CUBE_ROOT ** 2));
  const angle = Math.atan((2 * y - CUBE_ROOT) / (ROOT_3 * CUBE_ROOT));
  return (ROOT_3 * Math.PI + logarithm - 2 * ROOT_3 * angle) / CUBE_ROOT;
}

/**
 * The x = a/l that a reduced time has led to; 1/2 from closure on.
 * Newton's method on x^(1/3), from the start 6·x^(1/3) = K·(3·π)^(1/3) that always lies above.
 * @param reducedTime K counted from x = 0
 * @example Math.round(1e5 * aspectOfReducedTime(2.02196)) / 1e5 // 0.32221
 */
export function aspectOfReducedTime(reducedTime: number): number {
  if (!(reducedTime > 0)) return 0;
  if (reducedTime >= CLOSURE_REDUCED_TIME) return CLOSURE_ASPECT;
  let root = (reducedTime * Math.cbrt(SQUARE)) / 6;
  for (let round = 0; round < NEWTON_ROUNDS; round++) {
    const excess = reducedTimeOfAspect(root ** 3) - reducedTime;
    const step = (excess * Math.cbrt(SQUARE - CUBE * root ** 3)) / 6;
    root -= step;
    if (Math.abs(step) < 1e-15) break;
  }
  return Math.min(CLOSURE_ASPECT, root ** 3);
}

const CLOSURE_REDUCED_TIME = reducedTimeOfAspect(CLOSURE_ASPECT);

/**
 * Cells in a volume of solid, 1/µm³: 1/(l0³·ρ0). Each becomes one pore, and the number stays.
 * @throws RangeError when the cell has no size
 * @example cellsPerCubicMicrometre({ cellMicrometres: 10, relativeDensity: 0.5 }) // 0.002
 */
export function cellsPerCubicMicrometre({ cellMicrometres, relativeDensity }: Packing): number {
  if (!(cellMicrometres > 0)) throw new RangeError(`a cell requires some size, got ${cellMicrometres} µm`);
  return 1 / (cellMicrometres ** 3 * relativeDensity);
}

/**
 * The reduced time from the unfired packing to closure, a pure number.
 * @throws RangeError when the packing is denser than a cell can be
 * @example Math.round(1e5 * reducedTimeToClosure(0.6)) / 1e5 // 0.38532
 */
export function reducedTimeToClosure(relativeDensity: number): number {
  return CLOSURE_REDUCED_TIME - reducedTimeOfAspect(aspectOfRelativeDensity(relativeDensity));
}

/**
 * The flow length at which the channels of a packing close, µm.
 * @throws RangeError when the packing is denser than a cell can be
 * @example Math.round(1e3 * flowLengthToClosureMicrometres({ cellMicrometres: 20, relativeDensity: 0.6 })) / 1e3 // 6.5
 */
export function flowLengthToClosureMicrometres(packing: Packing): number {
  return reducedTimeToClosure(packing.relativeDensity) / Math.cbrt(cellsPerCubicMicrometre(packing));
}

/**
 * Relative density of an open layer after some flow; `CLOSURE_RELATIVE_DENSITY` once it has closed.
 * @param packing               before that flow
 * @param flowLengthMicrometres Λ since then, µm
 * @throws RangeError when the packing is denser than a cell can be
 * @example relativeDensityAfterFlow({ cellMicrometres: 20, relativeDensity: 0.6 }, 7) === CLOSURE_RELATIVE_DENSITY // true
 */
export function relativeDensityAfterFlow(packing: Packing, flowLengthMicrometres: number): number {
  const before = reducedTimeOfAspect(aspectOfRelativeDensity(packing.relativeDensity));
  const after = before + flowLengthMicrometres * Math.cbrt(cellsPerCubicMicrometre(packing));
  return relativeDensityOfAspect(aspectOfReducedTime(after));
}
