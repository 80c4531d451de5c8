import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { type FileHandle, mkdtemp, open, realpath, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { ListenerWatch } from "#simulators/listener";

let folder = "";
let path = "";
let file: FileHandle;
let child: ChildProcess;

// The watch goes by whatever a process has open; a plain file does as well as a terminal.
beforeEach(async () => {
  folder = await mkdtemp(join(await realpath(tmpdir()), "bakeside-listener-"));
  path = join(folder, "line");
  file = await open(path, "w+");
  child = spawn("sleep", ["600"], { stdio: [file.fd, "ignore", "ignore"] });
  await once(child, "spawn");
  await file.close();
});

afterEach(async () => {
  child.kill("SIGKILL");
  await rm(folder, { recursive: true });
});

describe("whether somebody listens", () => {
  it("is told by another process that has the line open, for as long as that lives", async () => {
    const watch = new ListenerWatch(path, []);
    expect(watch.isListening()).toBe(true);
    expect(new ListenerWatch(`${path}-other`, []).isListening()).toBe(false);
    const ended = once(child, "exit");
    child.kill("SIGKILL");
    await ended;
    expect(watch.isListening()).toBe(false);
  });

  it("leaves out a process while it only looks, and heeds its number again afterwards", () => {
    const watch = new ListenerWatch(path, []);
    const id = child.pid ?? 0;
    watch.ignore(id);
    expect(watch.isListening()).toBe(false);
    watch.heed(id);
    expect(watch.isListening()).toBe(true);
  });
});
