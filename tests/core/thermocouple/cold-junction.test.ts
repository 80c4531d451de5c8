import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { hotJunctionCelsius, isCompensable, measuredMillivolts } from "#core/thermocouple/cold-junction";
import { emfMillivolts, seebeckMicrovoltsPerKelvin, THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import { celsiusFromEmf } from "#core/thermocouple/temperature";
import { EMF_TABLES } from "#tests/core/thermocouple/published-tables";

// Built from the printed values of NIST SRD 60; they are rounded to 1 µV, which is 1 µV/S in kelvins.
const examples = EMF_TABLES.cold_junction_examples.map((example) => ({
  ...example,
  name: `type ${example.type}, ${example.measured_emf_mv} mV over ${example.reference_junction_c} °C`,
}));

describe("cold-junction compensation", () => {
  it.each(examples)("adds EMFs: $name", (example) => {
    const { type, measured_emf_mv, reference_junction_c, true_temperature_c } = example;
    const result = hotJunctionCelsius(type, measured_emf_mv, reference_junction_c);
    const roundedKelvin = 1 / seebeckMicrovoltsPerKelvin(type, true_temperature_c);
    expect(result.ok && Math.abs(result.celsius - true_temperature_c)).toBeLessThanOrEqual(roundedKelvin);
  });

  it.each(examples)("shows what the two usual mistakes cost: $name", (example) => {
    const { type, measured_emf_mv, reference_junction_c } = example;
    const forgotten = celsiusFromEmf(type, measured_emf_mv);
    expect(forgotten.ok && forgotten.celsius).toBeCloseTo(example.wrong_if_no_compensation_c, 1);
    const added = forgotten.ok && forgotten.celsius + reference_junction_c;
    expect(added).toBeCloseTo(example.wrong_if_junction_temperature_is_simply_added_c, 1);
  });

  it.prop([
    fc.constantFrom(...THERMOCOUPLE_TYPES),
    fc.double({ min: 300, max: 390, noNaN: true }),
    fc.double({ min: 0, max: 60, noNaN: true }),
  ])("undoes what a cold junction takes away", (type, hot, cold) => {
    const result = hotJunctionCelsius(type, measuredMillivolts(type, hot, cold), cold);
    expect(result.ok && Math.abs(result.celsius - hot)).toBeLessThanOrEqual(1e-6);
  });

  it("says when the total is out of range, and when the cold junction is", () => {
    expect(hotJunctionCelsius("K", 60, 25)).toEqual({ ok: false, fault: "above-range" });
    expect(() => hotJunctionCelsius("B", 5, -3)).toThrow(RangeError);
    expect(isCompensable("B", -3)).toBe(false);
    expect(isCompensable("B", 25)).toBe(true);
    expect(emfMillivolts("B", 25)).toBeLessThan(0);
  });
});
