import { describe, expect, it } from "vitest";
import { conditionText } from "#kiosk-ui/components/condition-text";
import { changeText } from "#kiosk-ui/screens/plans/change-text";
import type { AdaptationCondition, PlanChange } from "#shared/plan";

const plain = (text: string) => text.replaceAll("\u00a0", " ");

describe("a change of a card", () => {
  // biome-ignore format: a table reads in columns
  it.each<{ change: PlanChange; says: string }>([
    { change: { kind: "shift", number: "top", by: -10 },          says: "top 10 K lower" },
    { change: { kind: "shift", number: "top", by: 2.5 },          says: "top 2.5 K higher" },
    { change: { kind: "shift", number: "climb-rate", by: -5 },    says: "climb to the top 5 K/min slower" },
    { change: { kind: "shift", number: "climb-rate", by: 5 },     says: "climb to the top 5 K/min faster" },
    { change: { kind: "shift", number: "drying", by: 90 },        says: "drying 1:30 longer" },
    { change: { kind: "shift", number: "top-hold", by: -50 },     says: "hold at the top 0:50 shorter" },
    { change: { kind: "shift", number: "vacuum-level", by: -20 }, says: "vacuum level 20 hPa lower" },
    { change: { kind: "shift", number: "low", by: 0 },            says: "low temperature unchanged" },
    { change: { kind: "set", number: "top-hold", to: 10 },        says: "hold at the top 0:10" },
    { change: { kind: "set", number: "vacuum-level", to: 45 },    says: "vacuum level 45 hPa" },
    { change: { kind: "cooling", to: { kind: "steady", toCelsius: 560, kelvinPerMinute: 40 } }, says: "cooling 40 K/min down to 560 °C" },
  ])("is said as $says", ({ change, says }) => {
    expect(plain(changeText(change, "celsius"))).toBe(says);
  });

  it("is said in the page's unit", () => {
    expect(plain(changeText({ kind: "shift", number: "top", by: -10 }, "fahrenheit"))).toBe(
      "top 18 °F lower",
    );
  });
});

describe("a condition", () => {
  // biome-ignore format: a table reads in columns
  it.each<{ when: AdaptationCondition; says: string }>([
    { when: { kind: "framework", framework: "lithium-disilicate" }, says: "lithium disilicate" },
    { when: { kind: "framework", framework: "none" },               says: "test piece" },
    { when: { kind: "case-size", caseSize: "large" },               says: "large case" },
    { when: { kind: "bake", bake: "second" },                       says: "second bake" },
    { when: { kind: "bake", bake: "correction" },                   says: "correction bake" },
    { when: { kind: "furnace", furnaceId: "furnace-1" },            says: "By the window" },
    { when: { kind: "furnace", furnaceId: "furnace-9" },            says: "furnace-9" },
  ])("is said as $says", ({ when, says }) => {
    expect(conditionText(when, [{ id: "furnace-1", name: "By the window" }])).toBe(says);
  });
});
