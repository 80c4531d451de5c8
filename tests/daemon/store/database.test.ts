import { copyFile, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { Connection, Database, type SqlValue } from "#daemon/store/database";

let folder: string;
let path: string;
let database: Database;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "bakeside-database-"));
  path = join(folder, "bakes.db");
  database = await Database.open(path);
  await database.write((writer) =>
    writer.run("CREATE TABLE words (word TEXT NOT NULL, number REAL NOT NULL) STRICT"),
  );
});

afterEach(async () => {
  await database.close();
  await rm(folder, { recursive: true });
});

const add = (word: string) =>
  database.write((writer) => writer.run("INSERT INTO words VALUES (?, ?)", [word, 1]));
const words = async () =>
  (await database.all<{ word: string }>("SELECT word FROM words")).map((row) => row.word);

describe("the database", () => {
  it("syncs every commit, keeps a write-ahead log, and checks what refers to what", async () => {
    const settings = await database.write(async (writer) => [
      await writer.first("PRAGMA journal_mode"),
      await writer.first("PRAGMA synchronous"),
      await writer.first("PRAGMA foreign_keys"),
      await writer.first("PRAGMA page_size"),
    ]);
    expect(settings).toEqual([
      { journal_mode: "wal" },
      { synchronous: 2 },
      { foreign_keys: 1 },
      { page_size: 8192 },
    ]);
    expect(await database.integrityCheck()).toEqual([]);
  });

  it.each([
    { value: Number.NaN, words: "number NaN" },
    { value: Number.POSITIVE_INFINITY, words: "number Infinity" },
    { value: 760n, words: "bigint 760" },
    { value: undefined, words: "undefined undefined" },
    { value: true, words: "boolean true" },
    { value: new Date(0), words: "object" },
  ])(
    "refuses to bind $words, which sqlite3 would store as something else",
    async ({ value, words: said }) => {
      const writing = database.write((writer) =>
        writer.run("INSERT INTO words VALUES (?, ?)", ["wrong", value as SqlValue]),
      );
      await expect(writing).rejects.toThrow(
        `value 2 requires a finite number, text, bytes or null, got ${said}`,
      );
      expect(await words()).toEqual([]);
    },
  );

  it("refuses a statement with a value too few, which sqlite3 would take as NULL", async () => {
    const writing = database.write((writer) => writer.run("INSERT INTO words VALUES (?, ?)", ["alone"]));
    await expect(writing).rejects.toThrow("a statement requires 2 values, got 1");
  });

  it("keeps one writer's rows when the other one fails, at the same moment", async () => {
    const failing = database.write(async (writer) => {
      await writer.run("INSERT INTO words VALUES (?, ?)", ["undone", 1]);
      await new Promise((resolve) => setImmediate(resolve));
      throw new Error("the second one fails");
    });
    const writing = add("kept");
    await expect(failing).rejects.toThrow("the second one fails");
    await writing;
    expect(await words()).toEqual(["kept"]);
  });

  it("keeps the order in which writes were asked for", async () => {
    const asked = Array.from({ length: 40 }, (_, index) => `${index}`);
    await Promise.all(asked.map((word) => add(word)));
    expect(await words()).toEqual(asked);
  });

  it("says that the disk is full, goes on reading, and writes again once there is room", async () => {
    await add("before");
    const pages = await database.first<{ page_count: number }>("PRAGMA page_count");
    await limitPages(pages?.page_count ?? 0);
    await expect(add("x".repeat(100_000))).rejects.toThrow(/bakes\.db: the disk is full\. Free some space/);
    expect(await words()).toEqual(["before"]);
    await limitPages(1_000_000);
    await add("after");
    expect(await words()).toEqual(["before", "after"]);
    expect(await database.integrityCheck()).toEqual([]);
  });

  it("refuses a file of a newer program in words", async () => {
    await database.write((writer) => writer.run("PRAGMA user_version = 99"));
    await expect(Database.open(path)).rejects.toThrow(
      /bakes\.db: written by a newer Bakeside \(tables 99, this one knows \d+\)\. Update Bakeside/,
    );
  });

  it("opens again what it has made, and leaves the tables as they are", async () => {
    await add("kept");
    const again = await Database.open(path);
    expect(await again.all("SELECT word FROM words")).toEqual([{ word: "kept" }]);
    await again.close();
  });

  it("says that a file is no database", async () => {
    const other = join(folder, "notes.db");
    await writeFile(other, "these are notes, not bakes. ".repeat(100));
    await expect(Database.open(other)).rejects.toThrow(/notes\.db: the file is damaged or not a database/);
  });

  it("says that a folder is missing", async () => {
    await expect(Database.open(join(folder, "nowhere", "bakes.db"))).rejects.toThrow(
      /the file cannot be opened\. Check that its folder exists/,
    );
  });

  it("says that another program keeps the file locked", async () => {
    const other = await Connection.open(path);
    await database.close();
    database = await Database.open(path, 20);
    await other.exec("BEGIN IMMEDIATE");
    await expect(add("late")).rejects.toThrow(/another program keeps the file locked/);
    await other.exec("ROLLBACK");
    await other.close();
    await add("later");
    expect(await words()).toEqual(["later"]);
  });

  it("is whole in a copy made after it was closed", async () => {
    await add("kept");
    await database.close();
    await copyFile(path, join(folder, "copy.db"));
    database = await Database.open(join(folder, "copy.db"));
    expect(await words()).toEqual(["kept"]);
  });
});

/** A disk of so many pages: SQLite then answers as it does on a full one (SQLITE_FULL). */
function limitPages(pages: number): Promise<unknown> {
  return database.write((writer) => writer.run(`PRAGMA max_page_count = ${pages}`));
}
