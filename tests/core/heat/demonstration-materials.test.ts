import { describe, expect, it } from "vitest";
import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import { glassOutcome } from "#core/heat/glass-outcome";
import { curveEquivalentSeconds } from "#core/heat/heat-work";
import type { Material } from "#core/heat/material";
import { apparentActivationEnergyJoulesPerMole } from "#core/heat/viscosity";
import { DEMONSTRATION_CARDS } from "#core/plan/demonstration-plans";
import { setpointCurve } from "#core/plan/setpoint";
import { materialSchema } from "#shared/material";
import { fired } from "#tests/helpers/fired";

describe("the demonstration materials", () => {
  it.each(DEMONSTRATION_MATERIALS)(
    "are materials as others have them, and say that they are invented: $name",
    (material) => {
      expect(materialSchema.parse(material)).toEqual(material);
      expect(material.name).toMatch(/^Demo /);
      expect(material.origin.kind).toBe("invented");
      expect(material.origin.statement).toMatch(/^Invented for demonstration/);
    },
  );

  it("have different names", () => {
    const names = DEMONSTRATION_MATERIALS.map(({ name }) => name);
    expect(new Set(names).size).toBe(names.length);
  });

  it.each(DEMONSTRATION_MATERIALS)(
    "count heat work with the activation energy that their viscosity has there, within 10 %: $name",
    (material) => {
      const apparent = apparentActivationEnergyJoulesPerMole(
        material.referenceCelsius,
        viscosityOf(material),
      );
      const ratio = material.activationEnergyJoulesPerMole / apparent;
      expect(ratio).toBeGreaterThan(0.9);
      expect(ratio).toBeLessThan(1.1);
    },
  );

  it.each(DEMONSTRATION_MATERIALS)(
    "close their pores where they say, on climbs of 25 and 80 K/min: $name",
    (material) => {
      const closes = (kelvinPerMinute: number) => closureCelsius(material, kelvinPerMinute);
      expect(Math.abs(closes(25) - (material.closure?.fromCelsius ?? 0))).toBeLessThan(1.5);
      expect(Math.abs(closes(80) - (material.closure?.toCelsius ?? 0))).toBeLessThan(1.5);
    },
  );

  it("are not the glass that the models are tested on", () => {
    const testGlass = { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 };
    for (const material of DEMONSTRATION_MATERIALS) {
      const { logPascalSeconds, kelvin, zeroCelsius } = viscosityOf(material);
      expect(logPascalSeconds).not.toBe(testGlass.logPascalSeconds);
      expect(kelvin).not.toBe(testGlass.kelvin);
      expect(zeroCelsius).not.toBe(testGlass.zeroCelsius);
    }
  });

  it.each(DEMONSTRATION_CARDS)(
    "end within their window in the first bake of their card: $card.plan.name",
    ({ card, materialName }) => {
      const material = materialNamed(materialName);
      const planned = curveEquivalentSeconds(setpointCurve(card.plan), material);
      const withCooling = curveEquivalentSeconds(fired(card.plan), material);
      const { leastEquivalentSeconds = 0, mostEquivalentSeconds = 0 } = material.window ?? {};
      for (const seconds of [planned, withCooling]) {
        expect(seconds).toBeGreaterThan(leastEquivalentSeconds);
        expect(seconds).toBeLessThan(mostEquivalentSeconds);
      }
    },
  );

  it.each(DEMONSTRATION_CARDS)(
    "come out dense and clear there, with 60 hPa when the pores close: $card.plan.name",
    ({ card, materialName }) => {
      const trace = fired(card.plan).map((sample) => ({ ...sample, hectopascals: 60 }));
      const outcome = glassOutcome(trace, materialNamed(materialName));
      expect(outcome.closure?.hectopascals).toBeCloseTo(60, 6);
      expect(outcome.porosityFraction).toBeLessThan(0.001);
      expect(outcome.reflectanceFraction).toBeLessThan(0.15);
    },
  );
});

function viscosityOf({ name, viscosity }: Material) {
  if (!viscosity) throw new RangeError(`${name} states no viscosity`);
  return viscosity;
}

function materialNamed(name: string): Material {
  const material = DEMONSTRATION_MATERIALS.find((candidate) => candidate.name === name);
  if (!material) throw new RangeError(`no demonstration material is named ${name}`);
  return material;
}

function closureCelsius(material: Material, kelvinPerMinute: number): number {
  const climb = [
    { atSeconds: 0, celsius: 450 },
    { atSeconds: (400 / kelvinPerMinute) * 60, celsius: 850 },
  ];
  return glassOutcome(climb, material, { silences: [] }).closure?.celsius ?? Number.NaN;
}
