// @vitest-environment happy-dom
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import "#kiosk-ui/chart/kiosk-trace-chart";
import type { KioskTraceChart } from "#kiosk-ui/chart/kiosk-trace-chart";
import { madeUpComparison, madeUpPlans, madeUpTrace } from "#tests/helpers/made-up-bakes";

const plan = madeUpPlans()[0]?.plan ?? null;
const samples = madeUpTrace(plan, { seed: 3, slowness: 1, overshootKelvin: 1 });
let chart: KioskTraceChart;

beforeEach(async () => {
  chart = document.createElement("kiosk-trace-chart");
  chart.plan = plan;
  chart.samples = samples;
  chart.comparison = plan && madeUpComparison(plan, samples, true);
  document.body.append(chart);
  await chart.updateComplete;
});
afterEach(() => chart.remove());

describe("the trace chart", () => {
  it("is an image that says its numbers in words", () => {
    const image = chart.renderRoot.querySelector("[role=img]");
    expect(image?.getAttribute("aria-label")).toMatch(
      /^Ended at \d+\s°C at .+ Peak \d+\s°C at .+ Heat work \d+ %/,
    );
  });

  it("can be taken away and put back", async () => {
    chart.remove();
    document.body.append(chart);
    await chart.updateComplete;
    expect(chart.renderRoot.querySelector("[role=img]")).not.toBeNull();
  });
});
