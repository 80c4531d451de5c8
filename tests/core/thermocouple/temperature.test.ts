import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { emfMillivolts, referenceRangeCelsius, THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import { PUBLISHED_TYPES } from "#core/thermocouple/its90-coefficients";
import {
  approximateCelsius,
  celsiusFromEmf,
  celsiusFromEmfInto,
  readableRange,
} from "#core/thermocouple/temperature";
import { EMF_TABLES } from "#tests/core/thermocouple/published-tables";

const anyType = fc.constantFrom(...THERMOCOUPLE_TYPES);

describe("the temperature from an EMF", () => {
  it.each(THERMOCOUPLE_TYPES)("comes back to within 1e-6 K at every printed point of type %s", (type) => {
    const refused: number[] = [];
    for (const [celsius] of EMF_TABLES.types[type].points) {
      const result = celsiusFromEmf(type, emfMillivolts(type, celsius));
      if (result.ok) expect(Math.abs(result.celsius - celsius), `${celsius} °C`).toBeLessThanOrEqual(1e-6);
      else refused.push(celsius);
    }
    // Type B alone is refused, below 250 °C: 0 to 240 °C in steps of ten.
    expect(refused).toEqual(type === "B" ? Array.from({ length: 25 }, (_, index) => index * 10) : []);
  });

  it.prop([anyType, fc.double({ min: 0, max: 1, noNaN: true })])(
    "comes back over the whole range",
    (type, share) => {
      const { from, to } = readableRange(type);
      const celsius = from.celsius + share * (to.celsius - from.celsius);
      const result = celsiusFromEmf(type, emfMillivolts(type, celsius));
      expect(result.ok && Math.abs(result.celsius - celsius)).toBeLessThanOrEqual(1e-6);
    },
  );

  it.prop([
    anyType,
    fc.double({ min: 0, max: 1, noNaN: true }),
    fc.double({ min: 1e-3, max: 50, noNaN: true }),
  ])("rises with the EMF", (type, share, more) => {
    const { from, to } = readableRange(type);
    const low = from.millivolts + share * (to.millivolts - from.millivolts);
    const [a, b] = [celsiusFromEmf(type, low), celsiusFromEmf(type, Math.min(low + more, to.millivolts))];
    expect(a.ok && b.ok && b.celsius >= a.celsius).toBe(true);
  });

  it.each(THERMOCOUPLE_TYPES)("of type %s is refused beyond its range and says which end", (type) => {
    const { from, to } = readableRange(type);
    expect(celsiusFromEmf(type, to.millivolts + 0.001)).toEqual({ ok: false, fault: "above-range" });
    expect(celsiusFromEmf(type, from.millivolts - 0.001)).toEqual({ ok: false, fault: "below-range" });
    expect(celsiusFromEmf(type, Number.NaN).ok).toBe(false);
  });

  // Printed limits are rounded to 1 µV (NIST SRD 60): S −0.235 mV stands for −0.2356 mV at −50 °C.
  it.each(THERMOCOUPLE_TYPES)("of type %s takes limits that are off by the rounding of print", (type) => {
    const { from, to } = readableRange(type);
    expect(celsiusFromEmf(type, to.millivolts + 0.0006)).toEqual({ ok: true, celsius: to.celsius });
    expect(celsiusFromEmf(type, from.millivolts - 0.0006)).toEqual({ ok: true, celsius: from.celsius });
    for (const piece of PUBLISHED_TYPES[type].inverse)
      for (const printed of [piece.fromMillivolts, piece.toMillivolts])
        expect(celsiusFromEmf(type, printed).ok, `${printed} mV`).toBe(true);
  });

  it("is the same for many at once, and allocates no array", () => {
    const millivolts = Float64Array.from([-0.1, 0, 5, 9.148, 18.6, 25, Number.NaN]);
    const celsius = new Float64Array(7);
    expect(celsiusFromEmfInto("S", millivolts, celsius)).toBe(2);
    for (const [index, value] of millivolts.entries()) {
      const alone = celsiusFromEmf("S", value);
      expect(celsius[index]).toBe(alone.ok ? alone.celsius : Number.NaN);
    }
    expect(() => celsiusFromEmfInto("S", millivolts, new Float64Array(6))).toThrow(
      "requires room for 7 values, got room for 6",
    );
  });
});

describe("the published inverse alone", () => {
  // The printed error is rounded to one digit: half a unit of it is allowed (NIST SRD 60).
  const pieces = THERMOCOUPLE_TYPES.flatMap((type) =>
    PUBLISHED_TYPES[type].inverse.map((piece) => ({
      type,
      piece,
      name: `${type} ${piece.fromCelsius} to ${piece.toCelsius} °C`,
    })),
  );

  it.each(pieces)("is as far off as printed, and no further: $name", ({ type, piece }) => {
    const errors: number[] = [];
    // Where two pieces overlap the upper one is used.
    const upper = PUBLISHED_TYPES[type].inverse.find((other) => other.fromCelsius > piece.fromCelsius);
    const toCelsius = Math.min(piece.toCelsius, upper?.fromCelsius ?? Number.POSITIVE_INFINITY);
    for (let celsius = piece.fromCelsius; celsius <= toCelsius; celsius += 0.05) {
      const millivolts = emfMillivolts(type, celsius);
      if (millivolts < piece.fromMillivolts || millivolts > piece.toMillivolts) continue;
      errors.push(approximateCelsius(type, millivolts) - celsius);
    }
    const [least, most] = piece.publishedErrorKelvin;
    const [lowest, highest] = [Math.min(...errors), Math.max(...errors)];
    expect(lowest).toBeGreaterThanOrEqual(least - halfLastDigit(least));
    expect(highest).toBeLessThanOrEqual(most + halfLastDigit(most));
    expect(Math.max(Math.abs(lowest), Math.abs(highest))).toBeGreaterThan(0.2 * Math.max(-least, most));
  });

  it("ends where the published ranges end", () => {
    expect(approximateCelsius("K", -6.2)).toBeNaN();
    expect(approximateCelsius("K", 60)).toBeNaN();
    expect(referenceRangeCelsius("K")).toEqual({ from: -270, to: 1372 });
  });
});

/** Half a unit of the one digit of a printed error: 0.005 for 0.02. */
function halfLastDigit(error: number): number {
  return 0.5 * 10 ** Math.floor(Math.log10(Math.abs(error)));
}
