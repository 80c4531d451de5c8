import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { Connection } from "#daemon/store/database";
import { openStore, type Store } from "#daemon/store/store";
import { UNKNOWN_PROBE } from "#shared/probe";
import { bakeFilterSchema } from "#shared/requests";

const FIRST_TABLES = new URL("../../../daemon/store/migrations/0001-bakes.sql", import.meta.url);
/** As the first release itself kept it, of an invented bake beside a demonstration plan. */
const FIRST_COMPARISON = new URL("./first-comparison.json", import.meta.url);
/** 0 s 760.1 °C with its cold junction at 24.1 °C, 1.5 s 761 °C; written by Python from sample-chunks.md. */
const FIRST_CHUNK = Buffer.from("01bd7e0f2b636264649063647c5426c4c004a4981900", "hex");

let folder: string;
let store: Store | null = null;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "bakeside-first-"));
});

afterEach(async () => {
  await store?.close();
  store = null;
  await rm(folder, { recursive: true });
});

/** A file as the first release left it: a furnace, a finished bake with its chunk, an open bake. */
async function firstDatabase(): Promise<string> {
  const path = join(folder, "bakes.db");
  const connection = await Connection.open(path);
  await connection.exec(`PRAGMA journal_mode = WAL; BEGIN; ${await readFile(FIRST_TABLES, "utf8")};
    PRAGMA user_version = 1; COMMIT`);
  await connection.exec(`
    INSERT INTO furnaces (id, name, port, baud_rate, format, is_demonstration)
      VALUES ('one', 'Furnace one', '/dev/ttyUSB0', 19200, 'auto', 0);
    INSERT INTO bakes (furnace_id, state, started_epoch_ms, is_demonstration, is_begun_by_hand, rest_celsius, length_seconds, sample_count)
      VALUES ('one', 'finished', 1700000000000, 0, 0, 500, 1.5, 2), ('one', 'running', 1700000100000, 0, 0, 500, 0, 0);
    INSERT INTO samples (bake_id, sequence, at_seconds, celsius, hectopascals, instrument_seconds, received_epoch_ms)
      VALUES (2, 0, 0, 510.5, 1013, 7, 1700000100000), (2, 1, 1, 511, NULL, 8, 1700000101000)`);
  await connection.run(
    "INSERT INTO sample_chunks (bake_id, first_sequence, sample_count, chunk) VALUES (1, 0, 2, ?)",
    [FIRST_CHUNK],
  );
  await connection.run("UPDATE bakes SET comparison = ? WHERE id = 1", [
    await readFile(FIRST_COMPARISON, "utf8"),
  ]);
  await connection.close();
  return path;
}

describe("a file of the first release", () => {
  it("opens with everything in it as it was, its probes unknown", async () => {
    store = await openStore(await firstDatabase());
    expect(await store.furnaces.list()).toEqual([
      {
        id: "one",
        name: "Furnace one",
        port: "/dev/ttyUSB0",
        baudRate: 19200,
        framing: "8N1",
        format: "auto",
        probe: UNKNOWN_PROBE,
        checkDueEpochMilliseconds: null,
        isDemonstration: false,
      },
    ]);
    expect(await store.bakes.samples(1)).toEqual([
      { atSeconds: 0, celsius: 760.1, coldJunctionCelsius: 24.1 },
      { atSeconds: 1.5, celsius: 761 },
    ]);
    expect(await store.bakes.samples(2)).toEqual([
      { atSeconds: 0, celsius: 510.5, hectopascals: 1013 },
      { atSeconds: 1, celsius: 511 },
    ]);
    expect(await store.bakes.detail(1)).toMatchObject({ probe: null, sensorFaults: [] });
    expect(await store.bakes.open()).toMatchObject([{ bake: { id: 2 }, probe: null, sensorFaults: [] }]);
    expect((await store.bakes.list(bakeFilterSchema.parse({}))).total).toBe(2);
    expect(await store.checks.list("one")).toEqual([]);
    expect(await store.integrityCheck()).toEqual([]);
  });

  it("keeps its verdicts readable; how sure they were was not reckoned then", async () => {
    store = await openStore(await firstDatabase());
    const kept = JSON.parse(await readFile(FIRST_COMPARISON, "utf8"));
    expect(kept).not.toHaveProperty("uncertainty");
    expect((await store.bakes.detail(1))?.comparison).toEqual({ ...kept, uncertainty: null });
  });

  it("takes what is new from then on, and closes its open bake", async () => {
    store = await openStore(await firstDatabase());
    await store.bakes.appendSamples(2, 2, [
      { atSeconds: 2, celsius: 512, millivolts: 4.321, receivedAtEpochMilliseconds: 1_700_000_102_000 },
    ]);
    await store.bakes.close(2, { lengthSeconds: 2, peakCelsius: 512, gapSeconds: 0, comparison: null });
    expect((await store.bakes.samples(2)).at(-1)).toEqual({ atSeconds: 2, celsius: 512, millivolts: 4.321 });
  });
});
