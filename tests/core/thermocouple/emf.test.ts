import converter from "thermocouple-converter";
import { describe, expect, it } from "vitest";
import {
  emfMillivolts,
  emfMillivoltsInto,
  referenceRangeCelsius,
  seebeckMicrovoltsPerKelvin,
  THERMOCOUPLE_TYPES,
} from "#core/thermocouple/emf";
import { PUBLISHED_TYPES } from "#core/thermocouple/its90-coefficients";
import { EMF_TABLES, FIXED_POINT_TABLE } from "#tests/core/thermocouple/published-tables";

describe("the EMF of a thermocouple", () => {
  it("is tested on all 1211 points of the tables", () => {
    const points = THERMOCOUPLE_TYPES.flatMap((type) => EMF_TABLES.types[type].points);
    expect(points).toHaveLength(1211);
  });

  // NIST prints 0.001 mV, so that half a unit of the last digit is all that an exact function may differ.
  it.each(THERMOCOUPLE_TYPES)("is within 0.0005 mV of every printed value of type %s", (type) => {
    for (const [celsius, millivolts] of EMF_TABLES.types[type].points)
      expect(
        Math.abs(emfMillivolts(type, celsius) - millivolts),
        `${type} ${celsius} °C`,
      ).toBeLessThanOrEqual(0.0005);
  });

  // An independent transcription of the NIST coefficients: npm thermocouple-converter 1.0.1, MIT.
  it.each(THERMOCOUPLE_TYPES)("is that of another library for type %s", (type) => {
    const { from, to } = referenceRangeCelsius(type);
    for (let celsius = from + 0.5; celsius < to; celsius += 3.7) {
      const theirs = converter.convert(celsius, { type: type.toLowerCase(), input: "degc" });
      expect(Math.abs(emfMillivolts(type, celsius) - theirs), `${celsius} °C`).toBeLessThan(1e-9);
    }
  });

  it.each(THERMOCOUPLE_TYPES)("joins the pieces of type %s without a step", (type) => {
    const { forward } = PUBLISHED_TYPES[type];
    for (const { toCelsius } of forward.slice(0, -1)) {
      const [below, above] = [emfMillivolts(type, toCelsius), emfMillivolts(type, toCelsius + 1e-9)];
      expect(Math.abs(above - below), `${toCelsius} °C`).toBeLessThan(1e-6);
    }
  });

  it("is the computed one at the ITS-90 fixed points", () => {
    for (const { t90_c, reference_emf_uv_computed, symbol } of FIXED_POINT_TABLE)
      for (const type of THERMOCOUPLE_TYPES) {
        const microvolts = reference_emf_uv_computed[type];
        if (microvolts !== undefined)
          expect(
            Math.abs(1000 * emfMillivolts(type, t90_c) - microvolts),
            `${symbol} ${type}`,
          ).toBeLessThanOrEqual(0.05);
      }
  });

  it("is lowest for type B at about 21 °C, and back at nothing at about 42 °C", () => {
    // NIST SRD 60, type B: minimum of about −2.585 µV at about 21.02 °C, zero at about 42.1 °C.
    expect(emfMillivolts("B", 21.02) * 1000).toBeCloseTo(-2.585, 2);
    expect(Math.abs(seebeckMicrovoltsPerKelvin("B", 21.02))).toBeLessThan(1e-3);
    expect(Math.abs(emfMillivolts("B", 42.1) * 1000)).toBeLessThan(0.02);
  });

  it("is refused outside of the type's range", () => {
    expect(() => emfMillivolts("S", -51)).toThrow(
      "emfMillivolts requires -50 to 1768.1 °C for type S, got -51 °C",
    );
    expect(() => emfMillivolts("K", Number.NaN)).toThrow(RangeError);
  });

  it("comes for many temperatures at once, with NaN for those out of range", () => {
    const millivolts = new Float64Array(4);
    const outside = emfMillivoltsInto("K", new Float64Array([0, 800, 1400, -300]), millivolts);
    expect(outside).toBe(2);
    expect([...millivolts]).toEqual([emfMillivolts("K", 0), emfMillivolts("K", 800), Number.NaN, Number.NaN]);
    expect(() => emfMillivoltsInto("K", new Float64Array(2), new Float64Array(1))).toThrow(
      "requires room for 2 values",
    );
  });
});

describe("the Seebeck coefficient", () => {
  // Rounded figures at 1000 °C, NIST Monograph 175 by way of handbook tables (from memory): K 39.0, N 38.6, R 13.2, S 11.5, B 9.1 µV/K.
  it.each([
    ["K", 39.0],
    ["N", 38.6],
    ["R", 13.2],
    ["S", 11.5],
    ["B", 9.1],
  ] as const)("of type %s at 1000 °C is %d µV/K", (type, microvolts) => {
    expect(Math.abs(seebeckMicrovoltsPerKelvin(type, 1000) - microvolts)).toBeLessThanOrEqual(0.05);
  });

  it.each(THERMOCOUPLE_TYPES)("of type %s is the slope between close neighbours", (type) => {
    const { from, to } = referenceRangeCelsius(type);
    for (let celsius = from + 1; celsius < to - 1; celsius += 7.3) {
      const slope = (emfMillivolts(type, celsius + 0.01) - emfMillivolts(type, celsius - 0.01)) / 0.02;
      expect(seebeckMicrovoltsPerKelvin(type, celsius) / 1000, `${celsius} °C`).toBeCloseTo(slope, 6);
    }
  });
});
