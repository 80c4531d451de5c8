import { describe, expect, it } from "vitest";
import { emfBetween, healthySensor, readAs, wordReading } from "#simulators/instrument-reading";
import { benchReading } from "#tests/helpers/bench-reading";

describe("a healthy thermocouple on its adapter", () => {
  // EMFs of the reference tables of IEC 60584-1 (NIST SRD 60): E(hot) − E(cold).
  // biome-ignore format: a table reads in columns
  it.each([
    { type: "K" as const, hot: 800, cold: 20, millivolts: 33.275 - 0.798 },
    { type: "S" as const, hot: 800, cold: 20, millivolts: 7.345 - 0.113 },
    { type: "N" as const, hot: 500, cold: 0,  millivolts: 16.748 },
  ])("of type $type gives $millivolts mV between $hot and $cold °C", ({ type, hot, cold, millivolts }) => {
    const sensor = healthySensor(benchReading({ celsius: hot, coldJunctionCelsius: cold }), type);
    expect(Math.abs((sensor.millivolts ?? 0) - millivolts)).toBeLessThan(0.0011);
    expect(sensor).toMatchObject({ celsius: hot, sensorWord: null, coldJunctionCelsius: cold });
  });

  it("says its EMF in steps of 0.0001 mV and its cold junction in tenths", () => {
    const sensor = healthySensor(benchReading({ celsius: 700.123, coldJunctionCelsius: 24.06 }), "K");
    expect(sensor.coldJunctionCelsius).toBe(24.1);
    expect(String(sensor.millivolts)).toMatch(/^28\.\d{1,4}$/);
  });

  it("says that it is above its range where its type does not go", () => {
    expect(healthySensor(benchReading({ celsius: 700 }), "T")).toEqual(wordReading("above-range", 24));
    expect(emfBetween("T", 700, 24)).toBeNull();
  });
});

describe("an adapter", () => {
  it("reads the EMF of its own type as the temperature that made it", () => {
    const millivolts = emfBetween("S", 960.5, 23.4) ?? Number.NaN;
    expect(readAs("S", millivolts, 23.4, 0.1)).toMatchObject({ celsius: 960.5, sensorWord: null });
  });

  it("says which end of the range an EMF is beyond", () => {
    expect(readAs("S", -5, 24, 0.1)).toMatchObject({ celsius: null, sensorWord: "below-range" });
    expect(readAs("S", 40, 24, 0.1)).toMatchObject({ celsius: null, sensorWord: "above-range" });
  });
});
