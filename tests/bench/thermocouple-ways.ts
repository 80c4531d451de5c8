import converter from "thermocouple-converter";
import { emfMillivolts, emfMillivoltsInto, referenceRangeCelsius } from "#core/thermocouple/emf";
import {
  type ForwardPiece,
  type InversePiece,
  PUBLISHED_TYPES,
  type ThermocoupleType,
} from "#core/thermocouple/its90-coefficients";
import { approximateCelsius, celsiusFromEmf, celsiusFromEmfInto } from "#core/thermocouple/temperature";

/** How many values one call of a way converts. */
export const VALUES = 1000;

/** The one conversion package that npm carries: polynomials both ways, MIT, no dependencies. */
export const PACKAGE = "npm thermocouple-converter 1.0.1";

/** A value as that package converts it; NaN where it refuses. */
export function packageConverted(type: ThermocoupleType, direction: Way["direction"], value: number): number {
  const input = direction === "forward" ? "degc" : "mv";
  try {
    return converter.convert(value, { type: type.toLowerCase(), input });
  } catch {
    return Number.NaN;
  }
}

/** One way to convert: all values at once, their sum returned so that nothing can be left out. */
export interface Way {
  readonly name: string;
  readonly direction: "forward" | "inverse";
  readonly convertAll: () => number;
}

/**
 * Every way for a type, on the same values: evenly spread over what the type's longest pieces of both
 * directions share, so that a bare evaluation knows its polynomial without choosing. The first of each
 * direction is the floor: Horner's rule in a plain loop, no guard, no choice (for type K with its exponential).
 */
export function waysOf(type: ThermocoupleType): readonly Way[] {
  const { forward, inverse } = PUBLISHED_TYPES[type];
  const up = longest(forward);
  const down = longest(inverse);
  const celsius = evenly(Math.max(up.fromCelsius, down.fromCelsius), Math.min(up.toCelsius, down.toCelsius));
  const millivolts = celsius.map((value) => emfMillivolts(type, value));
  const room = new Float64Array(VALUES);
  const forwards = (name: string, convertAll: () => number): Way => ({
    name,
    direction: "forward",
    convertAll,
  });
  const inverses = (name: string, convertAll: () => number): Way => ({
    name,
    direction: "inverse",
    convertAll,
  });
  return [
    forwards("floor: bare polynomial", bareForward(up, celsius)),
    forwards("emfMillivolts", () => total(celsius, (value) => emfMillivolts(type, value))),
    forwards("emfMillivoltsInto", () => emfMillivoltsInto(type, celsius, room) + (room[0] ?? 0)),
    forwards(PACKAGE, () => total(celsius, (value) => packageConverted(type, "forward", value))),
    inverses("floor: bare polynomial", bareInverse(down, millivolts)),
    inverses("approximateCelsius (polynomial only)", () =>
      total(millivolts, (value) => approximateCelsius(type, value)),
    ),
    inverses("celsiusFromEmf (exact)", () =>
      total(millivolts, (value) => {
        const result = celsiusFromEmf(type, value);
        return result.ok ? result.celsius : 0;
      }),
    ),
    inverses(PACKAGE, () => total(millivolts, (value) => packageConverted(type, "inverse", value))),
    inverses("celsiusFromEmfInto (exact)", () => celsiusFromEmfInto(type, millivolts, room) + (room[0] ?? 0)),
  ];
}

/** Temperatures all over a type's range, for its accuracy, °C. */
export function wholeRangeCelsius(type: ThermocoupleType, fromCelsius: number): Float64Array {
  return evenly(fromCelsius, referenceRangeCelsius(type).to, 200_000);
}

function bareForward({ coefficients, exponential }: ForwardPiece, celsius: Float64Array): () => number {
  const lastFirst = Float64Array.from(coefficients).reverse();
  if (!exponential) return () => bare(lastFirst, celsius);
  const { a0, a1, a2 } = exponential;
  return () => bare(lastFirst, celsius) + total(celsius, (t) => a0 * Math.exp(a1 * (t - a2) * (t - a2)));
}

function bareInverse({ coefficients }: InversePiece, millivolts: Float64Array): () => number {
  const lastFirst = Float64Array.from(coefficients).reverse();
  return () => bare(lastFirst, millivolts);
}

function bare(lastFirst: Float64Array, values: Float64Array): number {
  let sum = 0;
  for (let index = 0; index < values.length; index++) {
    const x = values[index] as number;
    let value = 0;
    for (let power = 0; power < lastFirst.length; power++) value = value * x + (lastFirst[power] as number);
    sum += value;
  }
  return sum;
}

function total(values: Float64Array, convert: (value: number) => number): number {
  let sum = 0;
  for (let index = 0; index < values.length; index++) sum += convert(values[index] as number);
  return sum;
}

function longest<Piece extends { readonly fromCelsius: number; readonly toCelsius: number }>(
  pieces: readonly Piece[],
): Piece {
  return pieces.reduce((most, piece) =>
    piece.toCelsius - piece.fromCelsius > most.toCelsius - most.fromCelsius ? piece : most,
  );
}

function evenly(from: number, to: number, count = VALUES): Float64Array {
  return Float64Array.from({ length: count }, (_, index) => from + ((to - from) * (index + 0.5)) / count);
}
