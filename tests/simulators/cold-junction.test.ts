import { describe, expect, it } from "vitest";
import { BenchFurnace } from "#simulators/bench-furnace";
import { coldJunctionSurroundingsCelsius, nextColdJunctionCelsius } from "#simulators/cold-junction";

describe("the cold junction", () => {
  it("is warmer beside a hot furnace, and swings with the room", () => {
    const at = (seconds: number, insulationCelsius: number) =>
      coldJunctionSurroundingsCelsius(seconds, insulationCelsius, 0);
    expect(at(0, 22)).toBe(22);
    expect(at(0, 422)).toBeCloseTo(24.6, 9);
    expect(at(600, 22)).toBeCloseTo(22.6, 9);
    expect(at(1800, 22)).toBeCloseTo(21.4, 9);
  });

  it("has gone 63 % of a step after ten minutes", () => {
    let celsius = 0;
    for (let step = 0; step < 6000; step += 1) celsius = nextColdJunctionCelsius(celsius, 1, 0.1);
    expect(celsius).toBeCloseTo(1 - Math.exp(-1), 3);
  });

  it("of the bench drifts slowly while the furnace bakes", () => {
    const furnace = new BenchFurnace({ seed: 1 });
    const seen: number[] = [];
    for (let seconds = 0; seconds <= 7200; seconds += 60) {
      furnace.advance(seconds);
      seen.push(furnace.read().coldJunctionCelsius);
    }
    expect(Math.max(...seen) - Math.min(...seen)).toBeGreaterThan(0.2);
    const steps = seen.slice(1).map((celsius, index) => Math.abs(celsius - (seen[index] ?? 0)));
    expect(Math.max(...steps)).toBeLessThan(0.1);
    for (const celsius of seen) expect(Math.abs(celsius - 24)).toBeLessThan(2);
  });
});
