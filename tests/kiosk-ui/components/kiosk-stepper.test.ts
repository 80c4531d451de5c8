// @vitest-environment happy-dom
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { KioskStepper } from "#kiosk-ui/components/kiosk-stepper";

async function shown(properties: Partial<KioskStepper>) {
  const element = Object.assign(new KioskStepper(), { label: "Top", ...properties });
  const changes: (number | null)[] = [];
  element.addEventListener("value-changed", (event) => {
    const { detail } = event as CustomEvent<number | null>;
    changes.push(detail);
    element.value = detail;
  });
  document.body.append(element);
  await element.updateComplete;
  const button = (name: string) =>
    [...(element.shadowRoot?.querySelectorAll("button") ?? [])].find(
      (one) =>
        (one.getAttribute("aria-label") ?? one.textContent?.trim())?.replaceAll("\u00a0", " ") === name,
    );
  const press = async (...names: string[]) => {
    for (const name of names) {
      button(name)?.click();
      await element.updateComplete;
    }
  };
  const text = () =>
    element.shadowRoot?.querySelector(".value")?.textContent?.trim().replaceAll("\u00a0", " ");
  const refusal = () => element.shadowRoot?.querySelector<HTMLElement>(".refusal");
  return { element, changes, button, press, text, refusal };
}

beforeEach(() => vi.useFakeTimers());
afterEach(() => {
  vi.useRealTimers();
  document.body.replaceChildren();
});

describe("a stepper", () => {
  it("asks for one step more or less a tap, and says the value with its unit", async () => {
    const { changes, press, text } = await shown({ value: 758 });
    await press("Top: more", "Top: more", "Top: less");
    expect(changes).toEqual([760, 765, 760]);
    expect(text()).toBe("760 °C");
  });

  it("leaves the value to its owner", async () => {
    const element = Object.assign(new KioskStepper(), { label: "Top", value: 700 });
    document.body.append(element);
    await element.updateComplete;
    element.shadowRoot?.querySelector<HTMLButtonElement>(".step")?.click();
    await element.updateComplete;
    expect(element.value).toBe(700);
  });

  it("stays within its bounds, and its button at the end cannot be pressed", async () => {
    const { changes, press, button } = await shown({ value: 3, kind: "duration", step: 5, min: 0, max: 60 });
    await press("Top: less");
    expect(changes).toEqual([0]);
    expect(button("Top: less")?.disabled).toBe(true);
    expect(button("Top: more")?.disabled).toBe(false);
  });

  it("repeats while it is kept pressed, and counts no step more when it is let go", async () => {
    const { changes, button, element } = await shown({ value: 0, kind: "duration", step: 10, max: 600 });
    const more = button("Top: more");
    more?.dispatchEvent(new PointerEvent("pointerdown", { button: 0 }));
    await vi.advanceTimersByTimeAsync(500 + 3 * 110 + 20);
    more?.dispatchEvent(new PointerEvent("pointerup"));
    more?.click();
    await element.updateComplete;
    await vi.advanceTimersByTimeAsync(2000);
    expect(changes).toEqual([10, 20, 30]);
  });

  it("ends repeating at its end, where its button says no more that it is let go", async () => {
    const { changes, button } = await shown({ value: 580, kind: "duration", step: 10, max: 600 });
    button("Top: more")?.dispatchEvent(new PointerEvent("pointerdown", { button: 0 }));
    await vi.advanceTimersByTimeAsync(5000);
    expect(changes).toEqual([590, 600]);
  });

  it("stops repeating when it is taken from the page", async () => {
    const { changes, button, element } = await shown({ value: 0, step: 10 });
    button("Top: more")?.dispatchEvent(new PointerEvent("pointerdown", { button: 0 }));
    element.remove();
    await vi.advanceTimersByTimeAsync(3000);
    expect(changes).toEqual([]);
  });

  it("is typed on its own keys; a time by its digits", async () => {
    const { changes, press } = await shown({ value: 60, kind: "duration", max: 600 });
    await press("Top: 1:00. Type it", "2", "3", "0", "Done");
    expect(changes).toEqual([150]);
  });

  it("refuses what is typed out of bounds, and says the bounds", async () => {
    const { changes, press, refusal } = await shown({ value: 700, min: 300, max: 1300 });
    await press("Top: 700 °C. Type it", "2", "0", "0", "0", "Done");
    expect(changes).toEqual([]);
    expect(refusal()?.hidden).toBe(false);
    expect(refusal()?.textContent?.trim().replaceAll("\u00a0", " ")).toBe("Between 300 °C and 1300 °C.");
  });

  it("begins where it is told to when nobody said, and can be unsaid again", async () => {
    const { changes, press, text } = await shown({
      value: null,
      isOptional: true,
      start: 550,
      unsaid: "not said",
    });
    expect(text()).toBe("not said");
    await press("Top: more", "Top: 550 °C. Type it", "Not said");
    expect(changes).toEqual([550, null]);
  });
});
