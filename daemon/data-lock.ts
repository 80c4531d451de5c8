import { mkdir, open, readFile, unlink } from "node:fs/promises";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { DaemonError } from "#daemon/errors";

const LOCK_FILE = "bakeside.lock";

/** A daemon that was just told to stop gets so long to do it. */
const PATIENCE_MILLISECONDS = 2_000;
const LOOK_EVERY_MILLISECONDS = 100;

/** Holds a data folder until it is released. */
export interface DataLock {
  release(): Promise<void>;
}

/**
 * Makes the data folder where it is missing, and keeps other daemons out of it. A lock left behind by a process
 * that has ended, or by another boot of this machine, counts for nothing.
 * @throws DaemonError `conflict` when another daemon uses it, `store-failed` when it cannot be used at all
 */
export async function lockDataFolder(folder: string): Promise<DataLock> {
  const path = join(folder, LOCK_FILE);
  try {
    await mkdir(folder, { recursive: true });
    const own = await processMark(process.pid);
    if (!(await created(path, own))) await replaceStaleLock(folder, path, own);
    return { release: () => unlink(path).catch(() => undefined) };
  } catch (error) {
    if (error instanceof DaemonError) throw error;
    throw new DaemonError(
      "store-failed",
      `Cannot use the data folder ${folder}: ${words(error)}. Choose another with --data.`,
      error,
    );
  }
}

async function replaceStaleLock(folder: string, path: string, own: string): Promise<void> {
  for (let waited = 0; ; waited += LOOK_EVERY_MILLISECONDS) {
    const holder = await holderOf(path);
    if (holder === null) break;
    if (waited >= PATIENCE_MILLISECONDS) throw inUse(folder, holder);
    await pause(LOOK_EVERY_MILLISECONDS);
  }
  await unlink(path).catch(() => undefined);
  if (!(await created(path, own))) throw inUse(folder, await holderOf(path));
}

/** Id of the process that holds the lock; null when none does. */
async function holderOf(path: string): Promise<number | null> {
  const left = await readFile(path, "utf8").catch(() => "");
  const id = Number(/^\d+/.exec(left)?.[0]);
  return id > 0 && id !== process.pid && (await processMark(id)) === left ? id : null;
}

function inUse(folder: string, id: number | null): DaemonError {
  const who = id === null ? "" : ` (process ${id})`;
  return new DaemonError(
    "conflict",
    `Another bakeside${who} uses the data folder ${folder}. Stop it, or choose another with --data.`,
  );
}

async function created(path: string, content: string): Promise<boolean> {
  try {
    const file = await open(path, "wx");
    await file.writeFile(content);
    await file.close();
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST") return false;
    throw error;
  }
}

/** Its id with boot and start time, since ids come round again; the id alone where the system tells no more. */
async function processMark(id: number): Promise<string> {
  try {
    const [boot, stat] = await Promise.all([
      readFile("/proc/sys/kernel/random/boot_id", "utf8"),
      readFile(`/proc/${id}/stat`, "utf8"),
    ]);
    const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
    const hasEnded = fields[0] === "Z" || fields[0] === "X";
    return hasEnded ? "" : `${id} ${boot.trim()} ${fields[19]}\n`;
  } catch {
    return isAlive(id) ? `${id}\n` : "";
  }
}

function isAlive(id: number): boolean {
  try {
    process.kill(id, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

function words(error: unknown): string {
  const { code } = error as NodeJS.ErrnoException;
  if (code === "EACCES" || code === "EPERM") return "permission denied";
  if (code === "EEXIST" || code === "ENOTDIR") return "it is not a folder";
  if (code === "EROFS") return "the disk is read-only";
  return error instanceof Error ? error.message : String(error);
}
