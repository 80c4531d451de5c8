import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { NewBake, RecordedSample } from "#daemon/store/bake-store";
import { Database } from "#daemon/store/database";
import { bakeFilterSchema } from "#shared/requests";
import {
  bakePlanOf,
  card,
  comparisonWithRatio,
  furnaceOne,
  openCircuit,
  plan,
  probeS,
  type TestStore,
  testStore,
} from "#tests/daemon/store/store-fixtures";

let test: TestStore;

beforeEach(async () => {
  test = await testStore();
});

afterEach(async () => {
  await test.store.close();
  await test.remove();
});

const started = 1_700_000_000_000;
const bake = (change: Partial<NewBake> = {}): NewBake => ({
  furnaceId: "one",
  plan: null,
  jobNumber: null,
  state: "running",
  isBegunByHand: false,
  startedAtEpochMilliseconds: started,
  restCelsius: 500.25,
  ...change,
});
const climb = (count: number, from = 0): RecordedSample[] =>
  Array.from({ length: count }, (_, index) => ({
    atSeconds: from + index,
    celsius: 500 + 0.75 * (from + index),
    ...(index % 2 === 0 && { hectopascals: 1013.25 }),
    instrumentSeconds: 9000 + from + index,
    receivedAtEpochMilliseconds: started + 1000 * (from + index),
  }));
const measured = (samples: readonly RecordedSample[]) =>
  samples.map(({ instrumentSeconds: _, receivedAtEpochMilliseconds: __, ...sample }) => sample);
const result = {
  lengthSeconds: 99,
  peakCelsius: 574.25,
  gapSeconds: 0,
  comparison: comparisonWithRatio(0.9),
};
const list = (filter: object = {}) => test.store.bakes.list(bakeFilterSchema.parse(filter));

describe("furnaces in the store", () => {
  it("are replaced by what is saved under the same id", async () => {
    await test.store.furnaces.save({ ...furnaceOne, port: "/dev/ttyUSB0", baudRate: 19200 });
    await test.store.furnaces.save({ ...furnaceOne, id: "two", isDemonstration: true });
    expect(await test.store.furnaces.list()).toEqual([
      { ...furnaceOne, port: "/dev/ttyUSB0", baudRate: 19200 },
      { ...furnaceOne, id: "two", isDemonstration: true },
    ]);
    expect(await test.store.furnaces.get("three")).toBeUndefined();
  });

  it("keep how they are read, their probe and when the next check is due", async () => {
    const furnace = {
      ...furnaceOne,
      framing: "7E1" as const,
      probe: probeS,
      checkDueEpochMilliseconds: started,
    };
    expect(await test.store.furnaces.save(furnace)).toEqual(furnace);
    expect(await test.store.furnaces.get("one")).toEqual(furnace);
    expect(await test.store.furnaces.list()).toEqual([furnace]);
  });

  it("take no correction from whoever saves them: only an accepted check makes one", async () => {
    const correction = {
      checkId: 1,
      acceptedAtEpochMilliseconds: started,
      acceptedBy: null,
      points: [{ readingCelsius: 900, correctionKelvin: 3 }],
      expandedUncertaintyKelvin: 1,
      coverageFactor: 2,
    };
    const saved = await test.store.furnaces.save({ ...furnaceOne, probe: { ...probeS, correction } });
    expect(saved.probe.correction).toBeNull();
    expect((await test.store.furnaces.get("one"))?.probe).toEqual(probeS);
  });
});

describe("plans in the store", () => {
  it("gain a revision by a change, and keep the one before", async () => {
    const first = await test.store.plans.create(card, true);
    const second = await test.store.plans.revise(first.planId, {
      ...card,
      plan: { ...plan, lowCelsius: 500 },
    });
    expect([first.revision, second.revision, second.isDemonstration]).toEqual([1, 2, true]);
    expect(await test.store.plans.get(first.planId, 1)).toEqual(first);
    expect(await test.store.plans.get(first.planId)).toEqual(second);
    expect(await test.store.plans.newest()).toEqual([second]);
    expect(await test.store.plans.get(7)).toBeUndefined();
  });

  it("cannot be edited, not even by hand", async () => {
    await test.store.plans.create(card, false);
    const database = await Database.open(test.path);
    const editing = database.write((writer) => writer.run("UPDATE plan_revisions SET plan = '{}'"));
    await expect(editing).rejects.toThrow("a plan revision is never edited");
    await database.close();
  });

  it("that are unknown cannot be revised", async () => {
    await expect(test.store.plans.revise(7, card)).rejects.toThrow("There is no plan 7.");
  });
});

