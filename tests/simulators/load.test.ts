import { describe, expect, it } from "vitest";
import { loadJoulesPerKelvin, loadRadiatingSquareMetres } from "#simulators/load";

describe("a load", () => {
  it("takes heat in proportion to its mass and by its framework", () => {
    // Specific heats from memory, not from a source: zirconia 0.6, metal 0.45 J/(g·K).
    expect(loadJoulesPerKelvin({ framework: "zirconia", grams: 50 })).toBeCloseTo(30, 9);
    expect(loadJoulesPerKelvin({ framework: "metal", grams: 50 })).toBeCloseTo(22.5, 9);
  });

  it("has four times the area at eight times the mass", () => {
    const area = (grams: number) => loadRadiatingSquareMetres({ framework: "none", grams });
    expect(area(80) / area(10)).toBeCloseTo(4, 9);
  });
});
