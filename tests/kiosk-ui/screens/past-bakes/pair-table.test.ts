import { describe, expect, it } from "vitest";
import { pairRows } from "#kiosk-ui/screens/past-bakes/pair-table";
import type { Comparison } from "#shared/comparison";
import { madeUpComparison, madeUpPlans, madeUpTrace } from "#tests/helpers/made-up-bakes";

function comparison(place: number, change: Partial<Comparison> = {}): Comparison {
  const plan = madeUpPlans()[place]?.plan;
  if (!plan) throw new Error(`no made-up plan ${place}`);
  const found = madeUpComparison(plan, madeUpTrace(plan, { seed: 1, slowness: 0, overshootKelvin: 0 }), true);
  return { ...found, ...change };
}

function lines(
  first: Comparison | null,
  second: Comparison | null,
  unit: "celsius" | "fahrenheit" = "celsius",
) {
  return Object.fromEntries(
    pairRows(first, second, unit).map((row) => [
      row.name,
      [row.first, row.second, row.difference].join(" | ").replaceAll("\u00a0", " "),
    ]),
  );
}

const vacuum = (levelHectopascals: number, pumpDownSeconds: number | null) => ({
  planned: null,
  actual: {
    onAtSeconds: 400,
    isStartSeen: true,
    hectopascalsAtRelease: levelHectopascals,
    onAtCelsius: 510,
    levelHectopascals,
    pumpDownSeconds,
    releaseAtSeconds: 800,
    releaseCelsius: 760,
  },
  isMeasured: true,
});

describe("what differs between two bakes", () => {
  it("is said of the second against the first", () => {
    const found = lines(
      comparison(0, { peakCelsius: 760.2, vacuum: vacuum(42, 38) }),
      comparison(0, { peakCelsius: 751.1, vacuum: vacuum(310, 96) }),
    );
    expect(found["Highest"]).toBe("760.2 °C | 751.1 °C | 9.1 K lower");
    expect(found["Vacuum level"]).toBe("42 hPa | 310 hPa | 268 hPa higher");
    expect(found["Pump-down"]).toBe("0:38 | 1:36 | 0:58 longer");
  });

  it("is the same where it reads the same", () => {
    const found = lines(comparison(0, { peakCelsius: 760.21 }), comparison(0, { peakCelsius: 760.22 }));
    expect(found["Highest"]).toBe("760.2 °C | 760.2 °C | the same");
  });

  it("agrees with the numbers shown beside it", () => {
    const of = (ratio: number) => {
      const found = comparison(0);
      return { ...found, heatWork: { ...found.heatWork, ratio } };
    };
    expect(lines(of(1.0604), of(1.0746))["Heat work, of the plan"]).toBe(
      "106.0 % | 107.5 % | 1.5 points more",
    );
    const shown = lines(comparison(0, { peakCelsius: 760.04 }), comparison(0, { peakCelsius: 760.06 }));
    expect(shown["Highest"]).toBe("760.0 °C | 760.1 °C | 0.1 K higher");
  });

  it("follows the unit shown, differences without the offset of the scale", () => {
    const found = lines(
      comparison(0, { peakCelsius: 760 }),
      comparison(0, { peakCelsius: 770 }),
      "fahrenheit",
    );
    expect(found["Highest"]).toBe("1400.0 °F | 1418.0 °F | 18.0 °F higher");
  });

  it("leaves a blank where only one of them has something", () => {
    const found = lines(comparison(0), comparison(2));
    expect(found["Climb 2, rate"]).toMatch(/^– \| \d+\.\d K\/min \| $/);
  });

  it("leaves out what neither has", () => {
    const air = { vacuum: { planned: null, actual: null, isMeasured: false } };
    expect(Object.keys(lines(comparison(0, air), comparison(0, air)))).not.toContain("Vacuum level");
    expect(Object.keys(lines(comparison(0, air), comparison(0, { vacuum: vacuum(42, 38) })))).toContain(
      "Vacuum level",
    );
  });

  it("has nothing to say of two bakes without plans", () => {
    expect(pairRows(null, null, "celsius")).toEqual([]);
  });
});
