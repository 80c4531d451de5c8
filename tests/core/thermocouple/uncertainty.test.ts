import { readFileSync } from "node:fs";
import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { z } from "zod";
import { THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import type { Probe } from "#core/thermocouple/probe";
import {
  type Contribution,
  coldJunctionSensitivity,
  combinedUncertainty,
  probeBudget,
} from "#core/thermocouple/uncertainty";

// EA-4/02, supplement S5: calibration of a type N thermocouple at 1000 °C. Sources inside the file.
const budgetSchema = z.object({
  budget: z.array(
    z.object({
      quantity: z.string(),
      distribution: z.string(),
      given: z.string(),
      standard_uncertainty: z.number(),
      sensitivity: z.number(),
      contribution: z.number(),
    }),
  ),
  result: z.record(z.string(), z.union([z.number(), z.string()])),
});
const schema = z.object({ ea_4_02_s5_furnace_temperature: budgetSchema, ea_4_02_s5_emf: budgetSchema });
const file = new URL("../../reference/uncertainty-examples.json", import.meta.url);
const examples = schema.parse(JSON.parse(readFileSync(file, "utf8")));

/** A line of the published table, from what it says was given: `s = 0.10 degC`, `U = 2 uV, k = 2`, `+-0.5 uV`. */
function contribution({
  quantity,
  given,
  sensitivity,
}: z.infer<typeof budgetSchema>["budget"][number]): Contribution {
  const number = Number(/[\d.]+/.exec(given)?.[0]);
  if (given.startsWith("+-")) return { quantity, distribution: "rectangular", given: number, sensitivity };
  const coverageFactor = Number(/k = ([\d.]+)/.exec(given)?.[1] ?? 1);
  return { quantity, distribution: "normal", given: number, coverageFactor, sensitivity };
}

describe("the law of propagation", () => {
  it.each(["ea_4_02_s5_furnace_temperature", "ea_4_02_s5_emf"] as const)("gives every line of %s", (name) => {
    const { budget } = examples[name];
    const { lines } = combinedUncertainty(budget.map(contribution));
    for (const [index, line] of lines.entries()) {
      const printed = budget[index];
      expect(line.standardUncertainty, line.quantity).toBeCloseTo(
        printed?.standard_uncertainty ?? Number.NaN,
        6,
      );
      expect(line.contribution, line.quantity).toBeCloseTo(printed?.contribution ?? Number.NaN, 3);
    }
  });

  it("gives the published u of 0.641 K and U of 1.3 K of the furnace's temperature in EA-4/02 S5", () => {
    const { budget, result } = examples.ea_4_02_s5_furnace_temperature;
    // The sensitivity of the reference junction as the example has it: 0.077/0.189 K/µV, not rounded.
    const { combined, expanded } = combinedUncertainty(
      budget.map((line) =>
        contribution(line.quantity === "dt_0S" ? { ...line, sensitivity: -0.077 / 0.189 } : line),
      ),
    );
    expect(combined).toBeCloseTo(Number(result["u_c"]), 12);
    expect(combined.toFixed(3)).toBe(String(result["u_published_c"]));
    expect(expanded.toFixed(1)).toBe(String(result["U_published_c"]));
  });

  it("gives the published u of 25.0 µV of the EMF in EA-4/02 S5", () => {
    const { budget, result } = examples.ea_4_02_s5_emf;
    const constants: Record<string, number> = { dt_X: -1 / 0.026, dt_0X: -1 / 0.039 };
    const { combined } = combinedUncertainty(
      budget.map((line) =>
        contribution({ ...line, sensitivity: constants[line.quantity] ?? line.sensitivity }),
      ),
    );
    expect(combined.toFixed(1)).toBe("25.0");
    // To all printed digits, standing on the 0.641 K that the first budget prints.
    expect(combined).toBeCloseTo(Number(result["u_uv"]), 10);
  });

  it("divides by √3 for a rectangle, by √6 for a triangle, by k for a normal one", () => {
    const of = (line: Partial<Contribution>) =>
      combinedUncertainty([{ quantity: "x", distribution: "rectangular", given: 6, sensitivity: 1, ...line }])
        .combined;
    expect(of({})).toBeCloseTo(6 / Math.sqrt(3), 12);
    expect(of({ distribution: "triangular" })).toBeCloseTo(6 / Math.sqrt(6), 12);
    expect(of({ distribution: "normal", coverageFactor: 2 })).toBe(3);
    expect(() => of({ given: -1 })).toThrow("combinedUncertainty requires widths of 0 or more, got -1 for x");
  });
});

const SAID: Probe = {
  type: "S",
  toleranceClass: "iec-2",
  instrumentAccuracyKelvin: 1,
  instrumentResolutionKelvin: 0.1,
  coldJunctionAccuracyKelvin: 0.5,
  positionKelvin: 2,
  correction: null,
};
const CHECKED: Probe = {
  ...SAID,
  correction: {
    checkId: 1,
    acceptedAtEpochMilliseconds: 0,
    acceptedBy: null,
    points: [{ readingCelsius: 960, correctionKelvin: 2 }],
    expandedUncertaintyKelvin: 1.2,
    coverageFactor: 2,
  },
};

describe("the budget of a probe", () => {
  it("rests on its class when new: type S, IEC class 2, at 960 °C", () => {
    const { lines, combined, expanded, basis, missing } = probeBudget(SAID, 960, 25);
    // 2.4 K by IEC 60584-1; the cold junction counts 0.52 times (ratio of Seebeck coefficients, computed).
    const root3 = Math.sqrt(3);
    const expected = [2.4 / root3, (0.5 * 5.991) / 11.412 / root3, 1 / root3, 0.05 / root3, 2 / root3];
    for (const [index, value] of expected.entries()) expect(lines[index]?.contribution).toBeCloseTo(value, 3);
    expect(combined).toBeCloseTo(Math.hypot(...expected), 3);
    expect(expanded).toBe(2 * combined);
    expect({ basis, missing }).toEqual({ basis: "class", missing: [] });
  });

  it("rests on its last check once that was accepted, which saw probe, cold junction and adapter together", () => {
    const { lines, basis } = probeBudget(CHECKED, 960);
    expect(lines.map(({ quantity }) => quantity)).toEqual([
      "last-check",
      "instrument-resolution",
      "position",
    ]);
    expect(lines[0]?.standardUncertainty).toBe(0.6);
    expect(basis).toBe("check");
  });

  it("says what nobody told it instead of taking it for nothing", () => {
    const nobody = { ...SAID, type: null, positionKelvin: null };
    expect(probeBudget(nobody, 800)).toMatchObject({
      basis: "none",
      missing: ["probe-tolerance", "position"],
    });
    // Class 1 of type K ends at 1000 °C: above it the standard says nothing, and so does the budget.
    expect(probeBudget({ ...SAID, type: "K", toleranceClass: "iec-1" }, 1100).missing).toEqual([
      "probe-tolerance",
    ]);
  });

  it.prop([fc.double({ min: 0, max: 20, noNaN: true }), fc.double({ min: 0, max: 20, noNaN: true })])(
    "never gets surer by a wider part",
    (narrow, more) => {
      const of = (positionKelvin: number) => probeBudget({ ...SAID, positionKelvin }, 760).expanded;
      expect(of(narrow + more)).toBeGreaterThanOrEqual(of(narrow));
    },
  );
});

describe("the cold junction's part", () => {
  // Ratios S(25)/S(960) of the NIST functions, computed: K 1.03, N 0.69, S 0.52, R 0.46, B almost nothing.
  it.each([
    ["K", 1.03],
    ["N", 0.69],
    ["S", 0.52],
    ["R", 0.46],
    ["B", 0.01],
  ] as const)("of type %s is %d K/K at 960 °C", (type, ratio) => {
    expect(coldJunctionSensitivity(type, 960, 25)).toBeCloseTo(ratio, 2);
  });

  it("is one kelvin for one where nothing better is known", () => {
    expect(coldJunctionSensitivity(null, 960, 25)).toBe(1);
    for (const type of THERMOCOUPLE_TYPES) expect(coldJunctionSensitivity(type, 3000, 25)).toBe(1);
  });
});
