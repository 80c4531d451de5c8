import { describe, expect, it } from "vitest";
import { stageRows } from "#kiosk-ui/screens/past-bakes/stage-table";
import type { Comparison } from "#shared/comparison";
import { madeUpComparison, madeUpPlans, madeUpTrace } from "#tests/helpers/made-up-bakes";

const plan = madeUpPlans()[0]?.plan;
const base = plan
  ? madeUpComparison(plan, madeUpTrace(plan, { seed: 1, slowness: 0, overshootKelvin: 0 }), true)
  : null;

/** The table's line for a stage, as one text; non-breaking spaces read as spaces. */
function line(
  change: Partial<Comparison>,
  stage: string,
  unit: "celsius" | "fahrenheit" = "celsius",
): string {
  if (!base) throw new Error("no made-up plan");
  const row = stageRows({ ...base, ...change }, unit).find((candidate) => candidate.stage === stage);
  return row ? [row.planned, row.actual, row.remark].join(" | ").replaceAll("\u00a0", " ") : "no such line";
}

describe("a bake stage by stage", () => {
  it("has a line for every stage, then vacuum, heat work and gaps", () => {
    expect(base && stageRows(base, "celsius").map(({ stage }) => stage)).toEqual([
      "Drying, closing",
      "Climb",
      "Hold",
      "Cooling",
      "Vacuum",
      "Highest",
      "Heat work",
      "Gaps",
    ]);
  });

  it("numbers climbs and holds where there are several", () => {
    const two = madeUpPlans()[2]?.plan;
    const comparison =
      two && madeUpComparison(two, madeUpTrace(two, { seed: 1, slowness: 0, overshootKelvin: 0 }), true);
    const stages = comparison ? stageRows(comparison, "celsius").map(({ stage }) => stage) : [];
    expect(stages.slice(1, 5)).toEqual(["Climb 1", "Hold 1", "Climb 2", "Hold 2"]);
  });

  it("says how sure peak, hold and heat work are, and what is less than that", () => {
    const hold = base?.holds[0];
    if (!base || !hold?.actual) throw new Error("no hold");
    const uncertainty = {
      coverageFactor: 2,
      basis: "class" as const,
      topKelvin: 4.8,
      holds: [{ index: 1, expandedKelvin: 3.9 }],
      heatWorkRatio: { low: 0.92, high: 1.19 },
      fiveKelvinFraction: 0.17,
    };
    const holds = [
      {
        ...hold,
        actual: { ...hold.actual, meanCelsius: 762.1, lengthSeconds: 60, secondsInBand: 60 },
        overshootKelvin: 6,
        overshootSeconds: 20,
        undershootKelvin: 0,
      },
    ];
    expect(line({ uncertainty, holds }, "Hold")).toBe(
      "760 °C, 1:00 | 762.1 °C ± 3.9 K, 1:00 | 1:00 within the band; 2.1 K above on average (less than the ± 3.9 K of the thermocouple); 6.0 K over for 0:20",
    );
    expect(line({ uncertainty, peakCelsius: 766 }, "Highest")).toBe("760 °C | 766.0 °C ± 4.8 K (k = 2) | ");
    expect(line({ peakCelsius: 766 }, "Highest")).toBe("760 °C | 766.0 °C | ");
    const heatWork = { ...base.heatWork, ratio: 1.04, equivalentOffsetKelvin: 1 };
    expect(line({ uncertainty, heatWork }, "Heat work")).toMatch(/ \| 104 %, 92 to 119 %; 1\.0 K hotter$/);
  });

  it("says how the climb differed", () => {
    const climb = {
      index: 1,
      fromCelsius: 510,
      toCelsius: 760,
      planned: { startSeconds: 300, lengthSeconds: 333, kelvinPerMinute: 45 },
      actual: { startSeconds: 300, lengthSeconds: 392, kelvinPerMinute: 38.2, isComplete: true },
      lagKelvin: 12.4,
    };
    expect(line({ climbs: [climb] }, "Climb")).toBe(
      "45 K/min, 5:33 | 38 K/min, 6:32 | 0:59 longer; 12 K behind on average",
    );
    expect(line({ climbs: [{ ...climb, lagKelvin: -0.2, actual: null }] }, "Climb")).toBe(
      "45 K/min, 5:33 | not seen | ",
    );
  });

  it("says mean, band and excursions of the hold, in the unit shown", () => {
    const hold = {
      index: 1,
      celsius: 760,
      bandKelvin: 2,
      planned: { startSeconds: 700, lengthSeconds: 60 },
      actual: {
        startSeconds: 706,
        lengthSeconds: 58,
        meanCelsius: 759.4,
        spreadKelvin: 0.8,
        secondsInBand: 52,
        isComplete: true,
      },
      isReached: true,
      overshootKelvin: 5,
      overshootSeconds: 8,
      undershootKelvin: 0.2,
    };
    expect(line({ holds: [hold] }, "Hold")).toBe(
      "760 °C, 1:00 | 759.4 °C, 0:58 | 0:52 within the band; 0.6 K below on average; 5.0 K over for 0:08",
    );
    expect(line({ holds: [hold] }, "Hold", "fahrenheit")).toBe(
      "1400 °F, 1:00 | 1398.9 °F, 0:58 | 0:52 within the band; 1.1 °F below on average; 9.0 °F over for 0:08",
    );
    expect(line({ holds: [{ ...hold, actual: null, overshootKelvin: 0 }] }, "Hold")).toBe(
      "760 °C, 1:00 | not reached | ",
    );
  });

  it("tells a vacuum not measured from one that did not come", () => {
    const planned = { onAtCelsius: 510, levelHectopascals: 45, releaseCelsius: 760, releaseDueSeconds: null };
    const as = (isMeasured: boolean) => line({ vacuum: { planned, actual: null, isMeasured } }, "Vacuum");
    expect(as(false)).toBe("45 hPa, 510 °C to 760 °C | not measured | ");
    expect(as(true)).toBe("45 hPa, 510 °C to 760 °C | not seen | ");
  });

  it("gives the heat work with its reference, its share and its offset in words", () => {
    const heatWork = {
      referenceCelsius: 760,
      activationEnergyJoulesPerMole: 325_000,
      plannedEquivalentSeconds: 107.2,
      deliveredEquivalentSeconds: 94.1,
      ratio: 0.878,
      equivalentOffsetKelvin: -3.6,
    };
    expect(line({ heatWork }, "Heat work")).toBe("107 s at 760 °C | 94 s at 760 °C | 88 %; 3.6 K colder");
  });

  it("counts the gaps and their length", () => {
    const gaps = [
      { fromSeconds: 10, toSeconds: 40 },
      { fromSeconds: 100, toSeconds: 150 },
    ];
    expect(line({ gaps }, "Gaps")).toBe("none | 2, 1:20 | ");
  });
});
