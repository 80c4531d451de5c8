import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { NewBake } from "#daemon/store/bake-store";
import { Database } from "#daemon/store/database";
import type { BakeCase } from "#shared/bake-case";
import type { BakePlan } from "#shared/plan";
import {
  bakePlanOf,
  card,
  cardOfCases,
  comparisonWithRatio,
  furnaceOne,
  paste,
  plan,
  type TestStore,
  testStore,
} from "#tests/daemon/store/store-fixtures";

const LARGE: BakeCase = { framework: "zirconia", caseSize: "large", bake: "first" };
const STARTED = 1_700_000_000_000;

let test: TestStore;

beforeEach(async () => {
  test = await testStore();
});

afterEach(async () => {
  await test.store.close();
  await test.remove();
});

const bake = (change: Partial<NewBake> = {}): NewBake => ({
  furnaceId: "one",
  plan: null,
  jobNumber: null,
  state: "running",
  isBegunByHand: true,
  startedAtEpochMilliseconds: STARTED,
  restCelsius: null,
  ...change,
});

describe("cards in the store", () => {
  it("keep adaptations, limits and material with each revision", async () => {
    const material = await test.store.materials.create(paste, false);
    const whole = { ...cardOfCases, materialId: material.materialId };
    const first = await test.store.plans.create(whole, false);
    expect(first).toMatchObject({ ...whole, revision: 1, isRetired: false });
    const second = await test.store.plans.revise(first.planId, card);
    expect(second).toMatchObject({ adaptations: [], limits: [], materialId: null, revision: 2 });
    expect(await test.store.plans.revisions(first.planId)).toEqual([second, first]);
    expect(await test.store.plans.get(first.planId, 1)).toEqual(first);
    expect(await test.store.plans.revisions(9)).toEqual([]);
  });

  it("are copied under another name, and are the lab's own then", async () => {
    const demonstration = await test.store.plans.create(cardOfCases, true);
    const copy = await test.store.plans.copy(demonstration.planId, "Our build-up");
    expect(copy).toMatchObject({
      planId: demonstration.planId + 1,
      revision: 1,
      plan: { ...plan, name: "Our build-up" },
      adaptations: cardOfCases.adaptations,
      limits: cardOfCases.limits,
      isDemonstration: false,
    });
    expect(await test.store.plans.newest()).toEqual([demonstration, copy]);
    await expect(test.store.plans.copy(9, "x")).rejects.toThrow("There is no plan 9.");
  });

  it("are retired and taken back, whatever revision", async () => {
    const { planId } = await test.store.plans.create(card, false);
    expect(await test.store.plans.retire(planId, true)).toMatchObject({ planId, isRetired: true });
    expect(await test.store.plans.revise(planId, cardOfCases)).toMatchObject({
      revision: 2,
      isRetired: true,
    });
    expect((await test.store.plans.newest()).map(({ isRetired }) => isRetired)).toEqual([true]);
    await test.store.plans.retire(planId, false);
    expect((await test.store.plans.get(planId))?.isRetired).toBe(false);
    await expect(test.store.plans.retire(9, true)).rejects.toThrow("There is no plan 9.");
  });
});

describe("materials in the store", () => {
  it("gain a revision by a change, and keep the one before", async () => {
    const first = await test.store.materials.create(paste, true);
    const second = await test.store.materials.revise(first.materialId, { ...paste, window: null });
    expect([first.revision, second.revision, second.isDemonstration]).toEqual([1, 2, true]);
    expect(await test.store.materials.newest()).toEqual([second]);
    expect(await test.store.materials.get(first.materialId)).toEqual(second);
    expect(await test.store.materials.revisions(first.materialId)).toEqual([second, first]);
    await expect(test.store.materials.revise(9, paste)).rejects.toThrow("There is no material 9.");
  });

  it.each([
    { change: "UPDATE material_revisions SET material = '{}'", why: "never edited" },
    { change: "DELETE FROM material_revisions", why: "never removed" },
  ])("are $why, not even by hand", async ({ change, why }) => {
    await test.store.materials.create(paste, false);
    const database = await Database.open(test.path);
    await expect(database.write((writer) => writer.run(change))).rejects.toThrow(
      `a material revision is ${why}`,
    );
    await database.close();
  });

  it("are retired and taken back", async () => {
    const { materialId } = await test.store.materials.create(paste, false);
    expect((await test.store.materials.retire(materialId, true)).isRetired).toBe(true);
    expect((await test.store.materials.newest())[0]?.isRetired).toBe(true);
    expect((await test.store.materials.retire(materialId, false)).isRetired).toBe(false);
    await expect(test.store.materials.retire(9, true)).rejects.toThrow("There is no material 9.");
  });

  it("that are the same in everything are found again, in use before retired", async () => {
    const retired = await test.store.materials.create(paste, false);
    await test.store.materials.retire(retired.materialId, true);
    expect((await test.store.materials.sameOrNew(paste)).materialId).toBe(retired.materialId);
    const used = await test.store.materials.create(paste, false);
    const { name, ...rest } = paste;
    expect(await test.store.materials.sameOrNew({ ...rest, name })).toEqual(used);
    const other = await test.store.materials.sameOrNew({ ...paste, referenceCelsius: 761 });
    expect(other).toMatchObject({ materialId: 3, revision: 1, material: { referenceCelsius: 761 } });
  });

  it("that were the same once, but were revised since, are not", async () => {
    const { materialId } = await test.store.materials.create(paste, false);
    await test.store.materials.revise(materialId, { ...paste, window: null });
    expect((await test.store.materials.sameOrNew(paste)).materialId).toBe(materialId + 1);
  });
});

