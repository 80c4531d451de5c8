import { describe, expect, it } from "vitest";
import { driftScene, roundMarks } from "#kiosk-ui/screens/upkeep/drift-scene";
import { driftSummary } from "#kiosk-ui/screens/upkeep/drift-summary";
import type { Check } from "#shared/check";
import { madeUpChecks } from "#tests/helpers/made-up-checks";

const NOW = new Date(2026, 10, 25, 12).getTime();
const checks = madeUpChecks(NOW);
const drifted = (check: Check | undefined, differenceKelvin: number): Check => {
  if (!check) throw new Error("no check");
  const result = { ...check.result, worstDifferenceKelvin: differenceKelvin, verdict: "outside" as const };
  return { ...check, result };
};

describe("the drift of a probe", () => {
  it("is nothing without a check", () => {
    expect(driftScene([], NOW, false)).toBeNull();
    expect(driftSummary(null, NOW, "celsius")).toBe("No check yet, so no drift.");
  });

  it("has a dot for every check, oldest first, with its own uncertainty", () => {
    const scene = driftScene(checks, NOW, true);
    expect(scene?.dots.map(({ differenceKelvin }) => Number(differenceKelvin.toFixed(2)))).toEqual([
      -0.6, -1.1, -0.9, -2.1, -3.4,
    ]);
    for (const dot of scene?.dots ?? []) expect(dot.expandedKelvin).toBeGreaterThan(0);
    expect(scene?.dots.map(({ isAccepted }) => isAccepted)).toEqual([false, false, false, true, false]);
  });

  it("shows what is taken off from the acceptance to now, and no longer than it is", () => {
    const [level, ...others] = driftScene(checks, NOW, true)?.levels ?? [];
    expect(others).toEqual([]);
    expect(level?.differenceKelvin).toBeCloseTo(-2.1, 9);
    expect(level?.toEpochMilliseconds).toBe(NOW);
    expect(driftScene(checks, NOW, false)?.levels).toEqual([]);
  });

  it("holds limits, bars and every dot in the picture", () => {
    for (const differenceKelvin of [-30, -3, 0, 12]) {
      const scene = driftScene([drifted(checks[0], differenceKelvin), ...checks.slice(1)], NOW, true);
      expect(scene?.highKelvin).toBeGreaterThan(Math.max(5, differenceKelvin));
      expect(scene?.lowKelvin).toBeLessThan(Math.min(-5, differenceKelvin));
    }
  });

  it("is told in words too", () => {
    expect(driftSummary(driftScene(checks, NOW, true), NOW, "celsius").replaceAll("\u00a0", " ")).toBe(
      "5 checks since 14 Jun. Newest, 13 days ago: 3.4 K low, plus or minus 0.7 K. It drifts by −0.6 K ± 0.2 K a month. All lie between 3.4 K low and 0.6 K low. Accepted as correction: 18 Sept.",
    );
    const outside = driftScene([drifted(checks[0], 7)], NOW, false);
    expect(driftSummary(outside, NOW, "celsius")).toContain("One was outside of its limit.");
  });
});

describe("round marks", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { low: -5.8, high: 5.8,  most: 6, marks: [-4, -2, 0, 2, 4] },
    { low: -5.8, high: 5.8,  most: 3, marks: [-5, 0, 5] },
    { low: 917,  high: 987,  most: 7, marks: [920, 930, 940, 950, 960, 970, 980] },
    { low: -0.9, high: 0.4,  most: 4, marks: [-0.5, 0] },
  ])("of $low to $high, at most $most", ({ low, high, most, marks }) => {
    const found = roundMarks(low, high, most);
    expect(found.map((mark) => Number(mark.toFixed(6)) + 0)).toEqual(marks);
  });
});
