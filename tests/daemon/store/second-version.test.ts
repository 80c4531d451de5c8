import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { Connection } from "#daemon/store/database";
import { openStore, type Store } from "#daemon/store/store";
import { bakeFilterSchema } from "#shared/requests";
import { comparisonWithRatio, paste, plan, probeS } from "#tests/daemon/store/store-fixtures";

const SECOND_TABLES = ["0001-bakes.sql", "0002-instruments.sql"].map(
  (name) => new URL(`../../../daemon/store/migrations/${name}`, import.meta.url),
);
/** 0 s 760.1 °C with its cold junction at 24.1 °C, 1.5 s 761 °C; written by Python from sample-chunks.md. */
const CHUNK = Buffer.from("01bd7e0f2b636264649063647c5426c4c004a4981900", "hex");
const SAVED = 1_700_000_000_000;
const revised = { ...plan, lowCelsius: 500 };

let folder: string;
let store: Store;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "bakeside-second-"));
  store = await openStore(await secondDatabase());
});

afterEach(async () => {
  await store.close();
  await rm(folder, { recursive: true });
});

/** A file as the release before cards left it: a plan of two revisions, a judged and graded bake, an open one. */
async function secondDatabase(): Promise<string> {
  const path = join(folder, "bakes.db");
  const connection = await Connection.open(path);
  const tables = await Promise.all(SECOND_TABLES.map((url) => readFile(url, "utf8")));
  await connection.exec(
    `PRAGMA journal_mode = WAL; BEGIN; ${tables.join(";")}; PRAGMA user_version = 2; COMMIT`,
  );
  await connection.exec(`
    INSERT INTO furnaces (id, name, port, baud_rate, format, is_demonstration)
      VALUES ('one', 'Furnace one', NULL, 9600, 'auto', 0);
    INSERT INTO plans (id, is_demonstration) VALUES (1, 1)`);
  for (const [index, saved] of [plan, revised].entries())
    await connection.run(
      "INSERT INTO plan_revisions (plan_id, revision, plan, saved_epoch_ms) VALUES (1, ?, ?, ?)",
      [index + 1, JSON.stringify(saved), SAVED + index],
    );
  await connection.run(
    `INSERT INTO bakes (furnace_id, plan_id, plan_revision, job_number, state, started_epoch_ms, is_demonstration,
       is_begun_by_hand, rest_celsius, length_seconds, sample_count, heat_work_ratio, comparison, grade, probe)
     VALUES ('one', 1, 1, 'J-1', 'finished', ?, 0, 1, 510, 1.5, 2, 0.9, ?, 'milky', ?)`,
    [SAVED, JSON.stringify(comparisonWithRatio(0.9)), JSON.stringify(probeS)],
  );
  await connection.run(
    "INSERT INTO grades (bake_id, grade, note, given_by, graded_epoch_ms) VALUES (1, 'milky', NULL, 'Ada', ?)",
    [SAVED],
  );
  await connection.run(
    "INSERT INTO sample_chunks (bake_id, first_sequence, sample_count, chunk) VALUES (1, 0, 2, ?)",
    [CHUNK],
  );
  await connection.exec(`
    INSERT INTO bakes (furnace_id, plan_id, plan_revision, state, started_epoch_ms, is_demonstration, is_begun_by_hand, rest_celsius)
      VALUES ('one', 1, 2, 'running', ${SAVED + 1}, 0, 0, 510);
    INSERT INTO samples (bake_id, sequence, at_seconds, celsius, received_epoch_ms) VALUES (2, 0, 0, 510.5, ${SAVED + 1})`);
  await connection.close();
  return path;
}

const basePlan = (revision: number) => ({
  planId: 1,
  revision,
  plan: revision === 1 ? plan : revised,
  savedAtEpochMilliseconds: SAVED + revision - 1,
  isDemonstration: true,
});

describe("a file of the release before cards", () => {
  it("has its plans as cards without adaptations, none retired", async () => {
    const beside = { adaptations: [], limits: [], materialId: null, isRetired: false };
    const [first, second] = [basePlan(1), basePlan(2)].map((saved) => ({ ...saved, ...beside }));
    expect(await store.plans.newest()).toEqual([second]);
    expect(await store.plans.revisions(1)).toEqual([second, first]);
    expect(await store.materials.newest()).toEqual([]);
    expect(await store.integrityCheck()).toEqual([]);
  });

  it("has its bakes with the plan as they ran it, no case and no layers", async () => {
    const asSaved = { case: null, sources: [], material: null };
    expect(await store.bakes.detail(1)).toMatchObject({
      bake: { planName: plan.name, jobNumber: "J-1", grade: "milky", heatWorkRatio: 0.9, case: null },
      plan: { ...basePlan(1), ...asSaved },
      comparison: comparisonWithRatio(0.9),
      grades: [{ grade: "milky", by: "Ada" }],
      probe: probeS,
      layers: [],
    });
    expect(await store.bakes.open()).toMatchObject([
      { bake: { id: 2, case: null }, plan: { ...basePlan(2), ...asSaved }, layers: [] },
    ]);
    expect((await store.bakes.list(bakeFilterSchema.parse({}))).bakes.map(({ case: of }) => of)).toEqual([
      null,
      null,
    ]);
    expect(await store.bakes.samples(1)).toHaveLength(2);
  });

  it("takes adaptations, layers and a case from then on", async () => {
    const material = await store.materials.create(paste, false);
    const newest = await store.plans.revise(1, {
      plan,
      adaptations: [],
      limits: [],
      materialId: material.materialId,
    });
    expect(newest).toMatchObject({ revision: 3, isDemonstration: true, materialId: 1 });
    const bakeCase = { framework: "metal", caseSize: "large", bake: "first" } as const;
    const fitted = { ...basePlan(1), case: bakeCase, sources: [], material };
    await store.bakes.update(1, { plan: fitted, layers: [{ name: "Build-up", material }] });
    expect(await store.bakes.detail(1)).toMatchObject({
      bake: { case: bakeCase },
      plan: fitted,
      layers: [{ name: "Build-up", material }],
    });
    expect(await store.bakes.find({ kind: "graded-of-material", materialId: 1 }, 5)).toEqual([1]);
  });
});
