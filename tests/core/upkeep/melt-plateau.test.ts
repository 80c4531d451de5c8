import { describe, expect, it } from "vitest";
import type { Plan, PlanStep } from "#core/plan/plan";
import { FIXED_POINTS, type WireMetal } from "#core/upkeep/fixed-points";
import { meltPlateau } from "#core/upkeep/melt-plateau";
import { simulateBake } from "#simulators/simulate-bake";
import { FIXED_POINT_TABLE } from "#tests/core/thermocouple/published-tables";

/** To 35 K below, a hold, then slowly through the fixed point: as a wire is melted. */
function wirePlan(metal: WireMetal, kelvinPerMinute: number): Plan {
  const { celsius } = FIXED_POINTS[metal];
  const steps: PlanStep[] = [
    { kind: "climb", toCelsius: Math.round(celsius - 35), kelvinPerMinute: 60 },
    { kind: "hold", seconds: 60 },
    { kind: "climb", toCelsius: Math.round(celsius + 40), kelvinPerMinute },
    { kind: "hold", seconds: 30 },
  ];
  return {
    name: "wire",
    dryingSeconds: 0,
    closingSeconds: 60,
    lowCelsius: 500,
    lowHoldSeconds: 0,
    steps,
    cooling: { kind: "free" },
  };
}

describe("the fixed points", () => {
  // ITS-90, Table 1: sources inside tests/reference/fixed-points.json.
  it.each(Object.values(FIXED_POINTS))("have $symbol where the ITS-90 has it", ({ symbol, celsius }) => {
    expect(celsius).toBe(FIXED_POINT_TABLE.find((point) => point.symbol === symbol)?.t90_c);
  });
});

// Seeds that no rule was tuned on (1 to 6 were). The simulator's wire takes up its heat of fusion by a
// balance of its own; that it melted, and the probe's offset, are known from it.
describe("the plateau of a melting wire", () => {
  const cases = (["silver", "gold", "aluminium"] as const).flatMap((metal) =>
    [5, 10].flatMap((rate) => [301, 302, 303, 304].map((seed) => ({ metal, rate, seed }))),
  );
  const found = cases.flatMap(({ metal, rate, seed }) =>
    [0.1, 0.4].flatMap((noiseKelvin) =>
      [0, -7].map((offsetKelvin) => {
        const plan = wirePlan(metal, rate);
        const { samples, melt } = simulateBake({
          plan,
          seed,
          noiseKelvin,
          probe: { offsetKelvin },
          wire: metal,
        });
        const plateau = meltPlateau(samples, FIXED_POINTS[metal].celsius);
        return { metal, rate, seed, noiseKelvin, offsetKelvin, melt, plateau };
      }),
    ),
  );
  const melted = found.filter(({ melt }) => melt !== null && melt.toSeconds !== null);

  it("is found in nineteen of twenty climbs in which a wire melted", () => {
    expect(melted.length).toBeGreaterThan(80);
    const missed = melted.filter(({ plateau }) => plateau === null);
    expect(missed.length / melted.length).toBeLessThanOrEqual(0.05);
  });

  it("gives the probe's offset to 0.5 K, where and when the wire melted", () => {
    for (const { metal, offsetKelvin, melt, plateau, ...which } of melted) {
      if (!plateau || !melt) continue;
      const name = JSON.stringify({ metal, offsetKelvin, ...which });
      expect(Math.abs(plateau.celsius - (melt.fixedPointCelsius + offsetKelvin)), name).toBeLessThanOrEqual(
        0.5,
      );
      expect(plateau.fromSeconds, name).toBeGreaterThan(melt.fromSeconds - 5);
      expect(plateau.toSeconds, name).toBeLessThan((melt.toSeconds ?? 0) + 5);
    }
  });

  it("is sure to about what it says: within three standard uncertainties nearly always", () => {
    const errors = melted.flatMap(({ melt, offsetKelvin, plateau }) =>
      plateau && melt
        ? [
            Math.abs(plateau.celsius - melt.fixedPointCelsius - offsetKelvin) /
              plateau.standardUncertaintyKelvin,
          ]
        : [],
    );
    expect(errors.filter((error) => error > 3).length / errors.length).toBeLessThanOrEqual(0.05);
  });

  it("is not found without a wire, though the plan holds nearby", () => {
    for (const { metal, rate, seed } of cases) {
      const { samples } = simulateBake({ plan: wirePlan(metal, rate), seed, noiseKelvin: 0.4 });
      expect(meltPlateau(samples, FIXED_POINTS[metal].celsius), `${metal} ${rate} K/min ${seed}`).toBeNull();
    }
  });

  it("is known only once the reading has caught up, and then stays", () => {
    const { samples, melt } = simulateBake({
      plan: wirePlan("silver", 10),
      seed: 305,
      noiseKelvin: 0.2,
      wire: "silver",
    });
    const until = (seconds: number) =>
      meltPlateau(
        samples.filter(({ atSeconds }) => atSeconds <= seconds),
        961.78,
      );
    const meltedAt = melt?.toSeconds ?? Number.NaN;
    expect(until(meltedAt - 2)).toBeNull();
    expect(until(meltedAt + 60)).not.toBeNull();
    expect(until(meltedAt + 120)?.celsius).toBeCloseTo(until(meltedAt + 60)?.celsius ?? Number.NaN, 0);
  });

  it("is none in an empty trace, a short one, or far from the fixed point", () => {
    expect(meltPlateau([], 961.78)).toBeNull();
    expect(meltPlateau([{ atSeconds: 0, celsius: 961 }], 961.78)).toBeNull();
    const { samples } = simulateBake({ plan: wirePlan("aluminium", 10), seed: 306, wire: "aluminium" });
    expect(meltPlateau(samples, 1064.18)).toBeNull();
  });
});
