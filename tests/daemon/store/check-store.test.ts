import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { Database } from "#daemon/store/database";
import { type Check, checkRequestSchema } from "#shared/check";
import { furnaceOne, probeS, type TestStore, testStore } from "#tests/daemon/store/store-fixtures";

let test: TestStore;

beforeEach(async () => {
  test = await testStore();
  await test.store.furnaces.save({ ...furnaceOne, probe: probeS });
});

afterEach(async () => {
  await test.store.close();
  await test.remove();
});

const request = checkRequestSchema.parse({
  kind: "reference",
  points: [{ readingCelsius: 897, referenceCelsius: 900 }],
  referenceExpandedKelvin: 1.2,
  by: "Ada",
});

const result: Check["result"] = {
  points: [{ readingCelsius: 897, trueCelsius: 900, differenceKelvin: -3 }],
  worstDifferenceKelvin: -3,
  expandedUncertaintyKelvin: 1.3,
  coverageFactor: 2,
  limitKelvin: 5,
  verdict: "within",
  correction: [{ readingCelsius: 897, correctionKelvin: 3 }],
  plateau: null,
};

const add = (furnaceId = "one") =>
  test.store.checks.add({ furnaceId, thermocoupleType: "S", request, result });
const correction = async (furnaceId = "one") =>
  (await test.store.furnaces.get(furnaceId))?.probe.correction ?? null;
const kinds = async () => (await test.store.checks.corrections("one")).map(({ kind }) => kind);

describe("checks in the store", () => {
  it("are kept with what was asked and what it came to, newest first, and correct nothing by themselves", async () => {
    const first = await add();
    const second = await add();
    expect(second).toMatchObject({ id: 2, furnaceId: "one", request, result, accepted: null });
    expect(await test.store.checks.list("one")).toEqual([second, first]);
    expect(await test.store.checks.get("one", 1)).toEqual({ check: first, thermocoupleType: "S" });
    expect(await correction()).toBeNull();
  });

  it("are those of their own furnace", async () => {
    await test.store.furnaces.save({ ...furnaceOne, id: "two" });
    await add("two");
    expect(await test.store.checks.list("one")).toEqual([]);
    expect(await test.store.checks.get("one", 1)).toBeUndefined();
  });

  it("that are accepted correct their furnace from then on", async () => {
    const accepted = await test.store.checks.accept(await add(), "Ada");
    expect(accepted).toMatchObject({
      checkId: 1,
      acceptedBy: "Ada",
      points: result.correction,
      expandedUncertaintyKelvin: 1.3,
      coverageFactor: 2,
    });
    expect(await correction()).toEqual(accepted);
    const [check] = await test.store.checks.list("one");
    expect(check?.accepted).toEqual({ atEpochMilliseconds: accepted.acceptedAtEpochMilliseconds, by: "Ada" });
  });

  it("are accepted once while they are in force, and may be again after they were withdrawn", async () => {
    const check = await add();
    await test.store.checks.accept(check, null);
    await expect(test.store.checks.accept(check, null)).rejects.toThrow("Check 1 is accepted already");
    await test.store.checks.withdraw("one", "Bo");
    expect(await correction()).toBeNull();
    await expect(test.store.checks.withdraw("one", null)).rejects.toThrow("nothing to withdraw");
    await test.store.checks.accept(check, null);
    expect((await correction())?.checkId).toBe(1);
    expect((await test.store.checks.corrections("one")).map(({ kind, by }) => [kind, by])).toEqual([
      ["accepted", null],
      ["withdrawn", "Bo"],
      ["accepted", null],
    ]);
  });

  it("give way to a later one, and the history keeps both", async () => {
    await test.store.checks.accept(await add(), null);
    await test.store.checks.accept(await add(), null);
    expect((await correction())?.checkId).toBe(2);
    expect((await test.store.checks.corrections("one")).map(({ checkId }) => checkId)).toEqual([1, 2]);
  });

  it("lose their correction with another type of thermocouple, and the history says why", async () => {
    await test.store.checks.accept(await add(), null);
    await test.store.furnaces.save({ ...furnaceOne, probe: { ...probeS, positionKelvin: 3 } });
    expect(await kinds()).toEqual(["accepted"]);
    const saved = await test.store.furnaces.save({ ...furnaceOne, probe: { ...probeS, type: "R" } });
    expect(saved.probe).toEqual({ ...probeS, type: "R" });
    expect(await kinds()).toEqual(["accepted", "type-changed"]);
    await test.store.furnaces.save({ ...furnaceOne, probe: probeS });
    expect(await correction()).toBeNull();
  });

  it.each([
    ["UPDATE checks SET result = '{}'", "a check is never edited"],
    ["DELETE FROM checks", "a check is never removed"],
    ["UPDATE corrections SET changed_by = 'nobody'", "a change of a correction is never edited"],
    ["DELETE FROM corrections", "a change of a correction is never removed"],
  ])("stay as they were, even by hand: %s", async (sql, refusal) => {
    await test.store.checks.accept(await add(), null);
    const database = await Database.open(test.path);
    await expect(database.write((writer) => writer.run(sql))).rejects.toThrow(refusal);
    await database.close();
  });
});
