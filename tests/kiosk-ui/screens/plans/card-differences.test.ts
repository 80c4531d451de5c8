import { describe, expect, it } from "vitest";
import { cardDifferences } from "#kiosk-ui/screens/plans/card-differences";
import { withLimit, withPlan, withStep, withVacuum } from "#kiosk-ui/screens/plans/card-draft";
import type { Card } from "#shared/plan";
import { madeUpCard } from "#tests/helpers/made-up-card";

function said(before: Card, after: Card): string[] {
  return cardDifferences(before, after, {
    unit: "celsius",
    furnaces: [{ id: "furnace-1", name: "Furnace 1" }],
    material: (id) => `Paste ${id}`,
  }).map((line) => line.replaceAll("\u00a0", " "));
}

const card = madeUpCard();
const large = card.adaptations[0] ?? null;
const lower = (by: number): Card => ({
  ...card,
  adaptations: card.adaptations.map((one) =>
    one === large ? { ...one, changes: [{ kind: "shift", number: "top", by }] } : one,
  ),
});

describe("what a revision changed", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "a name",               after: withPlan(card, { name: "Build-up, high" }),                              says: ["name Build-up, high, was Build-up"] },
    { what: "drying",               after: withPlan(card, { dryingSeconds: 420 }),                                  says: ["drying 7:00, was 6:00"] },
    { what: "a top",                after: withStep(card, 0, { kind: "climb", toCelsius: 755, kelvinPerMinute: 45 }), says: ["climb 1 to 755 °C, was 760 °C"] },
    { what: "a rate",               after: withStep(card, 0, { kind: "climb", toCelsius: 760, kelvinPerMinute: 40 }), says: ["climb 1 at 40 K/min, was 45 K/min"] },
    { what: "a hold",               after: withStep(card, 1, { kind: "hold", seconds: 30 }),                        says: ["hold 1 0:30, was 1:00"] },
    { what: "a climb more",         after: withPlan(card, { steps: [...card.plan.steps, { kind: "climb", toCelsius: 800, kelvinPerMinute: 30 }, { kind: "hold", seconds: 20 }] }),
      says: ["climb 2 to 800 °C at 30 K/min, hold 2 0:20 added"] },
    { what: "no vacuum",            after: withVacuum(card, false),                                                 says: ["vacuum none, in air, was 60 hPa from 510 °C until the hold ends"] },
    { what: "cooling",              after: withPlan(card, { cooling: { kind: "free", openAtCelsius: 550 } }),       says: ["cooling free, opens at 550 °C, was free"] },
    { what: "notes",                after: withPlan(card, { notes: "Dry well." }),                                  says: ["notes changed"] },
    { what: "an adaptation",        after: lower(-15),                                                              says: ["large case: top 15 K lower, was top 10 K lower"] },
    { what: "one adaptation fewer", after: { ...card, adaptations: card.adaptations.slice(1) },                     says: ["large case: top 10 K lower taken out"] },
    { what: "a furnace's",          after: { ...card, adaptations: [...card.adaptations, { when: { kind: "furnace" as const, furnaceId: "furnace-1" }, changes: [{ kind: "shift" as const, number: "top" as const, by: 4 }] }] },
      says: ["Furnace 1: top 4 K higher added"] },
    { what: "a limit",              after: withLimit(card, "lithium-disilicate", 790),                              says: ["highest for lithium disilicate 790 °C, was none"] },
    { what: "the material",         after: { ...card, materialId: 2 },                                              says: ["material Paste 2, was none"] },
  ])("is said of $what", ({ after, says }) => {
    expect(said(card, after)).toEqual(says);
  });

  it("is nothing of an equal card, whatever the order of its adaptations", () => {
    expect(said(card, { ...card, adaptations: [...card.adaptations].reverse() })).toEqual([]);
  });

  it("is what an adaptation rests on, where that alone changed", () => {
    const other = card.adaptations.map((one) => (one === large ? { ...one, basis: "our own trials" } : one));
    expect(said(card, { ...card, adaptations: other })).toEqual(["large case: what it rests on changed"]);
  });

  it("is said the other way round when it is taken back", () => {
    const longer = withPlan(card, { dryingSeconds: 420 });
    expect(said(longer, card)).toEqual(["drying 6:00, was 7:00"]);
  });
});
