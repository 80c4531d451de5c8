// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { KioskReadout } from "#kiosk-ui/components/kiosk-readout";

async function text(
  celsius: number | null,
  ageSeconds: number | null,
  unit: KioskReadout["unit"] = "celsius",
) {
  const element = new KioskReadout();
  Object.assign(element, { celsius, ageSeconds, unit });
  document.body.append(element);
  await element.updateComplete;
  return element.shadowRoot?.textContent?.replace(/\s+/g, " ").trim();
}

afterEach(() => document.body.replaceChildren());

describe("the readout", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { celsius: 724.6, age: 0.4,  unit: "celsius"    as const, shown: "725 °C" },
    { celsius: 760,   age: 3,    unit: "fahrenheit" as const, shown: "1400 °F" },
    { celsius: 724.6, age: 3.5,  unit: "celsius"    as const, shown: "725 °C Last reading 3\u00a0s ago" },
    { celsius: null,  age: null, unit: "celsius"    as const, shown: "– °C No reading yet" },
  ])("of $celsius, $age s old, is $shown", async ({ celsius, age, unit, shown }) => {
    expect(await text(celsius, age, unit)).toBe(shown.replace("\u00a0", " "));
  });
});
