/** A ripple on the surface of a layer: brush strokes, the marks of a stone. */
export interface Ripple {
  /** From crest to crest. */
  readonly wavelengthMicrometres: number;
  /** Mean thickness of the layer that flows; what is under it does not. */
  readonly layerMicrometres: number;
}

/** A melt at one temperature. */
export interface Melt {
  readonly pascalSeconds: number;
  readonly surfaceTensionNewtonsPerMetre: number;
}

const MICROMETRES_PER_METRE = 1e6;

/** Below this depth, in units of 1/k, sinh·cosh − kh loses its digits, and its series is right to 2e-11. */
const SHALLOW = 0.05;

/**
 * How fast a ripple levels: the time in which surface tension takes its depth down to 1/e, s.
 *
 *     1/τ = (γ·k/2η)·[sinh kh·cosh kh − kh]/[cosh² kh + (kh)²]          k = 2π/wavelength, h layer
 *
 *     ╱╲  ╱╲  ╱╲   ↑ depth, small beside wavelength and layer
 *    ╱  ╲╱  ╲╱  ╲  ↓
 *    ▔▔▔▔▔▔▔▔▔▔▔▔▔ h
 *
 * S. E. Orchard, Appl. Sci. Res. A 11 (1963) 451–464 (from memory), for a layer that sticks to what is below.
 * Deep layers level by their wavelength alone, thin ones by the cube of their thickness: a thin glaze cannot
 * hide deep scratches. Limits: shallow sine ripples, no gravity, one viscosity through the layer.
 * @example Math.round(levellingTimeConstantSeconds({ wavelengthMicrometres: 200, layerMicrometres: 50 }, { pascalSeconds: 1e5, surfaceTensionNewtonsPerMetre: 0.3 }) * 100) / 100 // 44.24
 */
export function levellingTimeConstantSeconds(ripple: Ripple, melt: Melt): number {
  return 1 / (levellingPerMicrometre(ripple) * flowRate(melt));
}

/**
 * What is left of a ripple's depth after a flow length, 0 to 1: exp(−Λ·k/2·[…]) with Orchard's bracket.
 * For a whole bake, whatever its temperatures were: γ/η and time come in as Λ alone.
 * @param flowLengthMicrometres  of the glass's own temperature, from `flowLengthMicrometres`
 * @example Math.round(remainingRippleFraction(100, { wavelengthMicrometres: 200, layerMicrometres: 50 }) * 1000) / 1000 // 0.471
 */
export function remainingRippleFraction(flowLengthMicrometres: number, ripple: Ripple): number {
  return Math.exp(-flowLengthMicrometres * levellingPerMicrometre(ripple));
}

/**
 * The limit for a layer much thinner than the ripple is long, s: τ = 3η/(γ·k⁴·h³). 15 % short where kh = 0.31.
 * @example Math.round(thinLevellingTimeConstantSeconds({ wavelengthMicrometres: 200, layerMicrometres: 10 }, { pascalSeconds: 1e5, surfaceTensionNewtonsPerMetre: 0.3 }) * 10) / 10 // 1026.6
 */
export function thinLevellingTimeConstantSeconds(ripple: Ripple, melt: Melt): number {
  return 3 / (flowRate(melt) * waveNumberPerMicrometre(ripple) ** 4 * ripple.layerMicrometres ** 3);
}

/**
 * The limit for a layer much thicker than the ripple is long, s: τ = 2η/(γ·k).
 * @example Math.round(deepLevellingTimeConstantSeconds({ wavelengthMicrometres: 200, layerMicrometres: 900 }, { pascalSeconds: 1e5, surfaceTensionNewtonsPerMetre: 0.3 }) * 100) / 100 // 21.22
 */
export function deepLevellingTimeConstantSeconds(ripple: Ripple, melt: Melt): number {
  return 2 / (flowRate(melt) * waveNumberPerMicrometre(ripple));
}

/**
 * How fast a long round bead loses a mode of its outline, 1/s: n·γ/(2η·R), in plane flow.
 *
 *     n = 2  an ellipse turning round;  n = 3  a three-lobed outline;  n = 1 moves it and decays not at all
 *
 * The closed form of a viscous cylinder; a boundary-integral solver (computed independently) agrees to 1e-5.
 * @param mode              2 or more: lobes around the outline
 * @param radiusMicrometres of the bead
 * @throws RangeError for a mode that is not a whole number of at least 2
 * @example dropModeDecayPerSecond(2, 1000, { pascalSeconds: 1e5, surfaceTensionNewtonsPerMetre: 0.3 }) // 0.003
 */
export function dropModeDecayPerSecond(mode: number, radiusMicrometres: number, melt: Melt): number {
  if (!(Number.isInteger(mode) && mode >= 2))
    throw new RangeError(`drop mode requires a whole number of at least 2, got ${mode}`);
  return (mode * flowRate(melt)) / (2 * radiusMicrometres);
}

/** Share of a ripple's depth lost for each µm of flow length, 1/µm. */
function levellingPerMicrometre(ripple: Ripple): number {
  const waveNumber = waveNumberPerMicrometre(ripple);
  return (waveNumber / 2) * orchardBracket(waveNumber * ripple.layerMicrometres);
}

/** [sinh x·cosh x − x]/[cosh² x + x²], divided through by cosh² so that deep layers do not overflow. */
function orchardBracket(depth: number): number {
  const cosh = Math.cosh(depth);
  const numerator =
    depth < SHALLOW
      ? (2 / 3) * depth ** 3 + (2 / 15) * depth ** 5 + (4 / 315) * depth ** 7
      : Math.tanh(depth) - depth / cosh ** 2;
  const denominator = 1 + (depth / cosh) ** 2;
  return depth < SHALLOW ? numerator / (cosh ** 2 * denominator) : numerator / denominator;
}

function waveNumberPerMicrometre({ wavelengthMicrometres }: Ripple): number {
  return (2 * Math.PI) / wavelengthMicrometres;
}

/** γ/η, µm/s. */
function flowRate({ pascalSeconds, surfaceTensionNewtonsPerMetre }: Melt): number {
  return (MICROMETRES_PER_METRE * surfaceTensionNewtonsPerMetre) / pascalSeconds;
}
