import { describe, expect, it } from "vitest";
import { insetPlace, isClear } from "#kiosk-ui/chart/inset-place";

const plot = { left: 0, top: 0, width: 800, height: 400 };
const wanted = { width: 300, height: 200 };
/** A bake: level, a late climb, a top, a fall. */
const bake = [
  { x: 0, y: 380 },
  { x: 300, y: 380 },
  { x: 640, y: 20 },
  { x: 700, y: 20 },
  { x: 800, y: 380 },
];

describe("the place of the close-up", () => {
  it("is the upper left corner, which a bake leaves free", () => {
    expect(insetPlace(plot, [bake], wanted, 10)).toEqual({ left: 10, top: 10, width: 300, height: 200 });
  });

  it("is smaller where the whole of it has no room", () => {
    const early = [
      { x: 0, y: 390 },
      { x: 60, y: 390 },
      { x: 560, y: 0 },
      { x: 800, y: 390 },
    ];
    const box = insetPlace(plot, [early], wanted, 10);
    expect(box && box.width < wanted.width).toBe(true);
    expect(box && isClear(box, [early])).toBe(true);
  });

  it("is the lower right corner for a curve that climbs at once and stays", () => {
    const steep = [
      { x: 0, y: 390 },
      { x: 40, y: 5 },
      { x: 800, y: 5 },
    ];
    expect(insetPlace(plot, [steep], wanted, 10)).toMatchObject({ left: 490, top: 190 });
  });

  it("is nowhere between curves that cross the plot every way", () => {
    const cross = [
      { x: 0, y: 0 },
      { x: 800, y: 400 },
      { x: 800, y: 0 },
      { x: 0, y: 400 },
      { x: 0, y: 90 },
      { x: 800, y: 90 },
      { x: 800, y: 300 },
      { x: 0, y: 300 },
    ];
    expect(insetPlace(plot, [cross], wanted, 10)).toBeNull();
  });

  it("is never where a straight line passes between two far points", () => {
    expect(
      isClear({ left: 100, top: 100, width: 50, height: 50 }, [
        [
          { x: 0, y: 0 },
          { x: 400, y: 400 },
        ],
      ]),
    ).toBe(false);
    expect(
      isClear({ left: 100, top: 10, width: 50, height: 50 }, [
        [
          { x: 0, y: 0 },
          { x: 400, y: 400 },
        ],
      ]),
    ).toBe(true);
  });
});
