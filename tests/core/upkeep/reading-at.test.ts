import { describe, expect, it } from "vitest";
import { readingAt } from "#core/upkeep/reading-at";
import { sampled, trace } from "#tests/helpers/trace";

describe("the reading at a moment", () => {
  const climb = sampled(trace("0:900 10:1000"), 1);

  it("lies on the line through the seconds around it, with its climb", () => {
    const read = readingAt(climb, 372.5);
    expect(read?.celsius).toBeCloseTo(900 + 372.5 / 6, 9);
    expect(read?.kelvinPerMinute).toBeCloseTo(10, 9);
    expect(read?.standardUncertaintyKelvin).toBeCloseTo(0, 9);
  });

  it("is as unsure as the readings around it are noisy", () => {
    const noisy = climb.map((sample, index) => ({
      ...sample,
      celsius: sample.celsius + (index % 2 ? 1 : -1),
    }));
    const read = readingAt(noisy, 300);
    expect(read?.standardUncertaintyKelvin).toBeGreaterThan(0.25);
    expect(read?.standardUncertaintyKelvin).toBeLessThan(0.45);
  });

  it("is the nearest one where readings are rare, and none where nothing was measured", () => {
    expect(readingAt(trace("0:900 1:910"), 70)).toMatchObject({ celsius: 910 });
    expect(readingAt(trace("0:900 1:910"), 100)).toBeNull();
    expect(readingAt([], 0)).toBeNull();
  });
});
