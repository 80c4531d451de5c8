import { describe, expect, it } from "vitest";
import { topCelsius } from "#core/plan/plan";
import { planSchema } from "#shared/plan";
import { historyBakes } from "#simulators/history";
import { parseBenchOptions } from "#simulators/options";

describe("invented earlier bakes", () => {
  const bakes = bakesOf("--history", "8", "--history-seed", "5");

  it("are as many as asked for, on the furnaces of the bench, with plans that its schema takes", () => {
    expect(bakes).toHaveLength(8);
    expect(new Set(bakes.map(({ furnace }) => furnace))).toEqual(new Set(["furnace-1", "furnace-2"]));
    for (const { plan } of bakes) expect(planSchema.parse(plan)).toEqual(plan);
  });

  it("are the same again for the same seed, others for another", () => {
    expect(bakesOf("--history", "8", "--history-seed", "5")).toEqual(bakes);
    expect(bakesOf("--history", "8", "--history-seed", "6")).not.toEqual(bakes);
  });

  it("run from rest to rest, in rising time", () => {
    for (const { plan, samples } of bakes) {
      const celsius = samples.map((sample) => sample[1]);
      expect(Math.abs((celsius[0] ?? 0) - plan.lowCelsius)).toBeLessThan(20);
      expect(Math.abs((celsius.at(-1) ?? 0) - plan.lowCelsius)).toBeLessThan(25);
      expect(samples.every(([at], index) => at === index)).toBe(true);
    }
  });

  it("differ: some never reach their top, some go beyond it, some have a weak vacuum, most are well", () => {
    const many = bakesOf("--history", "24", "--history-seed", "5");
    const beyondKelvin = many.map(
      ({ plan, samples }) => Math.max(...samples.map((sample) => sample[1])) - topCelsius(plan),
    );
    const pressures = many
      .filter(({ plan }) => plan.vacuum)
      .map(({ samples }) => Math.min(...samples.map((sample) => sample[2])));
    expect(beyondKelvin.filter((kelvin) => kelvin < -4).length).toBeGreaterThan(1);
    expect(beyondKelvin.filter((kelvin) => kelvin > 8).length).toBeGreaterThan(1);
    expect(beyondKelvin.filter((kelvin) => kelvin >= -4 && kelvin <= 8).length).toBeGreaterThan(12);
    expect(pressures.filter((pressure) => pressure > 120).length).toBeGreaterThan(1);
    expect(pressures.filter((pressure) => pressure < 60).length).toBeGreaterThan(10);
  });
});

function bakesOf(...argv: string[]) {
  const parsed = parseBenchOptions(argv);
  if (!parsed.ok) throw new RangeError(parsed.message);
  return [...historyBakes(parsed.options)];
}