describe("a bake of a case", () => {
  it("keeps its effective plan, where the numbers came from, its material and layers", async () => {
    const material = await test.store.materials.create(paste, false);
    const saved = await test.store.plans.create(cardOfCases, false);
    const fitted: BakePlan = {
      ...bakePlanOf(saved),
      plan: { ...plan, lowCelsius: 499 },
      case: LARGE,
      material,
      sources: [
        {
          number: "low",
          base: 510,
          parts: [
            {
              when: { kind: "case-size", caseSize: "large" },
              change: { kind: "shift", number: "low", by: -11 },
              basis: null,
            },
          ],
          value: 499,
        },
      ],
    };
    const layers = [{ name: "Build-up", material }];
    const id = await test.store.bakes.create(bake({ plan: fitted, layers }));
    await test.store.plans.revise(saved.planId, card);
    await test.store.materials.revise(material.materialId, { ...paste, window: null });
    expect(await test.store.bakes.open()).toMatchObject([{ bake: { case: LARGE }, plan: fitted, layers }]);
    expect(await test.store.bakes.detail(id)).toMatchObject({ bake: { case: LARGE }, plan: fitted, layers });
    await test.store.bakes.update(id, { plan: null, layers: [] });
    expect(await test.store.bakes.detail(id)).toMatchObject({ bake: { case: null }, plan: null, layers: [] });
  });
});

describe("bakes that are looked for", () => {
  const close = async (id: number, ratio: number | null) =>
    test.store.bakes.close(id, {
      lengthSeconds: 1,
      peakCelsius: null,
      gapSeconds: 0,
      comparison: ratio === null ? null : comparisonWithRatio(ratio),
    });

  it("by furnace are the compared ones, newest first, before another where one is named", async () => {
    await test.store.furnaces.save({ ...furnaceOne, id: "two" });
    for (const furnaceId of ["one", "one", "two", "one", "one"])
      await test.store.bakes.create(bake({ furnaceId }));
    for (const [id, ratio] of [
      [1, 1],
      [2, 1],
      [3, 1],
      [4, null],
    ] as const)
      await close(id, ratio);
    const ask = (beforeBakeId?: number) =>
      test.store.bakes.find({ kind: "compared", furnaceId: "one", beforeBakeId }, 5);
    expect(await ask()).toEqual([2, 1]);
    expect(await ask(2)).toEqual([1]);
    expect(await test.store.bakes.find({ kind: "compared", furnaceId: "one" }, 1)).toEqual([2]);
  });

  it("by job are those of the whole number, open ones too", async () => {
    for (const jobNumber of ["A-1", "A-10", "A-1", null]) await test.store.bakes.create(bake({ jobNumber }));
    await close(1, null);
    expect(await test.store.bakes.find({ kind: "of-job", jobNumber: "A-1" }, 5)).toEqual([3, 1]);
    expect(await test.store.bakes.find({ kind: "of-job", jobNumber: "a-1" }, 5)).toEqual([]);
  });

  it("by material are the graded ones that had it as card or layer, as it stands now", async () => {
    const [one, two] = [
      await test.store.materials.create(paste, false),
      await test.store.materials.create(paste, false),
    ];
    const saved = await test.store.plans.create(card, false);
    const byCard = { ...bakePlanOf(saved), material: one };
    const byLayer = [{ name: "Colour", material: one }];
    await test.store.bakes.create(bake({ plan: byCard, layers: byLayer }));
    await test.store.bakes.create(bake({ layers: byLayer }));
    await test.store.bakes.create(bake({ layers: [{ name: "Colour", material: two }] }));
    await test.store.bakes.create(bake({ plan: byCard }));
    await test.store.bakes.create(bake({ plan: byCard }));
    for (const id of [1, 2, 3, 4]) await close(id, null);
    for (const id of [1, 2, 3, 5])
      await test.store.bakes.addGrade(id, { grade: "right", note: null, by: null });
    const ask = (materialId: number) =>
      test.store.bakes.find({ kind: "graded-of-material", materialId }, 200);
    expect(await ask(1)).toEqual([2, 1]);
    expect(await ask(2)).toEqual([3]);
    await test.store.bakes.update(2, { layers: [{ name: "Colour", material: two }] });
    expect([await ask(1), await ask(2)]).toEqual([[1], [3, 2]]);
  });
});
