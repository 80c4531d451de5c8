import { describe, expect, it } from "vitest";
import type { Reading } from "#daemon/link/reading";
import {
  type ColdJunction,
  nextColdJunction,
  withColdJunction,
} from "#daemon/measuring/cold-junction-memory";

const at = (receivedAtSeconds: number, channels: Partial<Reading>): Reading => ({
  furnaceId: "one",
  receivedAtSeconds,
  receivedAtEpochMilliseconds: 0,
  ...channels,
});

/** The cold junction that the last of some readings is measured with. */
function coldJunctionOfLast(...readings: Reading[]): number | undefined {
  let known: ColdJunction | null = null;
  let last: Reading | undefined;
  for (const reading of readings) {
    known = nextColdJunction(known, reading);
    last = withColdJunction(reading, known);
  }
  return last?.coldJunctionCelsius;
}

describe("a cold junction on lines of its own", () => {
  it("stands beside the millivolts that follow it", () => {
    expect(coldJunctionOfLast(at(0, { coldJunctionCelsius: 24 }), at(1, { millivolts: 5 }))).toBe(24);
  });

  it("gives way to the one on the same line", () => {
    const own = at(1, { millivolts: 5, coldJunctionCelsius: 25 });
    expect(coldJunctionOfLast(at(0, { coldJunctionCelsius: 24 }), own)).toBe(25);
  });

  it("is too old after a minute", () => {
    expect(coldJunctionOfLast(at(0, { coldJunctionCelsius: 24 }), at(60, { millivolts: 5 }))).toBe(24);
    expect(coldJunctionOfLast(at(0, { coldJunctionCelsius: 24 }), at(61, { millivolts: 5 }))).toBeUndefined();
  });

  it("is not put beside degrees, which need none", () => {
    expect(coldJunctionOfLast(at(0, { coldJunctionCelsius: 24 }), at(1, { celsius: 500 }))).toBeUndefined();
  });
});
