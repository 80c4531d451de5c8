// @vitest-environment happy-dom
import { describe, expect, it } from "vitest";
import { heatWorkSide } from "#kiosk-ui/components/kiosk-heat-work-bar";

describe("the heat-work bar", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { ratio: 0.5,  side: "short" },
    { ratio: 0.89, side: "short" },
    { ratio: 0.9,  side: "right" },
    { ratio: 1,    side: "right" },
    { ratio: 1.1,  side: "right" },
    { ratio: 1.11, side: "excess" },
  ])("calls $ratio of the plan $side", ({ ratio, side }) => {
    expect(heatWorkSide(ratio)).toBe(side);
  });
});
