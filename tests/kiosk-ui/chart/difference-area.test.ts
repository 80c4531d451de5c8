import { it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { type DifferencePiece, differenceArea } from "#kiosk-ui/chart/difference-area";
import { traces } from "#tests/helpers/arbitraries";
import { trace } from "#tests/helpers/trace";

/** Kelvin-seconds of a piece, positive above. */
function signedArea({ points }: DifferencePiece): number {
  let sum = 0;
  for (const [index, to] of points.entries()) {
    const from = points[index - 1];
    if (!from) continue;
    const mean = (from.traceCelsius - from.referenceCelsius + to.traceCelsius - to.referenceCelsius) / 2;
    sum += mean * (to.atSeconds - from.atSeconds);
  }
  return sum;
}

/** The same by brute force: the integral of a polyline over a stretch. */
function integral(
  curve: readonly { atSeconds: number; celsius: number }[],
  from: number,
  to: number,
): number {
  let sum = 0;
  for (const [index, end] of curve.entries()) {
    const start = curve[index - 1];
    if (!start || end.atSeconds <= start.atSeconds) continue;
    const left = Math.max(start.atSeconds, from);
    const right = Math.min(end.atSeconds, to);
    if (right <= left) continue;
    const slope = (end.celsius - start.celsius) / (end.atSeconds - start.atSeconds);
    const middle = start.celsius + slope * ((left + right) / 2 - start.atSeconds);
    sum += middle * (right - left);
  }
  return sum;
}

describe("the area between trace and plan", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { course: "behind all the way",       measured: "0:500 10:690",       pieces: ["below 0-600"] },
    { course: "ahead all the way",        measured: "0:510 10:720",       pieces: ["above 0-600"] },
    { course: "exactly on it",            measured: "0:500 5:600 10:700", pieces: [] },
    { course: "behind, then ahead",       measured: "0:490 10:710",       pieces: ["below 0-300", "above 300-600"] },
    { course: "on it, then behind",       measured: "0:500 5:600 10:650", pieces: ["below 300-600"] },
    { course: "touching it from below",   measured: "0:490 5:600 10:690", pieces: ["below 0-600"] },
    { course: "longer than the plan",     measured: "0:510 20:910",       pieces: ["above 0-600"] },
  ])("of a trace $course is $pieces", ({ measured, pieces }) => {
    const found = differenceArea(trace(measured), trace("0:500 10:700"));
    expect(
      found.map(({ side, points }) => `${side} ${points[0]?.atSeconds}-${points.at(-1)?.atSeconds}`),
    ).toEqual(pieces);
  });

  it("is split exactly where the curves cross", () => {
    const [below, above] = differenceArea(trace("0:494 10:704"), trace("0:500 10:700"));
    const crossing = { atSeconds: 360, traceCelsius: 620, referenceCelsius: 620 };
    expect(below?.points.at(-1)).toEqual(crossing);
    expect(above?.points[0]).toEqual(crossing);
  });

  it("has a point at every corner of the plan, so that no fill cuts across the top", () => {
    const [piece] = differenceArea(trace("0:500 20:500"), trace("0:510 5:700 6:700 20:520"));
    expect(piece?.points.map(({ atSeconds, referenceCelsius }) => [atSeconds, referenceCelsius])).toEqual([
      [0, 510],
      [300, 700],
      [360, 700],
      [1200, 520],
    ]);
  });

  it("leaves gaps empty", () => {
    const found = differenceArea(trace("0:490 2:530 6:610 10:690"), trace("0:500 10:700"), [
      { fromSeconds: 120, toSeconds: 360 },
    ]);
    expect(found.map(({ points }) => [points[0]?.atSeconds, points.at(-1)?.atSeconds])).toEqual([
      [0, 120],
      [360, 600],
    ]);
  });

  it("is nothing without a plan", () => {
    expect(differenceArea(trace("0:490 10:690"), [])).toEqual([]);
  });

  it.prop([traces(), traces()])("adds up to the integral of the difference", (measured, reference) => {
    const from = Math.max(measured[0]?.atSeconds ?? 0, reference[0]?.atSeconds ?? 0);
    const to = Math.min(measured.at(-1)?.atSeconds ?? 0, reference.at(-1)?.atSeconds ?? 0);
    const sum = differenceArea(measured, reference).reduce((total, piece) => total + signedArea(piece), 0);
    expect(sum).toBeCloseTo(integral(measured, from, to) - integral(reference, from, to), 4);
  });

  it.prop([traces(), traces()])("never changes sides within a piece", (measured, reference) => {
    for (const { side, points } of differenceArea(measured, reference))
      for (const { traceCelsius, referenceCelsius } of points) {
        const kelvin = side === "above" ? traceCelsius - referenceCelsius : referenceCelsius - traceCelsius;
        expect(kelvin).toBeGreaterThanOrEqual(-1e-9);
      }
  });

  it.prop([traces(), traces()])("runs forward in time, piece after piece", (measured, reference) => {
    const moments = differenceArea(measured, reference).flatMap(({ points }) =>
      points.map(({ atSeconds }) => atSeconds),
    );
    expect(moments.every((moment, index) => moment >= (moments[index - 1] ?? 0))).toBe(true);
  });
});
