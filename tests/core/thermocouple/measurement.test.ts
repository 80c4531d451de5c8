import { describe, expect, it } from "vitest";
import { measuredMillivolts } from "#core/thermocouple/cold-junction";
import { measuredCelsius } from "#core/thermocouple/measurement";
import type { Probe } from "#core/thermocouple/probe";

const PROBE: Probe = {
  type: "S",
  toleranceClass: "iec-2",
  instrumentAccuracyKelvin: 1,
  instrumentResolutionKelvin: 0.1,
  coldJunctionAccuracyKelvin: 0.5,
  positionKelvin: null,
  correction: null,
};
const CORRECTED: Probe = {
  ...PROBE,
  correction: {
    checkId: 3,
    acceptedAtEpochMilliseconds: 0,
    acceptedBy: null,
    points: [{ readingCelsius: 960, correctionKelvin: -2.5 }],
    expandedUncertaintyKelvin: 1,
    coverageFactor: 2,
  },
};

describe("the chamber's temperature from a signal", () => {
  it("is the instrument's own where it gives one", () => {
    expect(measuredCelsius({ celsius: 760, millivolts: 1 }, PROBE)).toEqual({
      ok: true,
      celsius: 760,
      uncorrectedCelsius: 760,
    });
  });

  it("comes of the EMF and the cold junction", () => {
    const result = measuredCelsius(
      { millivolts: measuredMillivolts("S", 760, 25), coldJunctionCelsius: 25 },
      PROBE,
    );
    expect(result.ok && result.celsius).toBeCloseTo(760, 6);
  });

  it("has the accepted correction, and keeps what was read", () => {
    expect(measuredCelsius({ celsius: 963 }, CORRECTED)).toEqual({
      ok: true,
      celsius: 960.5,
      uncorrectedCelsius: 963,
    });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { signal: {},                                           probe: PROBE,                       fault: "nothing-measured" },
    { signal: { millivolts: 5 },                            probe: PROBE,                       fault: "cold-junction-unknown" },
    { signal: { millivolts: 5, coldJunctionCelsius: 25 },   probe: { ...PROBE, type: null },    fault: "type-unknown" },
    { signal: { millivolts: 25, coldJunctionCelsius: 25 },  probe: PROBE,                       fault: "above-range" },
    { signal: { millivolts: -3, coldJunctionCelsius: 25 },  probe: PROBE,                       fault: "below-range" },
    { signal: { millivolts: 5, coldJunctionCelsius: -20 },  probe: { ...PROBE, type: "B" as const }, fault: "cold-junction-unknown" },
  ])("is refused with $fault", ({ signal, probe, fault }) => {
    expect(measuredCelsius(signal, probe)).toEqual({ ok: false, fault });
  });
});