describe("a bake in the store", () => {
  it("keeps what its thermocouple gave, to 0.1 µV, open and finished", async () => {
    const id = await test.store.bakes.create(bake());
    const samples = climb(3).map((sample, index) => ({
      ...sample,
      ...(index !== 1 && { millivolts: 4.2333 + index }),
    }));
    await test.store.bakes.appendSamples(id, 0, samples);
    expect(await test.store.bakes.samples(id)).toEqual(measured(samples));
    await test.store.bakes.close(id, result);
    expect(await test.store.bakes.samples(id)).toEqual(measured(samples));
  });

  it("keeps the probe that it ran with, whatever the furnace gets later, and what was wrong with it", async () => {
    const id = await test.store.bakes.create(bake({ probe: probeS }));
    await test.store.furnaces.save({ ...furnaceOne, probe: { ...probeS, type: "K" } });
    await test.store.bakes.update(id, { sensorFaults: [openCircuit] });
    expect(await test.store.bakes.open()).toMatchObject([{ probe: probeS, sensorFaults: [openCircuit] }]);
    await test.store.bakes.close(id, result);
    expect(await test.store.bakes.detail(id)).toMatchObject({ probe: probeS, sensorFaults: [openCircuit] });
    await test.store.bakes.update(id, { result: { ...result, sensorFaults: [] } });
    expect((await test.store.bakes.detail(id))?.sensorFaults).toEqual([]);
  });

  it("keeps its samples, open and finished, also across chunks", async () => {
    const id = await test.store.bakes.create(bake());
    await test.store.bakes.appendSamples(id, 0, climb(3000));
    await test.store.bakes.appendSamples(id, 3000, climb(1200, 3000));
    const all = measured([...climb(3000), ...climb(1200, 3000)]);
    expect(await test.store.bakes.samples(id)).toEqual(all);
    expect(await test.store.bakes.samples(id, 2998, 3)).toEqual(all.slice(2999, 3002));
    await test.store.bakes.close(id, result);
    expect(await test.store.bakes.samples(id)).toEqual(all);
    expect(await test.store.bakes.samples(id, 3598, 3)).toEqual(all.slice(3599, 3602));
    expect(await test.store.bakes.samples(id, 4199)).toEqual([]);
    expect((await test.store.bakes.detail(id))?.bake.sampleCount).toBe(4200);
  });

  it("takes the same samples twice, after a failure that was none, as once", async () => {
    const id = await test.store.bakes.create(bake());
    await test.store.bakes.appendSamples(id, 0, climb(10));
    await test.store.bakes.appendSamples(id, 0, climb(12));
    expect(await test.store.bakes.samples(id)).toEqual(measured(climb(12)));
  });

  it("keeps nothing of a batch with a number that is none", async () => {
    const id = await test.store.bakes.create(bake());
    const broken = [...climb(2), { ...climb(1, 2)[0], celsius: Number.NaN } as RecordedSample];
    await expect(test.store.bakes.appendSamples(id, 0, broken)).rejects.toThrow("requires a finite number");
    expect(await test.store.bakes.samples(id)).toEqual([]);
  });

  it("is closed with its verdict, its chunks queued and its live rows gone, all in one", async () => {
    const revision = await test.store.plans.create(card, false);
    const id = await test.store.bakes.create(bake({ plan: bakePlanOf(revision), jobNumber: "J-12" }));
    await test.store.bakes.appendSamples(id, 0, climb(100));
    await test.store.bakes.close(id, result);
    const detail = await test.store.bakes.detail(id);
    expect(detail).toEqual({
      bake: {
        id,
        furnaceId: "one",
        furnaceName: "Furnace one",
        planId: revision.planId,
        planRevision: 1,
        planName: "Layer, first bake",
        jobNumber: "J-12",
        state: "finished",
        startedAtEpochMilliseconds: started,
        lengthSeconds: 99,
        sampleCount: 100,
        peakCelsius: 574.25,
        heatWorkRatio: 0.9,
        equivalentOffsetKelvin: 0,
        gapSeconds: 0,
        grade: null,
        isDemonstration: false,
        case: null,
      },
      plan: bakePlanOf(revision),
      comparison: comparisonWithRatio(0.9),
      grades: [],
      note: null,
      probe: null,
      sensorFaults: [],
      layers: [],
    });
    const database = await Database.open(test.path);
    expect(await database.first("SELECT count(*) AS rows FROM samples")).toEqual({ rows: 0 });
    expect(await database.first("SELECT count(*) AS rows FROM outbox")).toEqual({ rows: 1 });
    await database.close();
    await expect(test.store.bakes.close(id, result)).rejects.toThrow(`Bake ${id} is not open.`);
  });

  it("that was open comes back with everything needed to go on", async () => {
    const revision = await test.store.plans.create(card, false);
    const id = await test.store.bakes.create(bake({ plan: bakePlanOf(revision) }));
    await test.store.bakes.appendSamples(id, 0, climb(5));
    await test.store.bakes.update(id, { note: "second try" });
    const open = await test.store.bakes.open();
    expect(open).toMatchObject([
      {
        bake: { id, state: "running", sampleCount: 5, lengthSeconds: 4, peakCelsius: 503 },
        plan: bakePlanOf(revision),
        layers: [],
        note: "second try",
        restCelsius: 500.25,
        samples: climb(5),
      },
    ]);
  });

  it("shows its newest grade and keeps them all", async () => {
    const id = await test.store.bakes.create(bake());
    await test.store.bakes.addGrade(id, { grade: "milky", note: null, by: null });
    await test.store.bakes.addGrade(id, { grade: "right", note: "after all", by: "Ada" });
    const detail = await test.store.bakes.detail(id);
    expect(detail?.bake.grade).toBe("right");
    expect(detail?.grades.map(({ grade, note, by }) => [grade, note, by])).toEqual([
      ["milky", null, null],
      ["right", "after all", "Ada"],
    ]);
    await expect(test.store.bakes.addGrade(99, { grade: "raw", note: null, by: null })).rejects.toThrow(
      "There is no bake 99.",
    );
  });

  it("needs a furnace that is known", async () => {
    await expect(test.store.bakes.create(bake({ furnaceId: "nine" }))).rejects.toThrow(
      "There is no furnace nine. Add it first.",
    );
  });

  it("remembers where its recording was interrupted", async () => {
    const id = await test.store.bakes.create(bake());
    const interruption = {
      sequence: 5,
      gapSeconds: 31.5,
      toldBy: "instrument",
      resumedAtEpochMilliseconds: started,
    } as const;
    await test.store.bakes.appendSamples(id, 5, climb(2), interruption);
    expect(await test.store.bakes.interruptions(id)).toEqual([interruption]);
  });

  it("keeps no interruption without the samples that follow on it", async () => {
    const id = await test.store.bakes.create(bake());
    const interruption = {
      sequence: 5,
      gapSeconds: 31.5,
      toldBy: "instrument",
      resumedAtEpochMilliseconds: 1,
    } as const;
    const broken = [{ ...climb(1)[0], celsius: Number.NaN } as RecordedSample];
    await expect(test.store.bakes.appendSamples(id, 5, broken, interruption)).rejects.toThrow(
      "finite number",
    );
    expect(await test.store.bakes.interruptions(id)).toEqual([]);
  });
});

