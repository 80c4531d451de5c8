// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { KioskReadout } from "#kiosk-ui/components/kiosk-readout";

async function text(
  celsius: number | null,
  ageSeconds: number | null,
  unit: KioskReadout["unit"] = "celsius",
  trust: KioskReadout["trust"] = { kind: "believed" },
) {
  const element = new KioskReadout();
  Object.assign(element, { celsius, ageSeconds, unit, trust });
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

  it("shows no number, however fresh, while the thermocouple gives none", async () => {
    expect(await text(724.6, 0.4, "celsius", { kind: "missing", fault: "open-circuit" })).toBe(
      "– °C No reading: thermocouple open",
    );
    expect(await text(724.6, 40, "celsius", { kind: "missing", fault: "open-circuit" })).toBe(
      "– °C No reading: thermocouple open",
    );
  });

  it("strikes through a number that is not to be believed, and says why", async () => {
    expect(await text(31.2, 0.4, "celsius", { kind: "doubted", fault: "short-circuit" })).toBe(
      "31 °C Do not believe it: thermocouple shorted",
    );
    const row = document.querySelector("kiosk-readout")?.shadowRoot?.querySelector(".row");
    expect(row?.classList).toContain("doubted");
  });
});
