// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import type { KioskAction } from "#kiosk-ui/components/kiosk-action";
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
  element.ports = [
    { stableName: "/dev/serial/by-id/usb-demo-0", device: "/dev/ttyUSB0", note: null },
    { stableName: "/dev/serial/by-id/usb-demo-2", device: "/dev/ttyUSB1", note: "no permission" },
  ];
  const actions: KioskAction[] = [];
  element.addEventListener("kiosk-action", (event) => actions.push(event.detail));
  document.body.append(element);
  await element.updateComplete;
  const form = element.shadowRoot?.querySelector("kiosk-line-form");
  const open = async (words: string) => {
    const button = [...(element.shadowRoot?.querySelectorAll("button") ?? [])].find((candidate) =>
      candidate.textContent?.includes(words),
    );
    button?.click();
    await new Promise((resolve) => setTimeout(resolve, 0));
    await form?.updateComplete;
  };
  const inForm = <Part extends Element>(selector: string) => form?.shadowRoot?.querySelector<Part>(selector);
  const submit = () =>
    inForm("form")?.dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  return { element, form, actions, open, inForm, submit };
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

  it("sets a furnace's port from the list", async () => {
    const { form, actions, open, submit } = await shown();
    await open("Change its line");
    const ports = form?.shadowRoot?.querySelectorAll<HTMLButtonElement>(".list button");
    expect(ports?.[1]?.textContent).toContain("no permission");
    ports?.[0]?.click();
    await form?.updateComplete;
    submit();
    expect(actions).toEqual([
      {
        kind: "change-furnace",
        furnaceId: "furnace-1",
        request: { name: "Furnace 1", port: "/dev/serial/by-id/usb-demo-0", baudRate: 9600, format: "auto" },
      },
    ]);
  });

  it("refuses a furnace without a name, in words, and sends nothing", async () => {
    const { actions, open, inForm, submit } = await shown();
    await open("Change its line");
    const name = inForm<HTMLInputElement>("#name");
    if (name) name.value = " ";
    name?.dispatchEvent(new Event("input"));
    submit();
    await new Promise((resolve) => setTimeout(resolve, 0));
    expect(actions).toEqual([]);
    expect(inForm(".refusal")?.textContent).toContain("name");
  });

  it("adds a furnace under the first free number", async () => {
    const { actions, open, submit } = await shown();
    await open("Add a furnace");
    submit();
    expect(actions).toMatchObject([
      { kind: "change-furnace", furnaceId: "furnace-2", request: { port: null } },
    ]);
  });
});
