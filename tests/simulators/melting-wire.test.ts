import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Plan } from "#core/plan/plan";
import { FIXED_POINT_CELSIUS, WIRE_METALS, type WireMetal } from "#simulators/melting-wire";
import { simulateBake } from "#simulators/simulate-bake";

const SYMBOLS: Readonly<Record<WireMetal, string>> = { silver: "Ag", gold: "Au", aluminium: "Al" };

const PUBLISHED: { points: { symbol: string; t90_c: number }[] } = JSON.parse(
  readFileSync(new URL("../reference/fixed-points.json", import.meta.url), "utf8"),
);

describe("a wire that melts beside the probe", () => {
  it.each(WIRE_METALS)("of %s melts at its fixed point of the ITS-90", (metal) => {
    const point = PUBLISHED.points.find(({ symbol }) => symbol === SYMBOLS[metal]);
    expect(FIXED_POINT_CELSIUS[metal]).toBe(point?.t90_c);
  });

  it.each(WIRE_METALS)(
    "of %s holds the probe there in a slow climb, for the moments that the truth names",
    (wire) => {
      const { melt, samples } = slowClimb({ wire });
      if (!melt?.toSeconds) throw new Error("the wire did not melt");
      const plateau = samples.filter(
        ({ atSeconds }) => atSeconds > melt.fromSeconds && atSeconds < (melt.toSeconds ?? 0),
      );
      expect(plateau.length).toBeGreaterThan(15);
      expect(plateau.length).toBeLessThan(60);
      for (const { celsius } of plateau)
        expect(Math.abs(celsius - FIXED_POINT_CELSIUS[wire])).toBeLessThan(0.3);
    },
  );

  it("melts as long as its heat of fusion takes: √4.5 times as long when the climb is 4.5 times slower", () => {
    const seconds = [9, 2].map((kelvinPerMinute) => {
      const { melt } = slowClimb({ wire: "aluminium", kelvinPerMinute });
      return (melt?.toSeconds ?? Number.NaN) - (melt?.fromSeconds ?? Number.NaN);
    });
    const [fast = 0, slow = 0] = seconds;
    expect(Math.abs(slow / fast / Math.sqrt(4.5) - 1)).toBeLessThan(0.12);
  });

  it("shows the offset of the probe", () => {
    const { melt, samples } = slowClimb({ wire: "silver", offsetKelvin: -3.4 });
    const middleSeconds = ((melt?.fromSeconds ?? 0) + (melt?.toSeconds ?? 0)) / 2;
    const middle = samples.find(({ atSeconds }) => atSeconds >= middleSeconds);
    expect(Math.abs((middle?.celsius ?? 0) - (961.78 - 3.4))).toBeLessThan(0.2);
  });

  it("lets the probe catch up afterwards: a minute later it is where it would be without a wire", () => {
    const { melt, samples } = slowClimb({ wire: "silver" });
    const without = slowClimb({});
    const after = samples.findIndex(({ atSeconds }) => atSeconds >= (melt?.toSeconds ?? 0) + 60);
    expect(after).toBeGreaterThan(0);
    expect(samples[after]?.celsius).toBeCloseTo(without.samples[after]?.celsius ?? 0, 1);
    expect(without.melt).toBeNull();
  });

  it("does not melt where the furnace does not get hot enough, and then bends nothing", () => {
    const cold = slowClimb({ wire: "gold", toCelsius: 1000 });
    expect(cold.melt).toBeNull();
    expect(cold.samples).toEqual(slowClimb({ toCelsius: 1000 }).samples);
    expect(cold.truth.at(-1)?.meltedFraction).toBe(0);
  });

  it("has no second plateau when the furnace cools: the drop has left the probe", () => {
    const { truth, events } = slowClimb({ wire: "aluminium" });
    const cooling = truth.filter(({ atSeconds }) => atSeconds > events.coolingStartSeconds + 10);
    const near = cooling.filter(({ celsius }) => Math.abs(celsius - 660.323) < 5);
    expect(near.length).toBeGreaterThan(5);
    for (const [index, { celsius }] of near.slice(1).entries())
      expect(celsius).toBeLessThan((near[index]?.celsius ?? 0) - 0.05);
  });
});

function slowClimb({
  wire,
  kelvinPerMinute = 10,
  offsetKelvin = 0,
  toCelsius,
}: {
  wire?: WireMetal;
  kelvinPerMinute?: number;
  offsetKelvin?: number;
  toCelsius?: number;
}) {
  const top = toCelsius ?? FIXED_POINT_CELSIUS[wire ?? "silver"] + 25;
  const plan: Plan = {
    name: "Slow climb with a wire",
    dryingSeconds: 0,
    closingSeconds: 60,
    lowCelsius: 600,
    lowHoldSeconds: 60,
    steps: [
      { kind: "climb", toCelsius: top - 60, kelvinPerMinute: 60 },
      { kind: "hold", seconds: 240 },
      { kind: "climb", toCelsius: top, kelvinPerMinute },
      { kind: "hold", seconds: 60 },
    ],
    cooling: { kind: "free" },
  };
  return simulateBake({ plan, seed: 3, wire, noiseKelvin: 0, probe: { offsetKelvin } });
}
