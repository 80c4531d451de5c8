import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, readFileSync } from "node:fs";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { lockDataFolder } from "#daemon/data-lock";
import { temporaryFolder } from "#tests/helpers/call";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

/** The mark that another process has left in its lock, as it would write it itself. */
function markOf(id: number): string {
  const boot = readFileSync("/proc/sys/kernel/random/boot_id", "utf8").trim();
  const stat = readFileSync(`/proc/${id}/stat`, "utf8");
  return `${id} ${boot} ${stat.slice(stat.lastIndexOf(")") + 2).split(" ")[19]}\n`;
}

describe("a lock on the data folder", () => {
  it("makes the folder, and goes when it is released", async () => {
    const path = `${folder.path}/new/deep`;
    const lock = await lockDataFolder(path);
    expect(existsSync(`${path}/bakeside.lock`)).toBe(true);
    await lock.release();
    expect(existsSync(`${path}/bakeside.lock`)).toBe(false);
  });

  it("keeps a second daemon out, by name, until the first has ended", async () => {
    const other = spawn(process.execPath, ["-e", "process.stdin.resume()"]);
    await once(other, "spawn");
    folder.file("bakeside.lock", markOf(other.pid ?? 0));
    await expect(lockDataFolder(folder.path)).rejects.toThrow(
      `Another bakeside (process ${other.pid}) uses the data folder ${folder.path}. Stop it, or choose another with --data.`,
    );
    other.kill("SIGKILL");
    await once(other, "exit");
    await (await lockDataFolder(folder.path)).release();
  });

  it.each([
    {
      what: "a process whose id came round again",
      mark: () => markOf(process.ppid).replace(/\d+\n$/, "1\n"),
    },
    {
      what: "another boot of the machine",
      mark: () => markOf(process.ppid).replace(/ [\w-]+ /, " other-boot "),
    },
    { what: "nobody", mark: () => "" },
    { what: "a broken disk", mark: () => "\0\0\0" },
  ])("left behind by $what counts for nothing", async ({ mark }) => {
    folder.file("bakeside.lock", mark());
    await (await lockDataFolder(folder.path)).release();
  });

  it("is refused in words where there can be no folder", async () => {
    const file = folder.file("file", "");
    await expect(lockDataFolder(file)).rejects.toThrow(
      `Cannot use the data folder ${file}: it is not a folder. Choose another with --data.`,
    );
  });
});
