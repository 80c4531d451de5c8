// Heat work against the world outside: pyrometric cones. A cone is a small pyramid of glassy clay that bends when
// it has had its share of heat; a published chart says at what temperature, for three climb rates. If what bends it
// is one process with one activation energy, two of the rates give the energy and foretell the third.
//
// What this shows. First, that the code does its sums: energies and predictions were computed independently from
// the same end points, and agree to the digits printed. Second, how far the model itself holds: with the energy
// from the two outer rates, 15 and 150 K/h, it meets the published end point at 60 K/h with a mean miss of 2.3 K
// (self-supporting regular, 24 cones; rms 2.7 K, worst 5.7 K) and 2.9 K (iron-free, 9 cones; rms 3.2 K, worst 4.9 K).
// The chart is rounded to 1 K, which accounts for a part of that.
//
// What it does not show. Not that the model holds at a dental furnace's 25 to 80 K/min, which is ten to thirty
// times the chart's fastest. Not an absolute accuracy: laboratories differ by 15 K on the same cone. Not that 3 K is
// an unbiased error: the iron-free cones all come out low, so their rates are not quite one Arrhenius process. Not
// that one energy serves all: below 880 °C it is 297 to 426 kJ/mol here, which suits the flow of a glass; above
// some 890 °C up to 1,500, which suits none. Nor is a cone three proofs: two ends always fit some energy, so each
// cone can contradict once. And not all end points were read: some are from memory, as the file says of each.

import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { z } from "zod";
import { kissingerEnergyJoulesPerMole } from "#core/heat/crystallisation";
import { apparentEnergyJoulesPerMole, type ClimbEnd, equalClimbTopCelsius } from "#core/heat/heat-work-trade";

const COLUMNS = ["self_supporting_regular", "self_supporting_iron_free"] as const;

const derivedSchema = z.object({
  kissinger_E_kJ_per_mol: z.number(),
  exact_E_15_60: z.number(),
  exact_E_60_150: z.number(),
  exact_E_15_150: z.number(),
  exact_E_15_150_range_from_rounding: z.tuple([z.number(), z.number()]),
  prediction_error_C: z.object({
    "60_from_15_and_150": z.number(),
    "150_from_15_and_60": z.number(),
    "15_from_60_and_150": z.number(),
  }),
});
const endsSchema = z.object({ "15": z.number().nullable(), "60": z.number(), "150": z.number() });
const summarySchema = z.object({
  n: z.number(),
  E_15_150_kJ_per_mol: z.object({ min: z.number(), median: z.number(), max: z.number() }),
  error_60_from_15_and_150: z.object({
    mean: z.number(),
    mean_abs: z.number(),
    rms: z.number(),
    max_abs: z.number(),
  }),
});
const chart = z
  .object({
    summary: z.record(z.string(), summarySchema),
    cones: z.array(
      z.object({
        cone: z.string(),
        T_end_C: z.object({
          self_supporting_regular: endsSchema.optional(),
          self_supporting_iron_free: endsSchema.optional(),
        }),
        derived: z.object({
          self_supporting_regular: derivedSchema.optional(),
          self_supporting_iron_free: derivedSchema.optional(),
        }),
      }),
    ),
  })
  .parse(JSON.parse(readFileSync(new URL("../../reference/pyrometric-cones.json", import.meta.url), "utf8")));

const rows = chart.cones.flatMap(({ cone, T_end_C, derived }) =>
  COLUMNS.flatMap((column) => {
    const [ends, printed] = [T_end_C[column], derived[column]];
    if (!ends || !printed || ends["15"] === null) return [];
    const slow = { kelvinPerMinute: 15 / 60, celsius: ends["15"] };
    const middle = { kelvinPerMinute: 60 / 60, celsius: ends["60"] };
    const fast = { kelvinPerMinute: 150 / 60, celsius: ends["150"] };
    return [{ cone, column, slow, middle, fast, printed }];
  }),
);

