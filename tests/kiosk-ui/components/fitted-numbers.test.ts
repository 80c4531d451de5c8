import { describe, expect, it } from "vitest";
import { fittedNumbers } from "#kiosk-ui/components/fitted-numbers";
import type { NumberSource, Plan } from "#shared/plan";
import { MADE_UP_SOURCES } from "#tests/helpers/made-up-outlook";

/** Climbs to 650 °C, then to the top at 730 °C, and afterwards to 700 °C once more. */
const plan: Plan = {
  name: "A test bake",
  dryingSeconds: 120,
  closingSeconds: 60,
  lowCelsius: 450,
  lowHoldSeconds: 0,
  steps: [
    { kind: "climb", toCelsius: 650, kelvinPerMinute: 60 },
    { kind: "hold", seconds: 20 },
    { kind: "climb", toCelsius: 730, kelvinPerMinute: 35 },
    { kind: "hold", seconds: 10 },
    { kind: "climb", toCelsius: 700, kelvinPerMinute: 80 },
    { kind: "hold", seconds: 90 },
  ],
  cooling: { kind: "steady", toCelsius: 550, kelvinPerMinute: 30 },
};

const changed = (number: NumberSource["number"]): NumberSource => ({
  number,
  base: 0,
  parts: [
    { when: { kind: "bake", bake: "second" }, change: { kind: "shift", number: "top", by: 1 }, basis: null },
  ],
  value: 1,
});
const plain = (text: string) => text.replaceAll("\u00a0", " ");

describe("the numbers that a card fitted to a case", () => {
  it("are those at the top, each once, as they are to be set", () => {
    expect(plain(fittedNumbers({ plan, sources: MADE_UP_SOURCES }, "celsius"))).toBe(
      "climb 35 K/min to 730 °C, hold 0:10",
    );
  });

  it("follow the unit", () => {
    expect(plain(fittedNumbers({ plan, sources: [changed("top")] }, "fahrenheit"))).toBe(
      "climb 63 °F/min to 1346 °F",
    );
  });

  it("may be of the drying, the vacuum and the cooling, too", () => {
    const sources = [changed("closing"), changed("vacuum-level"), changed("cooling")];
    expect(plain(fittedNumbers({ plan, sources }, "celsius"))).toBe(
      "drying and closing 3:00, vacuum none, in air, cooling 30 K/min down to 550 °C",
    );
  });

  it("are none where the card changed nothing", () => {
    expect(fittedNumbers({ plan, sources: [{ ...changed("top"), parts: [] }] }, "celsius")).toBe("");
  });
});
