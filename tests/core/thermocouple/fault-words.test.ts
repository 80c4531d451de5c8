import { describe, expect, it } from "vitest";
import { faultName, faultSentence, firstLook } from "#core/thermocouple/fault-words";
import type { SensorFault, SensorFaultKind } from "#core/thermocouple/sensor-faults";
import { sensorFaultKindSchema } from "#shared/sensor-fault";

const fault = (kind: SensorFaultKind, changes: Partial<SensorFault> = {}): SensorFault => ({
  kind,
  isActive: false,
  episodes: 1,
  readings: 1,
  seconds: 30,
  firstAtSeconds: 0,
  lastAtSeconds: 30,
  celsius: null,
  likelyType: null,
  needsPerson: true,
  ...changes,
});

describe("a sensor fault in words", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    [fault("open-circuit", { isActive: true }),                        "The thermocouple is open, for 30 s so far."],
    [fault("open-circuit", { isActive: true, episodes: 2 }),            "The thermocouple is open again, 2 times and 30 s in all so far."],
    [fault("open-circuit", { episodes: 3, seconds: 884 }),             "The thermocouple was open 3 times, 14 min 44 s in all."],
    [fault("short-circuit", { isActive: true, celsius: 24.2 }),        "The thermocouple is shorted: it reads the cold junction instead of the chamber (24 °C)."],
    [fault("wrong-type", { likelyType: "S", celsius: 190 }),           "The curve is bent: it fits the plan if the thermocouple is a type S (top read 190 °C)."],
    [fault("frozen", { celsius: 700.1, seconds: 120 }),                "The reading was frozen (700 °C), 2 min 00 s."],
    [fault("spikes", { readings: 3, episodes: 3, celsius: 1241 }),     "3 readings jumped away and back (1241 °C)."],
    [fault("drop-outs", { readings: 7, episodes: 2 }),                 "7 readings are missing, in 2 stretches."],
    [fault("cold-junction-unreasonable", { celsius: 85 }),             "The cold junction says 85 °C."],
  ] as const)("%o reads as a sentence", (one, sentence) => {
    expect(faultSentence(one, "celsius")).toBe(sentence);
  });

  it("is told in °F where that is read", () => {
    expect(faultSentence(fault("short-circuit", { celsius: 24 }), "fahrenheit")).toContain("(75 °F)");
  });

  it.each(sensorFaultKindSchema.options)("of the kind %s has a name, a sentence and a first look", (kind) => {
    expect(faultName(kind)).toMatch(/^[a-z]/);
    expect(faultSentence(fault(kind, { celsius: 500 }), "celsius")).toMatch(/^[A-Z0-9].*\.$/);
    expect(firstLook(kind)).toMatch(/^Look first .*\.$/);
  });
});
