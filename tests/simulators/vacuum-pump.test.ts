import { describe, expect, it } from "vitest";
import {
  type AirInputs,
  nextHectopascals,
  type PumpCharacter,
  pumpedHectopascals,
  ROOM_HECTOPASCALS,
} from "#simulators/vacuum-pump";

const TIGHT: PumpCharacter = {
  pumpDownSeconds: 14,
  baseHectopascals: 35,
  leakHectopascalsPerSecond: 0,
  releaseSeconds: 3,
};
const LEAKY: PumpCharacter = { ...TIGHT, leakHectopascalsPerSecond: 2 };
const PUMPING: AirInputs = { isPumping: true, isVented: false };
const SHUT: AirInputs = { isPumping: false, isVented: false };
const VENTED: AirInputs = { isPumping: false, isVented: true };

describe("the vacuum pump", () => {
  it("has 1/e of the way left to its base after one time constant", () => {
    const left = (pressureAfter(14, ROOM_HECTOPASCALS, PUMPING, TIGHT) - 35) / (ROOM_HECTOPASCALS - 35);
    expect(left).toBeCloseTo(Math.exp(-1), 2);
  });

  it.each([
    { which: "a tight chamber", pump: TIGHT },
    { which: "a leaky chamber", pump: LEAKY },
  ])("pumps $which down to its level, and no further", ({ pump }) => {
    expect(pressureAfter(600, ROOM_HECTOPASCALS, PUMPING, pump)).toBeCloseTo(pumpedHectopascals(pump), 6);
  });

  it("pumps a tight chamber to its base, a leaky one less far", () => {
    expect(pumpedHectopascals(TIGHT)).toBeCloseTo(35, 9);
    // By hand: (2 + 35/14) / (2/1013.2 + 1/14) = 4.5 / 0.0734025
    expect(pumpedHectopascals(LEAKY)).toBeCloseTo(61.305, 2);
  });

  it("lets a chamber that is left alone rise by its leak only", () => {
    expect(pressureAfter(60, 35, SHUT, TIGHT)).toBe(35);
    const risen = pressureAfter(60, 35, SHUT, LEAKY) - 35;
    expect(risen).toBeGreaterThan(100);
    expect(risen).toBeLessThan(2 * 60);
  });

  it("returns to the pressure of the room when air is let in", () => {
    expect(pressureAfter(60, 35, VENTED, LEAKY)).toBeCloseTo(ROOM_HECTOPASCALS, 3);
  });
});

function pressureAfter(seconds: number, from: number, inputs: AirInputs, pump: PumpCharacter): number {
  let hectopascals = from;
  for (let step = 0; step < seconds * 10; step += 1)
    hectopascals = nextHectopascals(hectopascals, inputs, pump, 0.1);
  return hectopascals;
}
