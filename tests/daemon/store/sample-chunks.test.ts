import { fc, it as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import type { Sample } from "#core/trace/trace";
import { keptSample, packSamples, unpackSamples } from "#daemon/store/sample-chunks";

/** Written by Python 3 with its own zlib from the page sample-chunks.md. */
const PYTHON_CHUNKS = {
  firstVersion: "01efec7bb36364649463647c54c6c0c00000",
  firstVersionWithColdJunction: "01bd7e0f2b636264649063647c5426c4c004a4981900",
  secondVersion: "0254e121cb636264649063647c5426c4c004a498191899d765f20100",
};

/** Whole thousandths (or whatever `parts` says) as a decimal number: what a line can say. */
const decimal = (least: number, most: number, parts: number) =>
  fc.integer({ min: least * parts, max: most * parts }).map((integer) => integer / parts);

const samples = fc.array(
  fc.record(
    {
      atSeconds: decimal(0, 200_000, 1000),
      celsius: decimal(-270, 1800, 1000),
      hectopascals: decimal(0, 1100, 100),
      coldJunctionCelsius: decimal(-40, 85, 1000),
      heaterDutyFraction: decimal(0, 1, 10_000),
      millivolts: decimal(-10, 77, 10_000),
    },
    { requiredKeys: ["atSeconds", "celsius"], noNullPrototype: true },
  ),
  { maxLength: 300 },
);

/** 25 minutes at 1 Hz, 0.1 K: a climb with noise, a pump, a warming cold junction, a busy heater. */
function fourChannels(): Sample[] {
  let seed = 7;
  const noise = () => {
    seed = (seed * 16807) % 2147483647;
    return seed / 2147483647 - 0.5;
  };
  const tenth = (value: number) => Math.round(value * 10) / 10;
  return Array.from({ length: 1500 }, (_, second) => {
    const celsius = second < 300 ? 510 : Math.min(760, 510 + (second - 300) * 0.75);
    return {
      atSeconds: second,
      celsius: tenth(celsius + 1.2 * noise()),
      hectopascals: tenth(20 + 990 * Math.exp(-second / 40) + 0.3 * noise()),
      coldJunctionCelsius: tenth(26 + second / 300 + 0.1 * noise()),
      heaterDutyFraction: Math.round((0.6 + 0.05 * noise()) * 100) / 100,
    };
  });
}

describe("packed samples", () => {
  property.prop([samples])("come back as they were, absent channels absent", (trace) => {
    expect(unpackSamples(packSamples(trace))).toEqual(trace);
    for (const sample of unpackSamples(packSamples(trace)))
      expect(Object.values(sample)).not.toContain(undefined);
  });

  property.prop([fc.double({ min: -300, max: 5000, noNaN: true })])(
    "come back as the sample that is kept, whatever the line said",
    (celsius) => {
      const kept = keptSample({ atSeconds: Math.abs(celsius), celsius, heaterDutyFraction: 1 / 3 });
      expect(unpackSamples(packSamples([kept]))).toEqual([kept]);
      expect(Math.abs(kept.celsius - celsius)).toBeLessThanOrEqual(0.0005 + 1e-12);
    },
  );

  it("take two bytes a sample at most, with four channels of a usual instrument", () => {
    const trace = fourChannels();
    const bytesPerSample = packSamples(trace).length / trace.length;
    console.info(`a sample of four channels takes ${bytesPerSample.toFixed(2)} bytes`);
    expect(bytesPerSample).toBeLessThanOrEqual(2);
  });

  it("begin with their version and the checksum of the rest", () => {
    const chunk = Buffer.from(PYTHON_CHUNKS.secondVersion, "hex");
    expect(unpackSamples(chunk)).toEqual([
      { atSeconds: 0, celsius: 760.1, coldJunctionCelsius: 24.1, millivolts: 6.743 },
      { atSeconds: 1.5, celsius: 761, millivolts: 6.75 },
    ]);
    expect(packSamples(unpackSamples(chunk))[0]).toBe(2);
  });

  it("of the first version, which had no millivolts, are read as ever", () => {
    expect(unpackSamples(Buffer.from(PYTHON_CHUNKS.firstVersion, "hex"))).toEqual([
      { atSeconds: 1.5, celsius: 760.1 },
    ]);
    expect(unpackSamples(Buffer.from(PYTHON_CHUNKS.firstVersionWithColdJunction, "hex"))).toEqual([
      { atSeconds: 0, celsius: 760.1, coldJunctionCelsius: 24.1 },
      { atSeconds: 1.5, celsius: 761 },
    ]);
  });

  it("of a version that is not known yet are refused in words", () => {
    const chunk = packSamples([{ atSeconds: 0, celsius: 20 }]);
    chunk[0] = 3;
    expect(() => unpackSamples(chunk)).toThrow("is of version 3, this Bakeside knows 2. Update Bakeside.");
  });

  it("are refused when any one bit has changed", () => {
    const chunk = packSamples(fourChannels().slice(0, 20));
    for (let bit = 0; bit < chunk.length * 8; bit += 1) {
      const damaged = Uint8Array.from(chunk);
      damaged[bit >> 3] = (damaged[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      expect(() => unpackSamples(damaged)).toThrow(/damaged|version/);
    }
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, 1e300])("refuse %d", (celsius) => {
    expect(() => packSamples([{ atSeconds: 0, celsius }])).toThrow(
      "packSamples requires finite celsius of usual size",
    );
  });
});
