// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import type { KioskAction } from "#kiosk-ui/components/kiosk-action";
import { initialKioskState, nextKioskState } from "#kiosk-ui/kiosk-state";
import { KioskPlans } from "#kiosk-ui/screens/plans/kiosk-plans";
import { openBake, snapshot } from "#tests/helpers/kiosk-messages";

async function shown(openBakes = [] as ReturnType<typeof openBake>[]) {
  const element = new KioskPlans();
  const everything = snapshot({ openBakes });
  element.state = nextKioskState(initialKioskState, { kind: "snapshot", snapshot: everything, atSeconds: 1 });
  const actions: KioskAction[] = [];
  element.addEventListener("kiosk-action", (event) => actions.push(event.detail));
  document.body.append(element);
  await element.updateComplete;
  const begin = () => element.shadowRoot?.querySelector<HTMLButtonElement>("button.main");
  return { element, actions, begin, text: () => element.shadowRoot?.textContent?.replace(/\s+/g, " ") };
}

afterEach(() => document.body.replaceChildren());

describe("Plans", () => {
  it("says what the chosen plan does", async () => {
    const { element, text } = await shown();
    expect(text()).toContain("35 K/min to 760 °C");
    expect(text()).toContain("45 hPa from 510 until the hold begins");
    element.shadowRoot
      ?.querySelector("kiosk-plan-list")
      ?.dispatchEvent(new CustomEvent("plan-chosen", { detail: 3 }));
    await element.updateComplete;
    expect(text()).toContain("none, in air");
  });

  it("begins with the plan in view on a free furnace", async () => {
    const { actions, begin } = await shown();
    begin()?.click();
    expect(actions).toEqual([{ kind: "prepare", furnaceId: "furnace-1", planId: 1 }]);
  });

  it("says so when every furnace is busy", async () => {
    const { begin, text } = await shown([openBake()]);
    expect(begin()).toBeNull();
    expect(text()).toContain("Every furnace has a bake open.");
  });
});
