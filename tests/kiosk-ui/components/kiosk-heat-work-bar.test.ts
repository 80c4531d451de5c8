// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { heatWorkSide, KioskHeatWorkBar } from "#kiosk-ui/components/kiosk-heat-work-bar";
import type { HeatWorkWindow } from "#shared/outlook";
import { MADE_UP_WINDOW, madeUpOutlook } from "#tests/helpers/made-up-outlook";

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
    /** Where a part of the bar begins, ends or stands. */
    part: (name: string, ...attributes: string[]) => {
      const found = element.shadowRoot?.querySelector(`.${name}`);
      return found && attributes.map((attribute) => found.getAttribute(attribute));
    },
    pointer: () => {
      const path = element.shadowRoot?.querySelector(".pointer");
      return path && [path.parentElement?.getAttribute("x"), path.getAttribute("class")?.trim()];
    },
    words: () =>
      [...(element.shadowRoot?.querySelectorAll(".words span") ?? [])].map((word) => word.textContent),
    boldWord: () => element.shadowRoot?.querySelector(".words .is")?.textContent ?? null,
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

  it("takes the window of the job's layers, and says so; else the one of demonstration, and says that", async () => {
    const own = await bar({ window: MADE_UP_WINDOW });
    expect(own.part("window", "x", "width")).toEqual(["60.00%", "14.67%"]);
    expect(own.spoken).toContain("Right for its layers: 90 to 112\u00a0%.");
    expect(own.spoken).toContain("glaze sets the lower end, build-up the upper.");
    const usual = await bar({});
    expect(usual.part("window", "x", "width")).toEqual(["60.00%", "13.33%"]);
    expect(usual.spoken).toContain("The window of ±10 % is for demonstration.");
  });

  it("points to where it will end, on the line of its interval, and has the side in a word", async () => {
    const live = await bar({
      ratio: 0.3,
      isFinal: false,
      window: MADE_UP_WINDOW,
      end: madeUpOutlook().asGoing,
    });
    expect(live.pointer()).toEqual(["57.33%", "pointer short"]);
    expect(live.part("end", "x1", "x2")).toEqual(["52.67%", "62.00%"]);
    expect(live.boldWord()).toBe("short");
    expect(live.spoken).toContain("ends at 86 %, nine times in ten between 79 and 93 %.");
    expect((await bar({ ratio: 0.3, isFinal: false })).pointer()).toBeNull();
  });

  it("shows the ware's heat work as a second, thin bar that is called an estimate", async () => {
    const both = await bar({ ratio: 0.6, wareRatio: 0.45 });
    expect(both.part("delivered", "width")).toEqual(["40.00%"]);
    expect(both.part("ware", "width")).toEqual(["30.00%"]);
    expect(both.spoken).toContain("The ware, as estimated: 45 %.");
    expect((await bar({ ratio: 0.6 })).part("ware", "width")).toBeFalsy();
  });

  const window = (changes: Partial<HeatWorkWindow>): HeatWorkWindow => ({ ...MADE_UP_WINDOW, ...changes });

  it("reaches farther where the window does", async () => {
    const wide = await bar({ ratio: 1, window: window({ highRatio: 1.8 }) });
    expect(wide.part("delivered", "width")).toEqual(["50.00%"]);
    expect(wide.part("window", "x", "width")).toEqual(["45.00%", "45.00%"]);
  });

  it("has no word for a side that there is none of", async () => {
    const has = window({ lowRatio: 0, lowLayer: null });
    expect((await bar({ window: has })).words()).toEqual(["right", "excess"]);
    const open = await bar({ window: window({ highLayer: null, highRatio: 0 }) });
    expect(open.words()).toEqual(["short", "right"]);
    expect(open.part("window", "x", "width")).toEqual(["60.00%", "40.00%"]);
    expect(open.spoken).toContain("Right for its layers: 90\u00a0% and more.");
  });

  it("says of layers that want what the others cannot take that nothing suits them all", async () => {
    const none = await bar({ window: window({ lowRatio: 1.2, highRatio: 0.8 }) });
    expect(none.part("window", "x")).toBeFalsy();
    expect(none.boldWord()).toBeNull();
    expect(none.spoken).toContain(
      "No heat work suits every layer: glaze wants 120\u00a0% or more, build-up 80\u00a0% at most.",
    );
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { ratio: 0.89, side: "short" },
    { ratio: 1.12, side: "right" },
    { ratio: 1.13, side: "excess" },
  ])("calls $ratio $side by the window of the layers", ({ ratio, side }) => {
    expect(heatWorkSide(ratio, MADE_UP_WINDOW)).toBe(side);
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
