import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { z } from "zod";
import { lineAt, straightLine } from "#core/statistics/straight-line";

// JCGM 100:2008 (GUM), annex H.3: calibration of a thermometer, the correction as a line about 20 °C. Input
// data and published results as in tests/reference/uncertainty-examples.json, with their sources.
const schema = z.object({
  gum_h3_thermometer_correction_line: z.object({
    t_c: z.array(z.number()),
    b_c: z.array(z.number()),
    published: z.record(z.string(), z.number()),
    recomputed: z.record(z.string(), z.number()),
  }),
});
const file = new URL("../../reference/uncertainty-examples.json", import.meta.url);
const { t_c, b_c, published, recomputed } = schema.parse(
  JSON.parse(readFileSync(file, "utf8")),
).gum_h3_thermometer_correction_line;
const points = t_c.map((x, index) => ({ x, y: b_c[index] ?? Number.NaN }));

describe("a straight line by least squares", () => {
  const line = straightLine(points, 20);
  const at30 = lineAt(line, 30);

  // biome-ignore format: a table reads in columns
  it.each([
    { figure: "y1_c",          value: line.intercept,                 digits: 4 },
    { figure: "s_y1_c",        value: line.interceptStandardError,    digits: 4 },
    { figure: "y2",            value: line.slope,                     digits: 5 },
    { figure: "s_y2",          value: line.slopeStandardError,        digits: 5 },
    { figure: "correlation",   value: line.correlation,               digits: 2 },
    { figure: "s_c",           value: line.residualStandardDeviation, digits: 4 },
    { figure: "b_at_30_c",     value: at30.y,                         digits: 4 },
    { figure: "u_b_at_30_c",   value: at30.standardError,             digits: 4 },
  ])("has the published $figure of GUM H.3 to its $digits digits", ({ figure, value, digits }) => {
    expect(Number(value.toFixed(digits))).toBe(published[figure]);
    expect(Math.abs(value / (recomputed[figure] ?? Number.NaN) - 1)).toBeLessThan(5e-5);
  });

  it("needs three points, at more than one x", () => {
    expect(() => straightLine(points.slice(0, 2), 0)).toThrow(
      "straightLine requires 3 points or more, got 2",
    );
    const above = [1, 2, 3].map((y) => ({ x: 1, y }));
    expect(() => straightLine(above, 0)).toThrow("more than one x");
  });
});
