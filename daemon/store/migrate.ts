import { readdir, readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { DaemonError } from "#daemon/errors";
import type { Connection } from "#daemon/store/database";

const MIGRATIONS = new URL("./migrations/", import.meta.url);

/**
 * Runs the numbered SQL files that the database has not seen yet, each in a transaction of its own.
 * The number of the last one is kept in the file itself, as `user_version`.
 * @throws DaemonError `store-failed` when a newer program has written the file
 */
export async function migrate(connection: Connection, path: string): Promise<void> {
  const files = (await readdir(MIGRATIONS)).filter((name) => /^\d{4}-.*\.sql$/.test(name)).sort();
  const row = await connection.first<{ user_version: number }>("PRAGMA user_version");
  const version = row?.user_version ?? 0;
  if (version > files.length)
    throw new DaemonError(
      "store-failed",
      `${path}: written by a newer Bakeside (tables ${version}, this one knows ${files.length}). Update Bakeside, or choose another data folder.`,
    );
  for (const [index, name] of files.entries())
    if (index >= version) await applyFile(connection, name, index + 1);
}

async function applyFile(connection: Connection, name: string, version: number): Promise<void> {
  if (Number(name.slice(0, 4)) !== version)
    throw new RangeError(`migrations require numbers without holes, got ${name} as number ${version}`);
  const sql = await readFile(fileURLToPath(new URL(name, MIGRATIONS)), "utf8");
  try {
    await connection.exec(`BEGIN IMMEDIATE; ${sql}; PRAGMA user_version = ${version}; COMMIT`);
  } catch (error) {
    await connection.exec("ROLLBACK").catch(() => undefined);
    throw error;
  }
}
