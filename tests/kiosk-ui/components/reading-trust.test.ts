import { describe, expect, it } from "vitest";
import {
  allFaults,
  briefTemperature,
  countedFaultsText,
  pressingFaults,
  readingTrust,
  trustText,
} from "#kiosk-ui/components/reading-trust";
import { type SensorFaultKind, sensorFaultKindSchema } from "#shared/sensor-fault";
import { madeUpFault } from "#tests/helpers/made-up-bakes";

const lasting = (kind: SensorFaultKind) => madeUpFault(kind, { isActive: true, needsPerson: true });

describe("how far a reading is to be believed", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { fault: "open-circuit",               trust: "missing",  tag: "No reading: thermocouple open" },
    { fault: "short-circuit",              trust: "doubted",  tag: "Do not believe it: thermocouple shorted" },
    { fault: "reversed-polarity",          trust: "doubted",  tag: "Do not believe it: leads swapped" },
    { fault: "frozen",                     trust: "doubted",  tag: "Do not believe it: reading frozen" },
    { fault: "wrong-type",                 trust: "doubted",  tag: "Do not believe it: wrong thermocouple type" },
    { fault: "cold-junction-unreasonable", trust: "doubted",  tag: "Do not believe it: cold junction cannot be right" },
    { fault: "intermittent",               trust: "doubted",  tag: "Do not believe it: contact comes and goes" },
    { fault: "out-of-range",               trust: "doubted",  tag: "Do not believe it: out of range" },
    { fault: "cold-junction-stuck",        trust: "believed", tag: "" },
    { fault: "drop-outs",                  trust: "believed", tag: "" },
    { fault: "spikes",                     trust: "believed", tag: "" },
  ] as const)("while $fault lasts: $trust", ({ fault, trust, tag }) => {
    const found = readingTrust([lasting(fault)]);
    expect(found.kind).toBe(trust);
    expect(trustText(found)).toBe(tag);
  });

  it("is as without a fault once it is past, or when it needs nobody", () => {
    for (const kind of sensorFaultKindSchema.options) {
      expect(readingTrust([madeUpFault(kind, { needsPerson: true })]).kind).toBe("believed");
      expect(readingTrust([madeUpFault(kind, { isActive: true })]).kind).toBe("believed");
    }
  });

  it("goes by the fault that spoils most", () => {
    const faults = [lasting("cold-junction-stuck"), lasting("frozen"), lasting("open-circuit")];
    expect(readingTrust(faults)).toEqual({ kind: "missing", fault: "open-circuit" });
    expect(pressingFaults(faults).map(({ kind }) => kind)).toEqual([
      "open-circuit",
      "frozen",
      "cold-junction-stuck",
    ]);
  });

  it("is told on a button too", () => {
    const latest = { sample: { celsius: 512.4 }, receivedAtEpochMilliseconds: 0 };
    const shown = (kind: SensorFaultKind) =>
      briefTemperature({ latest, sensorFaults: [lasting(kind)] }, "celsius");
    expect(shown("open-circuit")).toBe("no reading");
    expect(shown("frozen")).toBe("512\u00a0°C?");
    expect(shown("drop-outs")).toBe("512\u00a0°C");
    expect(briefTemperature({ latest: null, sensorFaults: [] }, "celsius")).toBeNull();
  });
});

describe("the faults of a furnace and its bake", () => {
  it("are one list, one a kind, counted by the bake and lasting as on the line", () => {
    const ofBake = [madeUpFault("frozen", { episodes: 2, needsPerson: true }), madeUpFault("spikes")];
    const all = allFaults(ofBake, [lasting("frozen"), lasting("open-circuit")]);
    expect(all.map(({ kind, isActive, episodes }) => ({ kind, isActive, episodes }))).toEqual([
      { kind: "frozen", isActive: true, episodes: 2 },
      { kind: "spikes", isActive: false, episodes: 1 },
      { kind: "open-circuit", isActive: true, episodes: 1 },
    ]);
  });
});

describe("the quiet line about what is past", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { faults: [],                                                          says: "" },
    { faults: [madeUpFault("spikes", { readings: 3 })],                    says: "3 spikes so far" },
    { faults: [madeUpFault("spikes", { readings: 1 }),
               madeUpFault("drop-outs", { readings: 12 })],                says: "1 spike, 12 readings missing so far" },
    { faults: [madeUpFault("open-circuit", { episodes: 2, needsPerson: true })],
                                                                           says: "Thermocouple open 2 times so far" },
    { faults: [madeUpFault("out-of-range", { readings: 1 })],              says: "1 reading out of range so far" },
  ])("says “$says”", ({ faults, says }) => {
    expect(countedFaultsText(faults)).toBe(says);
  });

  it("leaves out what lasts and is said at once", () => {
    expect(countedFaultsText([lasting("frozen"), madeUpFault("spikes", { readings: 3 })])).toBe(
      "3 spikes so far",
    );
  });
});
