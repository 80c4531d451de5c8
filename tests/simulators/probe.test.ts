import { describe, expect, it } from "vitest";
import { nextJunctionCelsius, ORDINARY_PROBE, rounded, sensedCelsius } from "#simulators/probe";
import { randomStream } from "#simulators/random";

describe("the probe", () => {
  it.each([0.1, 0.5, 2])("has the noise that is asked for: %d K", (noiseKelvin) => {
    const random = randomStream(3, "probe");
    const probe = { ...ORDINARY_PROBE, noiseKelvin };
    const count = 20_000;
    const errors = Array.from({ length: count }, () => sensedCelsius(700, probe, random) - 700);
    const deviation = Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / count);
    // Within five standard errors of a standard deviation.
    expect(Math.abs(deviation / noiseKelvin - 1)).toBeLessThan(5 / Math.sqrt(2 * count));
  });

  it("reads its offset too high", () => {
    const random = randomStream(3, "probe");
    const probe = { ...ORDINARY_PROBE, noiseKelvin: 0, offsetKelvin: 4.26 };
    expect(sensedCelsius(700, probe, random)).toBe(704.26);
  });

  it("has gone 63 % of a step after its lag, 95 % after three times as long", () => {
    const gone = (seconds: number) => {
      let celsius = 0;
      for (let step = 0; step < seconds * 100; step += 1)
        celsius = nextJunctionCelsius(celsius, 1, 2.5, 0.01);
      return celsius;
    };
    expect(gone(2.5)).toBeCloseTo(1 - Math.exp(-1), 2);
    expect(gone(7.5)).toBeCloseTo(1 - Math.exp(-3), 2);
  });

  it("follows at once without a lag", () => {
    expect(nextJunctionCelsius(20, 700, 0, 0.1)).toBe(700);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { value: 512.44,  resolution: 0.1, printed: 512.4 },
    { value: 512.46,  resolution: 0.1, printed: 512.5 },
    { value: 512.46,  resolution: 1,   printed: 512 },
    { value: 512.46,  resolution: 0,   printed: 512.46 },
    { value: -0.3,    resolution: 0.1, printed: -0.3 },
  ])("rounds $value in steps of $resolution to $printed", ({ value, resolution, printed }) => {
    expect(rounded(value, resolution)).toBe(printed);
  });
});
