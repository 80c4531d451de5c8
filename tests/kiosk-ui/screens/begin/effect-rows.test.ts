import { describe, expect, it } from "vitest";
import { adaptationEffects } from "#core/plan/adaptation-effects";
import { effectRows } from "#kiosk-ui/screens/begin/effect-rows";
import { madeUpCards } from "#tests/helpers/made-up-jobs";

const settings = { activationEnergyJoulesPerMole: 375_000, material: null };

function rowsFor(bake: "first" | "second", caseSize: "small" | "large", furnaceId: string) {
  const card = madeUpCards()[1];
  if (!card) throw new Error("no card");
  const effects = adaptationEffects(card, { framework: "zirconia", caseSize, bake }, furnaceId, settings);
  if (!effects) throw new Error("refused");
  return effectRows(effects);
}

const factor = (text: string) => Number(text.replace(/^×\u00a0/, ""));

describe("what the adaptations do", () => {
  it("is a row each, and one for all of them, to which the factors multiply", () => {
    const rows = rowsFor("second", "large", "furnace-1");
    expect(rows.map(({ name }) => name)).toEqual(["large case", "second bake", "this furnace", "in all"]);
    for (const side of ["chamber", "ware"] as const) {
      const product = rows.slice(0, -1).reduce((whole, row) => whole * factor(row[side]), 1);
      expect(product).toBeCloseTo(factor(rows.at(-1)?.[side] ?? ""), 1);
    }
  });

  it("names what each rests on, and the direction of the length", () => {
    const [large, second] = rowsFor("second", "large", "furnace-2");
    expect(large).toMatchObject({ basis: "common practice, no source" });
    expect(large?.length).toMatch(/^\+\d:\d\d$/);
    expect(second?.length).toBe("−0:50");
  });

  it("is nothing where nothing applies, and one row needs no sum", () => {
    expect(rowsFor("first", "small", "furnace-2")).toEqual([]);
    expect(rowsFor("first", "small", "furnace-1")).toHaveLength(1);
  });
});
