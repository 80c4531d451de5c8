import {
  type ForwardPiece,
  PUBLISHED_TYPES,
  type ThermocoupleType,
} from "#core/thermocouple/its90-coefficients";

/** A piece ready to be evaluated: the last coefficient first, as Horner's rule takes them. */
interface Piece {
  readonly toCelsius: number;
  readonly coefficients: Float64Array;
  readonly slopes: Float64Array;
  readonly exponential: ForwardPiece["exponential"];
}

/** All that a type is reckoned with. */
interface Curve {
  readonly fromCelsius: number;
  readonly toCelsius: number;
  readonly pieces: readonly Piece[];
}

/** Every type, in the order of the alphabet. */
export const THERMOCOUPLE_TYPES = Object.keys(PUBLISHED_TYPES) as readonly ThermocoupleType[];

const curves = Object.fromEntries(
  THERMOCOUPLE_TYPES.map((type) => [type, curveOf(PUBLISHED_TYPES[type].forward)]),
) as Readonly<Record<ThermocoupleType, Curve>>;

/**
 * EMF of a thermocouple whose reference junction is at 0 °C, mV: the ITS-90 reference function, exactly
 * (NIST Monograph 175; IEC 60584-1).
 *
 *     E(t) = Σ cᵢ·tⁱ        type K above 0 °C: + a₀·exp[a₁·(t − a₂)²]
 *
 * @param celsius of the measuring junction, within `referenceRangeCelsius`
 * @throws RangeError outside of the type's range
 * @example emfMillivolts("K", 800).toFixed(3) // "33.275"
 */
export function emfMillivolts(type: ThermocoupleType, celsius: number): number {
  const curve = curves[type];
  if (!(celsius >= curve.fromCelsius && celsius <= curve.toCelsius))
    throw new RangeError(
      `emfMillivolts requires ${curve.fromCelsius} to ${curve.toCelsius} °C for type ${type}, got ${celsius} °C`,
    );
  return emfOnCurve(type, celsius);
}

/**
 * The Seebeck coefficient dE/dt, µV/K: how many microvolts a kelvin makes there.
 * @throws RangeError outside of the type's range
 * @example seebeckMicrovoltsPerKelvin("S", 1000).toFixed(2) // "11.54"
 */
export function seebeckMicrovoltsPerKelvin(type: ThermocoupleType, celsius: number): number {
  const curve = curves[type];
  if (!(celsius >= curve.fromCelsius && celsius <= curve.toCelsius))
    throw new RangeError(
      `seebeckMicrovoltsPerKelvin requires ${curve.fromCelsius} to ${curve.toCelsius} °C for type ${type}, got ${celsius} °C`,
    );
  return 1000 * slopeOnCurve(type, celsius);
}

/**
 * Where a type's reference function is defined, °C.
 * @example referenceRangeCelsius("B") // { from: 0, to: 1820 }
 */
export function referenceRangeCelsius(type: ThermocoupleType): {
  readonly from: number;
  readonly to: number;
} {
  const { fromCelsius, toCelsius } = curves[type];
  return { from: fromCelsius, to: toCelsius };
}

/**
 * EMFs of many temperatures, mV; allocates nothing.
 * @param celsius     °C
 * @param millivolts  gets as many values; NaN outside of the type's range
 * @returns how many were outside of the range
 * @throws RangeError when there is no room for them all
 * @example emfMillivoltsInto("S", new Float64Array([0, -100]), new Float64Array(2)) // 1
 */
export function emfMillivoltsInto(
  type: ThermocoupleType,
  celsius: Float64Array,
  millivolts: Float64Array,
): number {
  if (millivolts.length < celsius.length)
    throw new RangeError(
      `emfMillivoltsInto requires room for ${celsius.length} values, got room for ${millivolts.length}`,
    );
  const { fromCelsius, toCelsius } = curves[type];
  let outside = 0;
  for (let index = 0; index < celsius.length; index++) {
    const value = celsius[index] as number;
    const isInside = value >= fromCelsius && value <= toCelsius;
    if (!isInside) outside++;
    millivolts[index] = isInside ? emfOnCurve(type, value) : Number.NaN;
  }
  return outside;
}

/** The reference function without its guard, mV: the caller has seen that `celsius` is in range. */
export function emfOnCurve(type: ThermocoupleType, celsius: number): number {
  const piece = pieceAt(curves[type], celsius);
  const smooth = horner(piece.coefficients, celsius);
  const { exponential } = piece;
  if (!exponential) return smooth;
  const away = celsius - exponential.a2;
  return smooth + exponential.a0 * Math.exp(exponential.a1 * away * away);
}

/** Its derivative, mV/K, under the same condition. */
export function slopeOnCurve(type: ThermocoupleType, celsius: number): number {
  const piece = pieceAt(curves[type], celsius);
  const smooth = horner(piece.slopes, celsius);
  const { exponential } = piece;
  if (!exponential) return smooth;
  const away = celsius - exponential.a2;
  return smooth + 2 * exponential.a1 * away * exponential.a0 * Math.exp(exponential.a1 * away * away);
}

/** Σ cᵢ·xⁱ with the last coefficient first. */
export function horner(lastFirst: Float64Array, x: number): number {
  let sum = 0;
  for (let index = 0; index < lastFirst.length; index++) sum = sum * x + (lastFirst[index] as number);
  return sum;
}

function pieceAt({ pieces }: Curve, celsius: number): Piece {
  for (let index = 0; index < pieces.length - 1; index++) {
    const piece = pieces[index] as Piece;
    if (celsius <= piece.toCelsius) return piece;
  }
  return pieces[pieces.length - 1] as Piece;
}

function curveOf(forward: readonly ForwardPiece[]): Curve {
  return {
    fromCelsius: forward[0]?.fromCelsius ?? Number.NaN,
    toCelsius: forward.at(-1)?.toCelsius ?? Number.NaN,
    pieces: forward.map(({ toCelsius, coefficients, exponential }) => ({
      toCelsius,
      coefficients: Float64Array.from(coefficients).reverse(),
      slopes: Float64Array.from(coefficients.slice(1), (value, index) => value * (index + 1)).reverse(),
      exponential,
    })),
  };
}
