import { describe, expect, it } from "vitest";
import { effectivePlan } from "#core/plan/adapt";
import { planRows } from "#kiosk-ui/screens/begin/plan-rows";
import { madeUpCards } from "#tests/helpers/made-up-jobs";

function rowsOf(index: number, unit: "celsius" | "fahrenheit" = "celsius") {
  const card = madeUpCards()[index];
  if (!card) throw new Error("no card");
  const bakeCase = { framework: "zirconia", caseSize: "large", bake: "second" } as const;
  const fit = effectivePlan(card, bakeCase, "furnace-1");
  if (!fit.ok) throw new Error("refused");
  return planRows(fit.plan, fit.sources, unit).map(({ label, value, sources }) => [label, value, ...sources]);
}

describe("the numbers to set", () => {
  it("stand in the order in which they are fired, each changed one with where it comes from", () => {
    expect(rowsOf(1).map((row) => row.map((text) => text.replaceAll("\u00a0", " ")))).toEqual([
      ["drying", "7:00", "6:00 from the card, +1:00 large case"],
      ["closing", "3:00"],
      ["low", "510 °C"],
      ["wait at low", "1:00"],
      ["climb", "35 K/min", "45 from the card, −10 large case"],
      ["top", "754 °C", "760 from the card, −10 large case, +4 this furnace"],
      ["hold", "0:10", "0:10 second bake, instead of 1:00"],
      ["vacuum", "60 hPa from 510 °C until the hold ends"],
      ["cooling", "40 K/min down to 560 °C"],
      ["length", "22:59"],
    ]);
  });

  it("tell every climb of several, and the adapted one is the climb to the top", () => {
    const climbs = rowsOf(2).filter(([label]) => label === "climb" || label === "top" || label === "hold");
    expect(climbs.map((row) => row.map((text) => text.replaceAll("\u00a0", " ")))).toEqual([
      ["climb", "60 K/min to 600 °C"],
      ["hold", "1:00"],
      ["climb", "30 K/min", "40 from the card, −10 large case"],
      ["top", "730 °C"],
      ["hold", "0:45"],
    ]);
  });

  it("say nothing of a wait that there is not", () => {
    const card = madeUpCards()[0];
    if (!card) throw new Error("no card");
    const plan = { ...card.plan, lowHoldSeconds: 0 };
    expect(planRows(plan, [], "celsius").map(({ label }) => label)).not.toContain("wait at low");
  });
});