describe("the list of bakes", () => {
  beforeEach(async () => {
    const revision = await test.store.plans.create(card, false);
    await test.store.furnaces.save({ ...furnaceOne, id: "two" });
    await test.store.bakes.create(bake({ jobNumber: "A-100" }));
    await test.store.bakes.create(bake({ jobNumber: "a-101", plan: bakePlanOf(revision) }));
    await test.store.bakes.create(bake({ furnaceId: "two", startedAtEpochMilliseconds: 1000 }));
    await test.store.bakes.addGrade(2, { grade: "right", note: null, by: null });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { filter: {},                                 ids: [3, 2, 1] },
    { filter: { furnaceId: "two" },               ids: [3] },
    { filter: { planId: "1" },                    ids: [2] },
    { filter: { grade: "right" },                 ids: [2] },
    { filter: { grade: "none" },                  ids: [3, 1] },
    { filter: { job: "a-1" },                     ids: [2, 1] },
    { filter: { job: "%" },                       ids: [] },
    { filter: { fromEpochMilliseconds: "2000" },  ids: [2, 1] },
    { filter: { toEpochMilliseconds: "2000" },    ids: [3] },
    { filter: { furnaceId: "one", grade: "none" }, ids: [1] },
  ])("filtered by $filter has $ids, newest first", async ({ filter, ids }) => {
    const { bakes, total } = await list(filter);
    expect(bakes.map(({ id }) => id)).toEqual(ids);
    expect(total).toBe(ids.length);
  });

  it("comes in pages, and says how many there are in all", async () => {
    const { bakes, total } = await list({ limit: "1", offset: "1" });
    expect([bakes.map(({ id }) => id), total]).toEqual([[2], 3]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { filter: {},                   step: /^SCAN bakes$/ }, // by row id, newest first: ends with the page
    { filter: { furnaceId: "one" }, step: /^SEARCH bakes USING INDEX bakes_by_furnace/ },
    { filter: { planId: 1 },        step: /^SEARCH bakes USING INDEX bakes_by_plan/ },
    { filter: { grade: "right" },   step: /^SEARCH bakes USING INDEX bakes_by_grade/ },
  ])("filtered by $filter is read in order from an index, never sorted", async ({ filter, step }) => {
    const steps = await test.store.bakes.explainList(bakeFilterSchema.parse(filter));
    expect(steps).toContainEqual(expect.stringMatching(step));
    expect(steps.join("\n")).not.toContain("USE TEMP B-TREE");
  });
});
