// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import type { KioskHeatWorkBar } from "#kiosk-ui/components/kiosk-heat-work-bar";
import type { BakeInView } from "#kiosk-ui/kiosk-state";
import { KioskRunning } from "#kiosk-ui/screens/now/kiosk-running";
import { furnace, openBake } from "#tests/helpers/kiosk-messages";
import { madeUpComparison, madeUpFault, madeUpTrace } from "#tests/helpers/made-up-bakes";
import { MADE_UP_CASE, MADE_UP_WINDOW, madeUpOutlook, madeUpWare } from "#tests/helpers/made-up-outlook";

afterEach(() => document.body.replaceChildren());

function bakeAt(seconds: number, changes: Partial<BakeInView> = {}): BakeInView {
  const open = openBake({ case: MADE_UP_CASE });
  if (!open.plan) throw new Error("no plan");
  const { plan } = open.plan;
  const samples = madeUpTrace(plan, { seed: 7, slowness: 2, overshootKelvin: 0 }).slice(0, seconds * 4);
  return { ...open, comparison: madeUpComparison(plan, samples, false), samples, ...changes };
}

async function shown(bake: BakeInView, properties: Partial<KioskRunning> = {}) {
  const element = new KioskRunning();
  const heard = { ...furnace(), heardAtSeconds: 0 };
  Object.assign(element, { bake, furnace: heard, ageSeconds: 0, ...properties });
  document.body.append(element);
  await element.updateComplete;
  const root = element.renderRoot as ShadowRoot;
  const bar = root.querySelector<KioskHeatWorkBar>("kiosk-heat-work-bar");
  const chart = root.querySelector("kiosk-trace-chart");
  const numbers = () => (root.querySelector(".numbers")?.textContent ?? "").replace(/\s+/g, " ");
  const head = async () => {
    const found = root.querySelector("kiosk-bake-head");
    await found?.updateComplete;
    return (found?.shadowRoot?.textContent ?? "").replace(/\s+/g, " ");
  };
  return { bar, chart, numbers, head };
}

const known = {
  outlook: madeUpOutlook(),
  ware: madeUpWare(700, 0.12),
  window: MADE_UP_WINDOW,
};

describe("a running bake", () => {
  it("says about what the ware has, where it will end, and within what it should", async () => {
    const { numbers, bar, chart } = await shown(bakeAt(660, known));
    expect(numbers()).toContain("ware about 691, 686 to 694");
    expect(numbers()).toContain("→ 86 % at the end, 79 to 93 %");
    expect(numbers()).toContain("ware 12 %");
    expect(numbers()).toContain("Right for its layers: 90 to 112 %.");
    expect(bar).toMatchObject({ window: MADE_UP_WINDOW, end: known.outlook.asGoing, wareRatio: 0.12 });
    expect(chart?.comingPeak).toEqual(known.outlook.peak);
  });

  it("has the case in its head, and which bake it is", async () => {
    const { head } = await shown(bakeAt(660, known));
    expect(await head()).toContain("Sample layer, high");
    expect(await head()).toContain("job 4417 · large case on zirconia, second bake");
  });

  it("guesses nothing of the ware, the end and the window where nobody knows", async () => {
    const { numbers, bar, chart } = await shown(bakeAt(660));
    expect(numbers()).not.toMatch(/ware|at the end|layers/);
    expect(numbers()).toContain("window ±10 %, for demonstration");
    expect(bar).toMatchObject({ window: null, end: null, wareRatio: null });
    expect(chart?.comingPeak).toBeNull();
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { when: "the last reading is old",    properties: { ageSeconds: 8 } },
    { when: "the daemon is not heard",    properties: { hearsDaemon: false } },
    { when: "the thermocouple is open",   faults: [madeUpFault("open-circuit", { isActive: true, needsPerson: true })] },
    { when: "the thermocouple is frozen", faults: [madeUpFault("frozen", { isActive: true, needsPerson: true, celsius: 700 })] },
  ])("says neither ware nor end while $when", async ({ properties = {}, faults = [] }) => {
    const { numbers, bar, chart } = await shown(bakeAt(660, { ...known, sensorFaults: faults }), properties);
    expect(numbers()).not.toMatch(/ware|at the end/);
    expect(bar).toMatchObject({ window: MADE_UP_WINDOW, end: null, wareRatio: null });
    expect(chart?.comingPeak).toBeNull();
  });
});
