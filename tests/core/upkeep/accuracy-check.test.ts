import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { z } from "zod";
import { correctedCelsius } from "#core/thermocouple/correction";
import type { Probe } from "#core/thermocouple/probe";
import { type ReferenceCheck, referenceCheck, type WireCheck, wireCheck } from "#core/upkeep/accuracy-check";

// Arithmetic of a system accuracy test in the manner of SAE AMS 2750; cases constructed, sources in the file.
const schema = z.object({
  system_accuracy_test_constructed: z.object({
    cases: z.array(
      z.object({
        process_reading_c: z.number(),
        test_reading_c: z.number(),
        test_sensor_correction_c: z.number(),
        test_instrument_correction_c: z.number(),
        true_test_temperature_c: z.number(),
        sat_difference_c: z.number(),
      }),
    ),
  }),
});
const file = new URL("../../reference/uncertainty-examples.json", import.meta.url);
const { cases } = schema.parse(JSON.parse(readFileSync(file, "utf8"))).system_accuracy_test_constructed;

const PROBE: Probe = {
  type: "S",
  toleranceClass: "iec-2",
  instrumentAccuracyKelvin: 1,
  instrumentResolutionKelvin: 0.1,
  coldJunctionAccuracyKelvin: 0.5,
  positionKelvin: null,
  correction: null,
};
const reference = (changes: Partial<ReferenceCheck> = {}): ReferenceCheck => ({
  points: [],
  referenceExpandedKelvin: 1.2,
  referenceCoverageFactor: 2,
  positionKelvin: 0,
  limitKelvin: 3,
  probe: PROBE,
  ...changes,
});
const point = (readingCelsius: number, referenceCelsius: number) => ({
  readingCelsius,
  referenceCelsius,
  referenceCorrectionKelvin: 0,
  instrumentCorrectionKelvin: 0,
});
const wire = (changes: Partial<WireCheck> = {}): WireCheck => ({
  metal: "silver",
  atmosphere: "vacuum",
  wireKelvin: 0.5,
  limitKelvin: 5,
  readingCelsius: 964.3,
  readingStandardKelvin: 0.1,
  climbKelvinPerMinute: 0,
  probe: PROBE,
  ...changes,
});

describe("a check beside a reference thermocouple", () => {
  it.each(cases)(
    "corrects the reference and differs by $sat_difference_c K at $process_reading_c °C",
    (example) => {
      const { points, worstDifferenceKelvin } = referenceCheck(
        reference({
          points: [
            {
              readingCelsius: example.process_reading_c,
              referenceCelsius: example.test_reading_c,
              referenceCorrectionKelvin: example.test_sensor_correction_c,
              instrumentCorrectionKelvin: example.test_instrument_correction_c,
            },
          ],
        }),
      );
      expect(points[0]?.trueCelsius).toBeCloseTo(example.true_test_temperature_c, 9);
      expect(worstDifferenceKelvin).toBeCloseTo(example.sat_difference_c, 9);
    },
  );

  it("is judged by its worst point", () => {
    const { worstDifferenceKelvin, verdict } = referenceCheck(
      reference({ points: [point(700, 701), point(900, 896.5)] }),
    );
    expect({ worstDifferenceKelvin, verdict }).toEqual({ worstDifferenceKelvin: 3.5, verdict: "outside" });
  });

  it("corrects to the truth at every point, whatever their order", () => {
    const points = [point(900, 896.5), point(700, 701), point(800, 799)];
    const { correction } = referenceCheck(reference({ points }));
    for (const { readingCelsius, referenceCelsius } of points)
      expect(correctedCelsius(readingCelsius, correction)).toBeCloseTo(referenceCelsius, 9);
  });

  it("of points that contradict each other takes the mean, and is less sure by what is left", () => {
    const contradicting = referenceCheck(reference({ points: [point(800, 798), point(800, 802)] }));
    expect(contradicting.correction).toEqual([{ readingCelsius: 800, correctionKelvin: 0 }]);
    // 2 K are left either way, as a rectangle: 2·√(0.6² + (2/√3)² + (0.05/√3)²).
    expect(contradicting.expandedUncertaintyKelvin).toBeCloseTo(
      2 * Math.hypot(0.6, 2 / Math.sqrt(3), 0.05 / Math.sqrt(3)),
      9,
    );
  });

  it("combines reference, position and the last digit", () => {
    const { expandedUncertaintyKelvin } = referenceCheck(
      reference({ points: [point(800, 800)], positionKelvin: 3 }),
    );
    expect(expandedUncertaintyKelvin).toBeCloseTo(
      2 * Math.hypot(0.6, 3 / Math.sqrt(3), 0.05 / Math.sqrt(3)),
      9,
    );
  });

  it("cannot tell what lies within a limit that it is less sure than", () => {
    expect(referenceCheck(reference({ points: [point(800, 799)], positionKelvin: 6 })).verdict).toBe(
      "cannot-tell",
    );
    expect(referenceCheck(reference({ points: [point(820, 799)], positionKelvin: 6 })).verdict).toBe(
      "outside",
    );
    expect(() => referenceCheck(reference())).toThrow("referenceCheck requires a point or more, got none");
  });
});

describe("a melting wire", () => {
  it("gives the offset at its fixed point", () => {
    const { points, correction, verdict } = wireCheck(wire());
    expect(points[0]?.differenceKelvin).toBeCloseTo(964.3 - 961.78, 9);
    expect(correctedCelsius(964.3, correction)).toBeCloseTo(961.78, 9);
    expect(verdict).toBe("within");
    expect(wireCheck(wire({ readingCelsius: 968 })).verdict).toBe("outside");
  });

  it("that was seen in a climb is less sure by what it climbed meanwhile", () => {
    const seen = wireCheck(wire({ climbKelvinPerMinute: 10 }));
    // 3 s at 10 K/min: 0.5 K as a rectangle.
    const parts = [0.1, 0.5 / Math.sqrt(3), 0.5 / Math.sqrt(3), 0.05 / Math.sqrt(3)];
    expect(seen.expandedUncertaintyKelvin).toBeCloseTo(2 * Math.hypot(...parts), 9);
  });

  it("of silver in air melts lower by what is not known: it cannot tell", () => {
    const inAir = wireCheck(wire({ atmosphere: "air", readingCelsius: 955 }));
    expect(inAir.verdict).toBe("cannot-tell");
    expect(inAir.expandedUncertaintyKelvin).toBeGreaterThan(6);
    expect(wireCheck(wire({ atmosphere: "air", metal: "gold", readingCelsius: 1064 })).verdict).toBe(
      "within",
    );
  });
});
