import { describe, expect, it } from "vitest";
import { despiked } from "#core/trace/despike";
import { noiseKelvin } from "#core/trace/noise";
import { smoothed } from "#core/trace/smooth";
import { normalDeviates } from "#tests/helpers/normal-deviates";
import { sampled, trace } from "#tests/helpers/trace";

const bake = sampled(trace("0:510 4:510 9.5:760 10.5:760 14:550"), 1);

function noisy(sigmaKelvin: number, seed: number) {
  const next = normalDeviates(seed);
  return bake.map((sample) => ({ ...sample, celsius: sample.celsius + sigmaKelvin * next() }));
}

describe("the noise of a trace", () => {
  it("is nothing on a clean one, corners and all", () => {
    expect(noiseKelvin(bake)).toBe(0);
  });

  it.each([{ sigma: 0.1 }, { sigma: 0.5 }, { sigma: 2 }])("of $sigma K is found within 10 %", ({ sigma }) => {
    expect(Math.abs(noiseKelvin(noisy(sigma, 7)) / sigma - 1)).toBeLessThan(0.1);
  });

  it("does not grow with a few spikes", () => {
    const spiked = noisy(0.5, 3).map((s, i) => (i % 97 === 50 ? { ...s, celsius: s.celsius + 300 } : s));
    expect(noiseKelvin(spiked)).toBeLessThan(0.6);
  });

  it("is not known from a handful of samples", () => {
    expect(noiseKelvin(bake.slice(0, 4))).toBe(0);
  });
});

describe("smoothing", () => {
  it("leaves a clean trace as it is", () => {
    expect(smoothed(bake, 0)).toEqual(bake);
  });

  it("takes 0.5 K of noise down to a quarter of a kelvin and less, corners included", () => {
    const raw = noisy(0.5, 11);
    const smooth = smoothed(raw, noiseKelvin(raw));
    const errors = smooth.map((point, index) => point.celsius - (bake[index]?.celsius ?? 0));
    const rms = Math.sqrt(errors.reduce((sum, error) => sum + error ** 2, 0) / errors.length);
    expect(rms).toBeLessThan(0.25);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(1.2);
  });

  it("does not reach across a gap", () => {
    const holed = noisy(0.5, 5).filter(({ atSeconds }) => atSeconds < 300 || atSeconds > 400);
    const smooth = smoothed(holed, 0.5);
    const before = smooth.filter(({ atSeconds }) => atSeconds > 290 && atSeconds < 300);
    for (const point of before) {
      const true_ = bake.find(({ atSeconds }) => atSeconds === point.atSeconds)?.celsius ?? 0;
      expect(Math.abs(point.celsius - true_)).toBeLessThan(1.5);
    }
  });
});

describe("despiking", () => {
  it("replaces a lone wild reading and nothing else", () => {
    const spiked = bake.map((s) => (s.atSeconds === 400 ? { ...s, celsius: 1241 } : s));
    const clean = despiked(spiked, 0);
    expect(clean[400]?.celsius).toBeCloseTo(bake[400]?.celsius ?? 0, 6);
    expect(clean.filter((sample, index) => sample !== spiked[index])).toHaveLength(1);
  });

  it("leaves a step alone: two readings that agree are no spike", () => {
    const stepped = bake.map((s) =>
      s.atSeconds === 400 || s.atSeconds === 401 ? { ...s, celsius: 500 } : s,
    );
    expect(despiked(stepped, 0)).toEqual(stepped);
  });

  it("leaves noise alone", () => {
    const raw = noisy(2, 1);
    expect(despiked(raw, 2)).toEqual(raw);
  });
});
