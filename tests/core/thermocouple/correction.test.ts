import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import {
  type CorrectionPoint,
  correctedCelsius,
  isCorrection,
  uncorrectedCelsius,
} from "#core/thermocouple/correction";

const two: readonly CorrectionPoint[] = [
  { readingCelsius: 700, correctionKelvin: 2 },
  { readingCelsius: 900, correctionKelvin: -4 },
];

const corrections = fc
  .array(
    fc.record({
      readingCelsius: fc.integer({ min: 0, max: 1200 }),
      correctionKelvin: fc.double({ min: -20, max: 20, noNaN: true }),
    }),
    { minLength: 1, maxLength: 6 },
  )
  .map((points) => [...points].sort((a, b) => a.readingCelsius - b.readingCelsius))
  .filter(isCorrection);

describe("a correction", () => {
  it("is straight between its points and level beyond them", () => {
    expect([500, 700, 800, 900, 1000].map((celsius) => correctedCelsius(celsius, two))).toEqual([
      502, 702, 799, 896, 996,
    ]);
  });

  it("of no points changes nothing", () => {
    expect(correctedCelsius(812.5, [])).toBe(812.5);
    expect(uncorrectedCelsius(812.5, [])).toBe(812.5);
  });

  it.prop([corrections, fc.double({ min: -50, max: 1400, noNaN: true })])(
    "can be taken off again",
    (points, celsius) => {
      expect(uncorrectedCelsius(correctedCelsius(celsius, points), points)).toBeCloseTo(celsius, 6);
    },
  );

  it("must rise, and so must what it corrects", () => {
    expect(isCorrection(two)).toBe(true);
    expect(isCorrection([...two].reverse())).toBe(false);
    expect(
      isCorrection([
        { readingCelsius: 800, correctionKelvin: 2 },
        { readingCelsius: 801, correctionKelvin: -2 },
      ]),
    ).toBe(false);
  });
});
