import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { cardsToBeginWith } from "#daemon/first-plans";
import { cardRefusal } from "#daemon/http/card-refusal";
import { card, paste, type TestStore, testStore } from "#tests/daemon/store/store-fixtures";

let test: TestStore;

beforeEach(async () => {
  test = await testStore();
});

afterEach(async () => {
  await test.store.close();
  await test.remove();
});

describe("what there is to begin with", () => {
  it("in a new store are invented cards, each with its invented material, all marked", async () => {
    const { plans, materials } = await cardsToBeginWith(test.store);
    expect(plans.length).toBeGreaterThan(1);
    for (const { plan, materialId, isDemonstration } of plans) {
      const material = materials.find((other) => other.materialId === materialId);
      expect({ isDemonstration, origin: material?.material.origin.kind }).toEqual({
        isDemonstration: true,
        origin: "invented",
      });
      expect(plan.name).toMatch(/^Demo /);
    }
    expect(materials.every(({ isDemonstration }) => isDemonstration)).toBe(true);
  });

  it("can all be saved again as they are: they contradict themselves in no case", async () => {
    for (const { planId: _, ...saved } of (await cardsToBeginWith(test.store)).plans)
      expect(await cardRefusal(saved, test.store)).toBeNull();
  });

  it("is given once, also when all of it is retired", async () => {
    const { plans, materials } = await cardsToBeginWith(test.store);
    for (const { planId } of plans) await test.store.plans.retire(planId, true);
    for (const { materialId } of materials) await test.store.materials.retire(materialId, true);
    const again = await cardsToBeginWith(test.store);
    expect(again.plans).toEqual(plans.map((saved) => ({ ...saved, isRetired: true })));
    expect(again.materials).toEqual(materials.map((saved) => ({ ...saved, isRetired: true })));
  });

  it("beside a lab's own cards of before are materials only, beside its own materials cards only", async () => {
    const own = await test.store.plans.create(card, false);
    const first = await cardsToBeginWith(test.store);
    expect(first.plans).toEqual([own]);
    expect(first.materials.length).toBeGreaterThan(0);
    const other = await testStore();
    const material = await other.store.materials.create(paste, false);
    const second = await cardsToBeginWith(other.store);
    expect(second.materials).toEqual([material]);
    expect(second.plans.map(({ materialId }) => materialId)).toEqual(second.plans.map(() => null));
    await other.store.close();
    await other.remove();
  });
});
