import { describe, expect, it } from "vitest";
import type { Plan } from "#core/plan/plan";
import { type ChartSubject, chartScene } from "#kiosk-ui/chart/chart-scene";
import { chartSummary } from "#kiosk-ui/chart/chart-summary";
import { plannedVacuumWindow, stageSpans } from "#kiosk-ui/chart/stage-spans";
import type { Comparison } from "#shared/comparison";
import { madeUpComparison } from "#tests/helpers/made-up-bakes";
import { sampled, trace } from "#tests/helpers/trace";

/** Dries 5 min at 500 °C, climbs 10 min to 700 °C under vacuum, holds a minute, cools freely. */
const plan: Plan = {
  name: "A test bake",
  dryingSeconds: 300,
  closingSeconds: 0,
  lowCelsius: 500,
  lowHoldSeconds: 0,
  steps: [
    { kind: "climb", toCelsius: 700, kelvinPerMinute: 20 },
    { kind: "hold", seconds: 60 },
  ],
  vacuum: { onAtCelsius: 520, levelHectopascals: 45, release: { kind: "hold-start", hold: 1 } },
  cooling: { kind: "free" },
};
const measured = sampled(trace("0:500 5:500 15:690 16:690 20:500"), 1);
const comparisonAt = (planZeroSeconds: number): Comparison => ({
  ...madeUpComparison(plan, measured, true),
  planZeroSeconds,
});
const subject: ChartSubject = {
  plan,
  samples: measured,
  comparison: comparisonAt(0),
  overlay: null,
  overlayComparison: null,
  isLive: false,
  comingPeak: null,
  zoom: null,
};

