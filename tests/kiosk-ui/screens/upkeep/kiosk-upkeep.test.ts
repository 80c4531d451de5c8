// @vitest-environment happy-dom
import { afterEach, describe, expect, it, vi } from "vitest";
import { initialKioskState, nextKioskState } from "#kiosk-ui/kiosk-state";
import { KioskUpkeep } from "#kiosk-ui/screens/upkeep/kiosk-upkeep";
import type { SensorFault } from "#shared/sensor-fault";
import { buttonIn, fakeCheckDesk, wordsIn } from "#tests/helpers/check-desk";
import { furnace, snapshot } from "#tests/helpers/kiosk-messages";

const FAULT: SensorFault = {
  kind: "open-circuit",
  isActive: true,
  episodes: 1,
  readings: 12,
  seconds: 12,
  firstAtSeconds: 0,
  lastAtSeconds: 12,
  celsius: null,
  likelyType: null,
  needsPerson: true,
};

async function shown(status = furnace()) {
  const element = new KioskUpkeep();
  element.state = nextKioskState(initialKioskState, {
    kind: "snapshot",
    snapshot: snapshot({ furnaces: [status] }),
    atSeconds: 1,
  });
  document.body.append(element);
  await element.updateComplete;
  const open = (words: string) =>
    [...(element.shadowRoot?.querySelectorAll("button") ?? [])]
      .find((button) => button.textContent?.includes(words))
      ?.click();
  const flow = () =>
    element.shadowRoot?.querySelector("kiosk-connect")?.shadowRoot?.querySelector("dialog[open] h1")
      ?.textContent;
  return { element, open, flow };
}

afterEach(() => document.body.replaceChildren());

describe("Upkeep", () => {
  const text = (element: KioskUpkeep) => wordsIn(element.shadowRoot ?? document);

  it("says plainly how each furnace does, its probe, and when a check is due", async () => {
    const { element } = await shown();
    expect(text(element)).toContain("Nothing is known of its probe: set its type.");
    expect(text(element)).toContain("No date is set for the next check.");
    expect(text(element)).toContain("never led through the door seal");
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "a lost line",      change: { link: { ...furnace().link, kind: "absent" as const, message: "Plug the adapter in." } }, says: "Plug the adapter in." },
    { what: "a fault",          change: { sensorFaults: [FAULT] },                                                                  says: "The thermocouple is open, for 12 s so far. Look first at the terminals" },
    { what: "an overdue check", change: { furnace: { ...furnace().furnace, checkDueEpochMilliseconds: Date.now() - 3 * 86_400_000 } }, says: "Check overdue by 3 days" },
  ])("calls for a person for $what, in words", async ({ change, says }) => {
    const { element } = await shown({ ...furnace(), ...change });
    expect(element.shadowRoot?.querySelector("li.needs")).not.toBeNull();
    expect(text(element)).toContain(says);
  });

  it("opens a furnace's own page, with all that its line does, and comes back", async () => {
    const { element, open } = await shown();
    element.client = Object.assign(fakeCheckDesk(), {
      ports: () => Promise.resolve([]),
      listen: () => Promise.reject(new Error("not here")),
    });
    await element.updateComplete;
    open("Open");
    await vi.waitFor(() => expect(text(element)).toContain("1,200 read, 2 not understood"), {
      timeout: 10_000,
    });
    expect(text(element)).toContain("T=7x4.1");
    buttonIn(element.shadowRoot ?? document, "Back").click();
    await element.updateComplete;
    expect(text(element)).toContain("Connect a furnace");
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { button: "Change its line", title: "Line of Furnace 1" },
    { button: "Connect a furnace", title: "Connect a furnace" },
  ])("opens the flow by $button", async ({ button, title }) => {
    const { open, flow } = await shown();
    open(button);
    await vi.waitFor(() => expect(flow()).toBe(title), { timeout: 10_000 });
  });
});
