// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { KioskNumberField } from "#kiosk-ui/screens/upkeep/kiosk-number-field";

async function shown(properties: Partial<KioskNumberField>) {
  const element = Object.assign(new KioskNumberField(), { label: "Limit", ...properties });
  const changes: (number | null)[] = [];
  element.addEventListener("number-changed", (event) => {
    changes.push(event.detail);
    element.value = event.detail;
  });
  document.body.append(element);
  await element.updateComplete;
  const press = async (...names: string[]) => {
    for (const name of names) {
      [...(element.shadowRoot?.querySelectorAll("button") ?? [])]
        .find((button) => (button.getAttribute("aria-label") ?? button.textContent?.trim()) === name)
        ?.click();
      await element.updateComplete;
    }
  };
  const text = () =>
    element.shadowRoot?.querySelector(".value")?.textContent?.trim().replaceAll("\u00a0", " ");
  const refusal = () => {
    const line = element.shadowRoot?.querySelector<HTMLElement>(".refusal");
    return line?.hidden ? "" : line?.textContent?.trim().replaceAll("\u00a0", " ");
  };
  return { element, changes, press, text, refusal };
}

afterEach(() => document.body.replaceChildren());

describe("a number by touch", () => {
  it("goes to the next whole step, so that what was measured is tidied", async () => {
    const { changes, press } = await shown({ value: 961.78, kind: "temperature", step: 0.5, to: 1800 });
    await press("Limit: more", "Limit: more", "Limit: less");
    expect(changes).toEqual([962, 962.5, 962]);
  });

  it("stays within its bounds", async () => {
    const { changes, press } = await shown({ value: 0.2, step: 0.5, from: 0.1, to: 0.6 });
    await press("Limit: less", "Limit: more", "Limit: more");
    expect(changes).toEqual([0.1, 0.5, 0.6]);
  });

  it("steps in the unit that is shown and keeps kelvins", async () => {
    const { changes, press, text } = await shown({ value: 5, unit: "fahrenheit", step: 1 });
    expect(text()).toBe("9.0 °F");
    await press("Limit: more");
    expect(changes[0]).toBeCloseTo(10 / 1.8, 9);
    expect(text()).toBe("10.0 °F");
  });

  it("is typed, point and sign included", async () => {
    const { changes, press } = await shown({ value: 0, from: -100 });
    await press("Limit: 0.0\u00a0K. Type it", "2", ".", ".", "5", "+/−", "Done");
    expect(changes).toEqual([-2.5]);
  });

  it("is typed in °F and kept in °C", async () => {
    const { changes, press } = await shown({ value: 760, kind: "temperature", unit: "fahrenheit", to: 1800 });
    await press("Limit: 1400.0\u00a0°F. Type it", "1", "4", "7", "2", "Done");
    expect(changes).toEqual([800]);
  });

  it("says the bounds of what it refuses, and keeps what was", async () => {
    const { changes, press, refusal } = await shown({ value: 5, from: 0.1, to: 100 });
    await press("Limit: 5.0\u00a0K. Type it", "5", "0", "0", "Done");
    expect(refusal()).toBe("From 0.1 K to 100.0 K.");
    await press("Delete", "Delete", "Delete", ".", "Done");
    expect(refusal()).toContain("From");
    expect(changes).toEqual([]);
  });

  it("leaves what was when nothing is typed", async () => {
    const { changes, press } = await shown({ value: 5 });
    await press("Limit: 5.0\u00a0K. Type it", "Done");
    expect(changes).toEqual([]);
  });

  it("may be left unsaid where that is allowed, and begins from there", async () => {
    const { changes, press, text } = await shown({ value: 2, isOptional: true, start: 1 });
    await press("Limit: 2.0\u00a0K. Type it", "Not said");
    expect(text()).toBe("not said");
    await press("Limit: more");
    expect(changes).toEqual([null, 1]);
  });
});
