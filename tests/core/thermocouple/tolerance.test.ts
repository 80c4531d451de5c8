import { describe, expect, it } from "vitest";
import { THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { type ToleranceClass, toleranceClasses, toleranceKelvin } from "#core/thermocouple/tolerance";
import { TOLERANCE_CHECKS } from "#tests/core/thermocouple/published-tables";

const checks = TOLERANCE_CHECKS.map((check) => ({
  ...check,
  toleranceClass: classOf(check.standard, check.class),
  name: `${check.standard} ${check.type} class ${check.class} at ${check.t_c} °C`,
}));

describe("the tolerance of a new thermocouple", () => {
  it.each(checks)("$name is $tolerance_c K", ({ type, toleranceClass, t_c, tolerance_c }) => {
    const found = toleranceKelvin(type as ThermocoupleType, toleranceClass, t_c);
    if (tolerance_c === null) expect(found).toBeNull();
    else expect(found).toBeCloseTo(tolerance_c, 9);
  });

  it("is tested for both standards and every class", () => {
    expect(new Set(checks.map(({ toleranceClass }) => toleranceClass)).size).toBe(5);
  });

  it("never shrinks as it gets hotter, above 0 °C", () => {
    for (const type of THERMOCOUPLE_TYPES)
      for (const name of toleranceClasses(type)) {
        let before = 0;
        for (let celsius = 0; celsius <= 1800; celsius += 5) {
          const kelvin = toleranceKelvin(type, name, celsius);
          if (kelvin === null) continue;
          expect(kelvin, `${type} ${name} ${celsius} °C`).toBeGreaterThanOrEqual(before);
          before = kelvin;
        }
      }
  });
});

function classOf(standard: "IEC" | "ASTM", name: string): ToleranceClass {
  return (standard === "IEC" ? `iec-${name}` : `astm-${name.replace("_below_0", "")}`) as ToleranceClass;
}
