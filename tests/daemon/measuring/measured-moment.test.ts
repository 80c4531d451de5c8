import { describe, expect, it } from "vitest";
import type { Reading } from "#daemon/link/reading";
import { heardAt, isOfProbe, measuredMoment } from "#daemon/measuring/measured-moment";
import { settingMessage } from "#daemon/measuring/probe-health";
import { UNKNOWN_PROBE } from "#shared/probe";
import { probeS } from "#tests/daemon/store/store-fixtures";

const reading = (channels: Partial<Reading>): Reading => ({
  furnaceId: "one",
  receivedAtSeconds: 0,
  receivedAtEpochMilliseconds: 0,
  ...channels,
});
const correction = {
  checkId: 1,
  acceptedAtEpochMilliseconds: 0,
  acceptedBy: null,
  points: [{ readingCelsius: 900, correctionKelvin: 3 }],
  expandedUncertaintyKelvin: 1,
  coverageFactor: 2,
};

describe("a measured moment", () => {
  // Type S at 800 °C, reference junction at 0 °C: 7.345 mV (NIST Monograph 175, table of type S).
  it("has the temperature of its EMF", () => {
    const moment = measuredMoment(5, reading({ millivolts: 7.345, coldJunctionCelsius: 0 }), probeS);
    expect(moment.celsius).toBeCloseTo(800, 1);
    expect(moment).toMatchObject({ streamSeconds: 5, fault: null });
  });

  it("has the correction added, and is heard by a watch without it", () => {
    const moment = measuredMoment(5, reading({ celsius: 850 }), { ...probeS, correction });
    expect([moment.celsius, moment.uncorrectedCelsius]).toEqual([853, 850]);
    expect(heardAt(moment, 9)).toMatchObject({ atSeconds: 9, celsius: 850 });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { said: { millivolts: 7 },                              probe: UNKNOWN_PROBE, fault: "type-unknown",          isHeard: false },
    { said: { millivolts: 7 },                              probe: probeS,        fault: "cold-junction-unknown", isHeard: false },
    { said: { millivolts: 7, coldJunctionCelsius: -90 },    probe: probeS,        fault: "cold-junction-unknown", isHeard: true },
    { said: { millivolts: 70, coldJunctionCelsius: 20 },    probe: probeS,        fault: "above-range",           isHeard: true },
    { said: { celsius: 6553.5 },                            probe: probeS,        fault: "above-range",           isHeard: true },
    { said: { celsius: -3276.8 },                           probe: probeS,        fault: "below-range",           isHeard: true },
    { said: { sensorWord: "open-circuit" as const },        probe: probeS,        fault: "nothing-measured",      isHeard: true },
  ])("has no temperature from $said: $fault", ({ said, probe, fault, isHeard }) => {
    const moment = measuredMoment(0, reading(said), probe);
    expect(moment).toMatchObject({ celsius: null, fault });
    expect(heardAt(moment, 0) !== null).toBe(isHeard);
  });

  it("that lacks a setting says in one line how to mend it, and is no fault of the probe", () => {
    const message = (said: Partial<Reading>, probe = probeS) =>
      settingMessage(measuredMoment(0, reading(said), probe));
    expect(message({ millivolts: 7 }, UNKNOWN_PROBE)).toMatch(/set the thermocouple's type in Upkeep/);
    expect(message({ millivolts: 7 })).toMatch(/without a cold junction: choose a format/);
    expect(message({ sensorWord: "open-circuit" })).toBeNull();
    expect(message({ celsius: 800 })).toBeNull();
  });

  it("passes what the instrument itself said of its probe to the watch", () => {
    const heard = (said: Partial<Reading>) => heardAt(measuredMoment(0, reading(said), probeS), 0);
    expect(heard({ sensorWord: "no-value", coldJunctionCelsius: 24 })).toMatchObject({
      celsius: null,
      coldJunctionCelsius: 24,
      sensorWord: "no-value",
    });
    expect(heard({ millivolts: 70, coldJunctionCelsius: 20 })?.sensorWord).toBe("above-range");
  });

  it.each([
    [{ celsius: 20 }, true],
    [{ millivolts: 1 }, true],
    [{ sensorWord: "no-value" as const }, true],
    [{ hectopascals: 20, coldJunctionCelsius: 20 }, false],
  ])("is made of %j: %s", (channels, expected) => {
    expect(isOfProbe(reading(channels))).toBe(expected);
  });
});