describe("the sums of heat work on pyrometric cones", () => {
  it("are done for every cone that has three end points", () => {
    expect(COLUMNS.map((column) => rowsOf(column).length)).toEqual([24, 9]);
  });

  it.each(rows)("give cone $cone, $column, its printed predictions within 0.1 K", (row) => {
    const { slow, middle, fast, printed } = row;
    const expected = printed.prediction_error_C;
    expect(Math.abs(miss(slow, fast, middle) - expected["60_from_15_and_150"])).toBeLessThan(0.1);
    expect(Math.abs(miss(slow, middle, fast) - expected["150_from_15_and_60"])).toBeLessThan(0.1);
    expect(Math.abs(miss(fast, middle, slow) - expected["15_from_60_and_150"])).toBeLessThan(0.1);
  });

  it.each(rows)("give cone $cone, $column, its printed energies to all their digits", (row) => {
    const { slow, middle, fast, printed } = row;
    expect(fourDigits(kissingerEnergyJoulesPerMole([slow, middle, fast]))).toBe(
      printed.kissinger_E_kJ_per_mol,
    );
    expect(fourDigits(energyOf(slow, middle))).toBe(printed.exact_E_15_60);
    expect(fourDigits(energyOf(middle, fast))).toBe(printed.exact_E_60_150);
    expect(fourDigits(energyOf(slow, fast))).toBe(printed.exact_E_15_150);
    // The chart is rounded to 1 K: half a kelvin apart and half a kelvin together.
    const moved = (kelvin: number) => energyOf(hotter(slow, -kelvin), hotter(fast, kelvin));
    expect([moved(0.5), moved(-0.5)].map(fourDigits)).toEqual(printed.exact_E_15_150_range_from_rounding);
  });
});

describe("heat work on pyrometric cones", () => {
  it.each(COLUMNS)("of the column %s misses the middle rate as the file sums it up", (column) => {
    const misses = middleMisses(rowsOf(column));
    const summary = chart.summary[column];
    expect(misses.length).toBe(summary?.n);
    // Within 0.05 K: the file rounds its figures.
    expect(mean(misses)).toBeCloseTo(summary?.error_60_from_15_and_150.mean ?? Number.NaN, 1);
    expect(mean(misses.map(Math.abs))).toBeCloseTo(
      summary?.error_60_from_15_and_150.mean_abs ?? Number.NaN,
      1,
    );
    expect(rms(misses)).toBeCloseTo(summary?.error_60_from_15_and_150.rms ?? Number.NaN, 1);
  });

  it("misses the published middle end point by less than 3 K on average, and 6 K at worst", () => {
    for (const column of COLUMNS) {
      const misses = middleMisses(rowsOf(column)).map(Math.abs);
      expect(mean(misses)).toBeLessThan(3);
      expect(Math.max(...misses)).toBeLessThan(6);
    }
    // Root mean square over both columns: 2.9 K. Of the iron-free ones alone it is 3.2 K, above the 3 K aimed at.
    expect(rms(middleMisses(rows))).toBeLessThan(3);
    expect(rms(middleMisses(rowsOf("self_supporting_iron_free")))).toBeCloseTo(3.23, 1);
  });

  it("misses by less than 2 K where dental layers are fired, 650 to 880 °C, at 297 to 426 kJ/mol", () => {
    const dental = rows.filter(({ slow, fast }) => slow.celsius >= 650 && fast.celsius <= 880);
    expect(dental.map(({ cone }) => cone)).toEqual(["019", "018", "016", "015", "013"]);
    for (const { slow, middle, fast } of dental) {
      expect(Math.abs(miss(slow, fast, middle))).toBeLessThan(2);
      expect(energyOf(slow, fast)).toBeGreaterThan(297e3);
      expect(energyOf(slow, fast)).toBeLessThan(427e3);
    }
  });
});

function rowsOf(column: (typeof COLUMNS)[number]) {
  return rows.filter((row) => row.column === column);
}

function middleMisses(some: typeof rows): number[] {
  return some.map(({ slow, middle, fast }) => miss(slow, fast, middle));
}

/** Foretold by heat work with the energy from two ends, less the published end at the third rate, K. */
function miss(one: ClimbEnd, other: ClimbEnd, third: ClimbEnd): number {
  return equalClimbTopCelsius(one, third.kelvinPerMinute, energyOf(one, other)) - third.celsius;
}

function energyOf(one: ClimbEnd, other: ClimbEnd): number {
  return apparentEnergyJoulesPerMole(one, other) ?? Number.NaN;
}

function hotter(end: ClimbEnd, kelvin: number): ClimbEnd {
  return { ...end, celsius: end.celsius + kelvin };
}

/** kJ/mol, as the file prints it. */
function fourDigits(joulesPerMole: number): number {
  return Number((joulesPerMole / 1000).toPrecision(4));
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function rms(values: readonly number[]): number {
  return Math.sqrt(mean(values.map((value) => value ** 2)));
}
