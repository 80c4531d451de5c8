import { describe, expect, it } from "vitest";
import { type SteadyOutlook, steadyOutlook } from "#kiosk-ui/screens/now/steady-outlook";
import type { Outlook } from "#shared/outlook";
import { madeUpOutlook } from "#tests/helpers/made-up-outlook";

/** An outlook at a moment: the ratio at the end with 5 % of doubt, and the hold that would make up for it. */
function going(ratio: number, neededSeconds: number | null): Outlook {
  const asGoing = { ratio, lowRatio: ratio - 0.05, highRatio: ratio + 0.05 };
  const hold = neededSeconds === null ? null : { index: 1, plannedSeconds: 60, neededSeconds };
  return madeUpOutlook({ asGoing, hold });
}

/** What is shown after each of so many outlooks, a second apart. */
function watched(outlooks: readonly (Outlook | null)[]): (SteadyOutlook | null)[] {
  const seen: (SteadyOutlook | null)[] = [];
  for (const [atSeconds, next] of outlooks.entries())
    seen.push(steadyOutlook(seen.at(-1) ?? null, next, atSeconds));
  return seen;
}

const times = <T>(count: number, value: T): T[] => Array.from({ length: count }, () => value);

describe("an outlook that stands still", () => {
  it("keeps the hold that it advises while only its last digit moves", () => {
    const seen = watched([44, 45, 43.5, 42.6, 44.9].map((seconds) => going(1.18, seconds)));
    expect(new Set(seen.map((each) => each?.shown.hold?.neededSeconds))).toEqual(new Set([44]));
  });

  it("follows what goes on moving, never farther behind than a person would notice", () => {
    const climbing = Array.from({ length: 30 }, (_, index) => going(1.1 + index * 0.005, 50 - index));
    for (const [index, each] of watched(climbing).entries()) {
      expect(Math.abs((each?.shown.hold?.neededSeconds ?? 0) - (50 - index))).toBeLessThan(2.5);
      expect(Math.abs((each?.shown.asGoing.ratio ?? 0) - (1.1 + index * 0.005))).toBeLessThan(0.015);
    }
  });

  it("counts down to the peak all the same", () => {
    const peaks = [30, 29, 28].map((inSeconds) => ({
      ...going(1.18, 44),
      peak: { celsius: 768, inSeconds },
    }));
    expect(watched(peaks).at(-1)?.shown.peak?.inSeconds).toBe(28);
  });

  it("is said once it has lasted six seconds", () => {
    const said = watched(times(9, going(1.18, 44))).map((each) => each?.isSaid);
    expect(said).toEqual([...times(6, false), ...times(3, true)]);
  });

  it("never begins to speak where it comes and goes from second to second", () => {
    const flickering = Array.from({ length: 40 }, (_, index) => going(index % 2 === 0 ? 1.18 : 1.01, 44));
    expect(watched(flickering).every((each) => each?.isSaid === false)).toBe(true);
  });

  it("stops advising at once when no hold would do any more", () => {
    const seen = watched([...times(10, going(1.18, 44)), going(1.18, null)]);
    expect(seen.slice(-2).map((each) => each?.isSaid)).toEqual([true, false]);
    expect(seen.at(-1)?.shown.hold).toBeNull();
  });

  it("begins anew after a moment without any", () => {
    const seen = watched([...times(10, going(1.18, 44)), null, going(1.18, 44)]);
    expect(seen.slice(-2).map((each) => each?.isSaid)).toEqual([undefined, false]);
  });
});
