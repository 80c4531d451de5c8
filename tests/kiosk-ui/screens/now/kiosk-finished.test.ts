// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import type { KioskHeatWorkBar } from "#kiosk-ui/components/kiosk-heat-work-bar";
import type { FinishedBake } from "#kiosk-ui/kiosk-state";
import { KioskFinished } from "#kiosk-ui/screens/now/kiosk-finished";
import { KioskWaiting } from "#kiosk-ui/screens/now/kiosk-waiting";
import { detail, furnace, openBake } from "#tests/helpers/kiosk-messages";
import { madeUpComparison, madeUpTrace } from "#tests/helpers/made-up-bakes";
import { fittedPlan, MADE_UP_CASE, MADE_UP_LAYERS, MADE_UP_WINDOW } from "#tests/helpers/made-up-outlook";

afterEach(() => document.body.replaceChildren());

const plain = (text: string | null | undefined) => (text ?? "").replace(/\s+/g, " ");

function finishedBake(isCaseKnown: boolean): FinishedBake {
  const ended = detail({ case: isCaseKnown ? MADE_UP_CASE : null });
  if (!ended.plan) throw new Error("no plan");
  const samples = madeUpTrace(ended.plan.plan, { seed: 7, slowness: 2, overshootKelvin: 1 });
  const comparison = madeUpComparison(ended.plan.plan, samples, true);
  const known = { plan: fittedPlan(ended.plan), layers: MADE_UP_LAYERS };
  const full = { ...ended, comparison, ...(isCaseKnown ? known : {}) };
  return { bake: full.bake, detail: full, samples, ...(isCaseKnown ? { window: MADE_UP_WINDOW } : {}) };
}

async function finished(isCaseKnown: boolean) {
  const element = new KioskFinished();
  element.finished = finishedBake(isCaseKnown);
  document.body.append(element);
  await element.updateComplete;
  const bar = element.renderRoot.querySelector<KioskHeatWorkBar>("kiosk-heat-work-bar");
  return { bar, text: plain((element.renderRoot as ShadowRoot).textContent) };
}

async function waitingSteps(isCaseKnown: boolean) {
  const element = new KioskWaiting();
  const open = openBake({ state: "waiting" });
  const plan = open.plan && isCaseKnown ? fittedPlan(open.plan) : open.plan;
  Object.assign(element, {
    bake: { ...open, plan, samples: [] },
    furnace: { ...furnace(), heardAtSeconds: 0 },
  });
  document.body.append(element);
  await element.updateComplete;
  return [...element.renderRoot.querySelectorAll("ol li")].map((step) => plain(step.textContent));
}

describe("a bake that ended", () => {
  it("is judged by the window that its layers had while it ran", async () => {
    const { bar, text } = await finished(true);
    expect(bar?.window).toEqual(MADE_UP_WINDOW);
    expect(text).toContain("Right for its layers: 90 to 112 %.");
  });

  it("tells what the card fitted and which layers were put on", async () => {
    const { text } = await finished(true);
    expect(text).toContain("Fitted to the case: climb 35 K/min to 760 °C, hold 1:00.");
    expect(text).toContain("Put on: build-up, glaze.");
  });

  it("has the window of demonstration where nobody said what went in", async () => {
    const { bar, text } = await finished(false);
    expect(bar?.window).toBeNull();
    expect(text).toContain("The window of ±10 % is for demonstration.");
    expect(text).not.toMatch(/Fitted|Put on/);
  });
});

describe("a bake that waits for its climb", () => {
  it("says what of the program is fitted to the case", async () => {
    expect(await waitingSteps(true)).toEqual([
      "Call up the program for Sample layer, high.",
      "Set what is fitted to this case: climb 35 K/min to 760 °C, hold 1:00.",
      "See that it stands by at 510 °C.",
      "Set the piece in, and start.",
    ]);
  });

  it("has the program alone where nothing is", async () => {
    expect(await waitingSteps(false)).toHaveLength(3);
  });
});
