import {
  emfOnCurve,
  horner,
  referenceRangeCelsius,
  slopeOnCurve,
  THERMOCOUPLE_TYPES,
} from "#core/thermocouple/emf";
import {
  type InversePiece,
  PUBLISHED_TYPES,
  type ThermocoupleType,
} from "#core/thermocouple/its90-coefficients";

/**
 * Printed limits are rounded to 1 µV, so that the reference function at an end of the range may lie this far
 * outside of them, mV (S: −0.235 printed, −0.236 in the table at −50 °C). Such an EMF is the end of the range.
 */
const ROUNDED_LIMIT_MILLIVOLTS = 0.0006;

/** Below this a type B thermocouple says nothing: its EMF is not unique under 42 °C and hardly moves above, °C. */
const LOWEST_TYPE_B_CELSIUS = 250;

/** Newton's steps end when one is shorter than this, K; the last one is far more exact than that. */
const STEP_KELVIN = 1e-7;
const MOST_STEPS = 60;

/** A temperature, or why an EMF gives none. */
export type TemperatureResult =
  | { readonly ok: true; readonly celsius: number }
  | { readonly ok: false; readonly fault: "above-range" | "below-range" };

interface Inverse {
  readonly fromCelsius: number;
  readonly toCelsius: number;
  readonly fromMillivolts: number;
  readonly toMillivolts: number;
  /** By falling EMF, so that of two that overlap the more exact upper one is found first. */
  readonly pieces: readonly { readonly fromMillivolts: number; readonly lastFirst: Float64Array }[];
}

const inverses = Object.fromEntries(THERMOCOUPLE_TYPES.map((type) => [type, inverseOf(type)])) as Readonly<
  Record<ThermocoupleType, Inverse>
>;

/**
 * The temperature of a measuring junction from its EMF, reference junction at 0 °C: the published inverse
 * polynomial as a start, then Newton's method on the reference function, over the whole range, to better
 * than 1e-6 K.
 * @param millivolts total EMF; compensate the cold junction first (`hotJunctionCelsius`)
 * @returns °C, or that the EMF is outside of the type's range; type B below 250 °C is refused, since its
 *          EMF is not unique below 42 °C and hardly moves above
 * @example celsiusFromEmf("B", 0.2) // { ok: false, fault: "below-range" }
 */
export function celsiusFromEmf(type: ThermocoupleType, millivolts: number): TemperatureResult {
  const celsius = solvedCelsius(type, millivolts);
  if (!Number.isNaN(celsius)) return { ok: true, celsius };
  return { ok: false, fault: millivolts > inverses[type].toMillivolts ? "above-range" : "below-range" };
}

/**
 * Temperatures of many EMFs, °C; allocates nothing.
 * @param millivolts total EMFs
 * @param celsius    gets as many values; NaN where the EMF is outside of the type's range
 * @returns how many were outside
 * @throws RangeError when there is no room for them all
 * @example celsiusFromEmfInto("K", new Float64Array([0, 99]), new Float64Array(2)) // 1
 */
export function celsiusFromEmfInto(
  type: ThermocoupleType,
  millivolts: Float64Array,
  celsius: Float64Array,
): number {
  if (celsius.length < millivolts.length)
    throw new RangeError(
      `celsiusFromEmfInto requires room for ${millivolts.length} values, got room for ${celsius.length}`,
    );
  let outside = 0;
  for (let index = 0; index < millivolts.length; index++) {
    const value = solvedCelsius(type, millivolts[index] as number);
    if (Number.isNaN(value)) outside++;
    celsius[index] = value;
  }
  return outside;
}

/**
 * The published inverse polynomial alone, °C: within `publishedErrorKelvin` of the reference function. For
 * checking, and as the start of Newton's method.
 * @returns NaN outside of the range of the inverse
 * @example approximateCelsius("S", 9.148).toFixed(2) // "961.75"
 */
export function approximateCelsius(type: ThermocoupleType, millivolts: number): number {
  const { pieces, toMillivolts } = inverses[type];
  if (!(millivolts <= toMillivolts)) return Number.NaN;
  for (let index = 0; index < pieces.length; index++) {
    const piece = pieces[index] as Inverse["pieces"][number];
    if (millivolts >= piece.fromMillivolts) return horner(piece.lastFirst, millivolts);
  }
  return Number.NaN;
}

/**
 * The EMFs that a type can be read at, mV, and the temperatures there, °C.
 * @example readableRange("B").from.celsius // 250
 */
export function readableRange(type: ThermocoupleType): {
  readonly from: { readonly celsius: number; readonly millivolts: number };
  readonly to: { readonly celsius: number; readonly millivolts: number };
} {
  const { fromCelsius, toCelsius, fromMillivolts, toMillivolts } = inverses[type];
  return {
    from: { celsius: fromCelsius, millivolts: fromMillivolts },
    to: { celsius: toCelsius, millivolts: toMillivolts },
  };
}

/** NaN outside of the range. */
function solvedCelsius(type: ThermocoupleType, millivolts: number): number {
  const { fromCelsius, toCelsius, fromMillivolts, toMillivolts } = inverses[type];
  if (!(millivolts > fromMillivolts))
    return millivolts >= fromMillivolts - ROUNDED_LIMIT_MILLIVOLTS ? fromCelsius : Number.NaN;
  if (millivolts >= toMillivolts)
    return millivolts <= toMillivolts + ROUNDED_LIMIT_MILLIVOLTS ? toCelsius : Number.NaN;
  const start = approximateCelsius(type, millivolts);
  // Below the published inverses (type E, K, N, T under −200 °C) the function is convex: Newton's steps
  // from the right come down to the root without passing it.
  let celsius = Number.isNaN(start) ? Math.max(fromCelsius, -200) : start;
  for (let step = 0; step < MOST_STEPS; step++) {
    const kelvin = (emfOnCurve(type, celsius) - millivolts) / slopeOnCurve(type, celsius);
    celsius = Math.min(Math.max(celsius - kelvin, fromCelsius), toCelsius);
    if (Math.abs(kelvin) < STEP_KELVIN) break;
  }
  return celsius;
}

function inverseOf(type: ThermocoupleType): Inverse {
  const range = referenceRangeCelsius(type);
  const fromCelsius = type === "B" ? LOWEST_TYPE_B_CELSIUS : range.from;
  return {
    fromCelsius,
    toCelsius: range.to,
    fromMillivolts: emfOnCurve(type, fromCelsius),
    toMillivolts: emfOnCurve(type, range.to),
    pieces: [...PUBLISHED_TYPES[type].inverse].reverse().map((piece, index, all) => ({
      fromMillivolts: index === all.length - 1 ? lowestMillivolts(piece) : piece.fromMillivolts,
      lastFirst: Float64Array.from(piece.coefficients).reverse(),
    })),
  };
}

/** The lowest piece also takes what lies outside of its printed limit by rounding alone. */
function lowestMillivolts({ fromMillivolts }: InversePiece): number {
  return fromMillivolts - ROUNDED_LIMIT_MILLIVOLTS;
}
