// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { heatWorkSide, KioskHeatWorkBar } from "#kiosk-ui/components/kiosk-heat-work-bar";

afterEach(() => document.body.replaceChildren());

async function bar(properties: Partial<KioskHeatWorkBar>) {
  const element = new KioskHeatWorkBar();
  Object.assign(element, { ratio: 1.04, isFinal: true, ...properties });
  document.body.append(element);
  await element.updateComplete;
  const lines = [...(element.shadowRoot?.querySelectorAll(".whisker") ?? [])];
  return {
    spoken: element.shadowRoot?.querySelector("[role=img]")?.getAttribute("aria-label") ?? "",
    whisker: lines.map((line) => [line.getAttribute("x1"), line.getAttribute("x2")]),
  };
}

describe("the heat-work bar", () => {
  it("has a whisker from low to high with a stroke at each end, and says it", async () => {
    const { spoken, whisker } = await bar({ range: { low: 0.9, high: 1.2 } });
    expect(whisker).toEqual([
      ["60.00%", "80.00%"],
      ["60.00%", "60.00%"],
      ["80.00%", "80.00%"],
    ]);
    expect(spoken).toContain("104 %. 90 to 120\u00a0%, by the thermocouple’s uncertainty.");
  });

  it("lets the whisker run off the bar where its end lies beyond", async () => {
    const { whisker } = await bar({ range: { low: 1.2, high: 1.7 } });
    expect(whisker).toEqual([
      ["80.00%", "100.00%"],
      ["80.00%", "80.00%"],
    ]);
  });

  it("has none where the uncertainty is not known", async () => {
    expect((await bar({})).whisker).toEqual([]);
  });

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
