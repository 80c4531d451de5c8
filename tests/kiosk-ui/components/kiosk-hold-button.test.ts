// @vitest-environment happy-dom
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { KioskHoldButton } from "#kiosk-ui/components/kiosk-hold-button";

async function shown() {
  const element = new KioskHoldButton();
  element.label = "Close the bake";
  document.body.append(element);
  await element.updateComplete;
  let confirmed = 0;
  element.addEventListener("confirmed", () => {
    confirmed += 1;
  });
  const button = (index = 0) => element.shadowRoot?.querySelectorAll("button")[index];
  const passed = async (milliseconds: number) => {
    vi.advanceTimersByTime(milliseconds);
    await element.updateComplete;
  };
  return { element, button, passed, confirmed: () => confirmed, text: () => element.shadowRoot?.textContent };
}

describe("a hold button", () => {
  beforeEach(() => {
    vi.useFakeTimers({ toFake: ["setInterval", "clearInterval"] });
  });
  afterEach(() => {
    vi.useRealTimers();
    document.body.replaceChildren();
  });

  it("confirms after two seconds under a finger, and counts down meanwhile", async () => {
    const { button, passed, confirmed, text } = await shown();
    button()?.dispatchEvent(new PointerEvent("pointerdown", { button: 0 }));
    await passed(500);
    expect(text()).toContain("Keep pressed: 2");
    await passed(1000);
    expect(text()).toContain("Keep pressed: 1");
    expect(confirmed()).toBe(0);
    await passed(500);
    expect(confirmed()).toBe(1);
  });

  it("confirms by a key that is kept down, however often it repeats", async () => {
    const { button, passed, confirmed } = await shown();
    button()?.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter" }));
    await passed(1000);
    button()?.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", repeat: true }));
    await passed(1000);
    expect(confirmed()).toBe(1);
  });

  it("asks once more after a short press, and does nothing when the answer is no", async () => {
    const { button, passed, confirmed, text } = await shown();
    button()?.dispatchEvent(new PointerEvent("pointerdown", { button: 0 }));
    await passed(400);
    button()?.dispatchEvent(new PointerEvent("pointerup"));
    await passed(3000);
    expect(text()).toContain("Not pressed long enough");
    button(0)?.click();
    await passed(0);
    expect(confirmed()).toBe(0);
    expect(text()).toContain("Close the bake");
  });

  it("confirms by two taps for whoever cannot keep it pressed", async () => {
    const { button, passed, confirmed } = await shown();
    button()?.dispatchEvent(new PointerEvent("pointerdown", { button: 0 }));
    button()?.dispatchEvent(new PointerEvent("pointerup"));
    await passed(0);
    button(1)?.click();
    expect(confirmed()).toBe(1);
  });

  it("lets go when the finger slides off", async () => {
    const { button, passed, confirmed, text } = await shown();
    button()?.dispatchEvent(new PointerEvent("pointerdown", { button: 0 }));
    await passed(1500);
    button()?.dispatchEvent(new PointerEvent("pointerleave"));
    await passed(3000);
    expect(confirmed()).toBe(0);
    expect(text()).toContain("Press for 2 seconds");
  });
});
