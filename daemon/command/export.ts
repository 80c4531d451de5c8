import { createWriteStream } from "node:fs";
import { access } from "node:fs/promises";
import { join, resolve } from "node:path";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { bakeCsv, bakeCsvRows, bakeJson, CSV_HEADER, type ReadSamples } from "#daemon/bake-file";
import { callOptions, wrongCall } from "#daemon/command/options";
import { GOOD, type Verb, write } from "#daemon/command/output";
import { DEFAULT_DATA_FOLDER, databaseFile } from "#daemon/config";
import { DaemonError } from "#daemon/errors";
import { openStore, type Store } from "#daemon/store/store";
import { bakeFilterSchema } from "#shared/requests";

const OPTIONS = {
  csv: { type: "boolean" },
  json: { type: "boolean" },
  out: { type: "string" },
  data: { type: "string" },
  demo: { type: "boolean" },
} as const;

const PAGE = 200;

/**
 * `bakeside export BAKE|all [--csv|--json] [--out FILE] [--data DIR] [--demo]`
 * All bakes are one CSV with the bake in front of each row, or JSON with one bake a line; oldest first.
 */
export const run: Verb = async (args, out) => {
  const { values, positionals } = callOptions("export", args, OPTIONS, ["the bake's number, or all,"]);
  const which = positionals[0] ?? "";
  if (which !== "all" && !/^[1-9]\d{0,14}$/.test(which))
    throw wrongCall("export", `"${which.slice(0, 40)}" is no bake: give its number, or all`);
  if (values.csv && values.json) throw wrongCall("export", "choose --csv or --json");
  const folder = resolve(values.data ?? process.env["BAKESIDE_DATA"] ?? DEFAULT_DATA_FOLDER);
  const store = await existingStore(join(folder, databaseFile(values.demo ?? false)));
  try {
    const text =
      which === "all" ? allBakes(store, !values.json) : oneBake(store, Number(which), !values.json);
    if (values.out === undefined) for await (const part of text) await write(out, part);
    else await writeFile(values.out, text);
    return GOOD;
  } finally {
    await store.close();
  }
};

async function existingStore(path: string): Promise<Store> {
  try {
    await access(path);
  } catch (error) {
    throw new DaemonError("file-missing", `Nothing is kept at ${path}: name the folder with --data`, error);
  }
  return openStore(path);
}

async function* oneBake(store: Store, bakeId: number, isCsv: boolean): AsyncGenerator<string> {
  const detail = await store.bakes.detail(bakeId);
  if (!detail) throw new DaemonError("not-found", `There is no bake ${bakeId}: see bakeside export all`);
  const read = reader(store, bakeId);
  yield* isCsv ? bakeCsv(read) : bakeJson(detail, read);
}

async function* allBakes(store: Store, isCsv: boolean): AsyncGenerator<string> {
  if (isCsv) yield `bake,${CSV_HEADER}`;
  for (const bakeId of await bakeIds(store))
    yield* isCsv ? bakeCsvRows(reader(store, bakeId), String(bakeId)) : oneBake(store, bakeId, false);
}

async function bakeIds(store: Store): Promise<number[]> {
  const ids: number[] = [];
  for (let offset = 0; ; offset += PAGE) {
    const { bakes } = await store.bakes.list(bakeFilterSchema.parse({ limit: PAGE, offset }));
    ids.push(...bakes.map((bake) => bake.id));
    if (bakes.length < PAGE) return ids.sort((a, b) => a - b);
  }
}

function reader(store: Store, bakeId: number): ReadSamples {
  return (afterSequence, limit) => store.bakes.samples(bakeId, afterSequence, limit);
}

async function writeFile(path: string, text: AsyncIterable<string>): Promise<void> {
  try {
    await pipeline(Readable.from(text), createWriteStream(path));
  } catch (error) {
    if (error instanceof DaemonError) throw error;
    const { code } = error as NodeJS.ErrnoException;
    throw new DaemonError(
      "file-unreadable",
      `Cannot write ${path}: ${code ?? error}. Choose another file with --out`,
      error,
    );
  }
}
