// @vitest-environment happy-dom
import { afterEach, describe, expect, it, vi } from "vitest";
import { initialKioskState, nextKioskState } from "#kiosk-ui/kiosk-state";
import { KioskUpkeep } from "#kiosk-ui/screens/upkeep/kiosk-upkeep";
import { snapshot } from "#tests/helpers/kiosk-messages";

async function shown() {
  const element = new KioskUpkeep();
  element.state = nextKioskState(initialKioskState, {
    kind: "snapshot",
    snapshot: snapshot(),
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
  it("says how a furnace's line does", async () => {
    const { element } = await shown();
    const text = element.shadowRoot?.textContent?.replace(/\s+/g, " ");
    expect(text).toContain("1,200 read, 2 not understood");
    expect(text).toContain("T=7x4.1");
    expect(text).toContain("never led through the door seal");
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { button: "Change its line", title: "Line of Furnace 1" },
    { button: "Add a furnace",   title: "Connect a furnace" },
  ])("opens the flow by $button", async ({ button, title }) => {
    const { open, flow } = await shown();
    open(button);
    await vi.waitFor(() => expect(flow()).toBe(title), { timeout: 10_000 });
  });
});