describe("the scene of a chart", () => {
  it("puts the plan at its zero on the trace's time", () => {
    const scene = chartScene({ ...subject, comparison: comparisonAt(40) }, 1000);
    expect(scene.plan.map(({ atSeconds }) => atSeconds)).toEqual([40, 340, 940, 1000]);
  });

  it("leads to the coming peak in the climb to the top alone, and says it", () => {
    const comingPeak = { celsius: 697, inSeconds: 60 };
    const rising = { ...subject, comingPeak, isLive: true, samples: sampled(trace("0:500 5:500 14:680"), 1) };
    const inStage = (kind: "climb" | "hold") =>
      chartScene({ ...rising, comparison: { ...comparisonAt(0), stage: { kind, index: 1 } } }, 1000).ahead;
    expect(inStage("climb")).toMatchObject({ endsAtPeak: true, lengthSeconds: 60 });
    expect(inStage("hold")?.endsAtPeak).toBe(false);
    expect(chartSummary(rising, "celsius")).toContain("Coming peak 697\u00a0°C, in 1:00.");
  });

  it("lays a second bake so that both plans begin together", () => {
    const scene = chartScene(
      { ...subject, comparison: comparisonAt(40), overlay: measured, overlayComparison: comparisonAt(100) },
      1000,
    );
    expect([scene.overlay[0]?.atSeconds, scene.overlay.at(-1)?.atSeconds]).toEqual([-60, 1140]);
    expect(scene.window).toEqual({ fromSeconds: -60, toSeconds: 1200 });
  });

  it("fills against the second bake instead of the plan when there is one", () => {
    const alone = chartScene(subject, 1000);
    const laidOver = chartScene({ ...subject, overlay: measured, overlayComparison: comparisonAt(0) }, 1000);
    expect(alone.areas.map(({ side }) => side)).toEqual(["below"]);
    expect(laidOver.areas).toEqual([]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { at: 790, isShown: false },
    { at: 845, isShown: true },
    { at: 960, isShown: true },
  ])("shows the top close up at $at s: $isShown", ({ at, isShown }) => {
    const samples = measured.filter(({ atSeconds }) => atSeconds <= at);
    const scene = chartScene({ ...subject, samples, comparison: null, isLive: true }, 1000);
    expect(scene.top !== null).toBe(isShown);
  });

  it("looks at a stretch with the temperatures of that stretch only", () => {
    const { range } = chartScene({ ...subject, zoom: { fromSeconds: 900, toSeconds: 960 } }, 1000);
    expect(range.fromCelsius).toBeGreaterThan(670);
    expect(range.toCelsius).toBeLessThan(715);
  });

  it("shows the plan alone before anything is measured", () => {
    const scene = chartScene({ ...subject, samples: [], comparison: null }, 1000);
    expect(scene.window).toEqual({ fromSeconds: 0, toSeconds: 960 });
    expect(scene.vacuum).toMatchObject({ planned: { fromSeconds: 360, toSeconds: 900 }, isStarted: false });
    expect(scene.areas).toEqual([]);
  });

  it("has a rate of heat work of 1 in the planned hold", () => {
    const rates = chartScene(subject, 1000).plannedRates.filter(({ atSeconds }) => atSeconds >= 900);
    expect(rates.every(({ rate }) => Math.abs(rate - 1) < 1e-12)).toBe(true);
  });

  it("breaks at the comparison's gaps", () => {
    const gap = { fromSeconds: 400, toSeconds: 500 };
    const scene = chartScene({ ...subject, comparison: { ...comparisonAt(0), gaps: [gap] } }, 1000);
    expect(scene.gaps).toEqual([gap]);
    expect(
      scene.areas.some(({ points }) => points.some(({ atSeconds }) => atSeconds > 401 && atSeconds < 499)),
    ).toBe(false);
  });
});

describe("the stages of a bake", () => {
  it("are the plan's while nothing is seen", () => {
    expect(
      stageSpans(plan, null, 0).map(({ kind, fromSeconds, toSeconds }) => [kind, fromSeconds, toSeconds]),
    ).toEqual([
      ["drying", 0, 300],
      ["climb", 300, 900],
      ["hold", 900, 960],
    ]);
  });

  it("are as measured where they were seen, and end with the record", () => {
    const seen = comparisonAt(0);
    const late: Comparison = {
      ...seen,
      climbs: seen.climbs.map((climb) => ({
        ...climb,
        actual: { startSeconds: 304, lengthSeconds: 612, kelvinPerMinute: 19, isComplete: true },
      })),
      holds: seen.holds.map((hold) => ({
        ...hold,
        actual: {
          startSeconds: 916,
          lengthSeconds: 47,
          meanCelsius: 690,
          spreadKelvin: 0,
          secondsInBand: 0,
          isComplete: true,
        },
      })),
      cooling: {
        ...seen.cooling,
        actual: { startSeconds: 963, lengthSeconds: 237, kelvinPerMinute: 47 },
      },
    };
    const spans = stageSpans(plan, late, 1200);
    expect(spans.map(({ kind }) => kind)).toEqual(["drying", "climb", "hold", "cooling"]);
    expect(spans.map(({ fromSeconds }) => fromSeconds)).toEqual([0, 304, 916, 963]);
    expect(spans.at(-1)?.toSeconds).toBe(1200);
  });
});

describe("the planned vacuum", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { release: { kind: "hold-start", hold: 1 },           onAtCelsius: 520, window: [360, 900] },
    { release: { kind: "hold-end", hold: 1 },             onAtCelsius: 520, window: [360, 960] },
    { release: { kind: "at-temperature", celsius: 690 },  onAtCelsius: 520, window: [360, 870] },
    { release: { kind: "at-temperature", celsius: 690 },  onAtCelsius: 400, window: [300, 870] },
  ] as const)("from $onAtCelsius °C until $release is $window s", ({ release, onAtCelsius, window }) => {
    const found = plannedVacuumWindow({ ...plan, vacuum: { onAtCelsius, levelHectopascals: 45, release } });
    expect(found && [found.fromSeconds, found.toSeconds]).toEqual(window);
  });

  it("is none for a bake in air", () => {
    expect(plannedVacuumWindow({ ...plan, vacuum: undefined })).toBeNull();
  });
});

describe("the chart in words", () => {
  it("says the newest temperature, the plan and the difference while it runs", () => {
    const samples = measured.filter(({ atSeconds }) => atSeconds <= 600);
    expect(chartSummary({ ...subject, samples, comparison: null, isLive: true }, "celsius")).toBe(
      "Chamber 595\u00a0°C at 10:00, plan 600, 5 below.",
    );
  });

  it("says peak, heat work and gaps of a finished bake", () => {
    const comparison: Comparison = {
      ...comparisonAt(0),
      peakCelsius: 690,
      peakAtSeconds: 900,
      heatWork: { ...comparisonAt(0).heatWork, ratio: 0.72 },
      gaps: [{ fromSeconds: 400, toSeconds: 430 }],
    };
    expect(chartSummary({ ...subject, comparison }, "fahrenheit")).toBe(
      "Ended at 932\u00a0°F at 20:00. Peak 1274\u00a0°F at 15:00. Heat work 72 % of the plan. One gap, 30 s not measured.",
    );
  });

  it("says that there is nothing yet", () => {
    expect(chartSummary({ ...subject, samples: [], comparison: null }, "celsius")).toBe(
      "Nothing measured yet. Plan: A test bake.",
    );
  });
});
