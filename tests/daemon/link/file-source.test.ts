import { mkdtemp, rm, truncate, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { systemClock } from "#daemon/clock";
import type { ByteSourceEvents } from "#daemon/link/byte-source";
import { FileSource } from "#daemon/link/file-source";
import { FakeClock } from "#tests/helpers/fake-clock";

let folder = "";

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "bakeside-file-"));
});
afterEach(async () => {
  vi.useRealTimers();
  await rm(folder, { recursive: true });
});

async function recording(text: string): Promise<string> {
  const path = join(folder, "bake.csv");
  await writeFile(path, text);
  return path;
}

/** Plays a recording on a fake clock; each line said, with the second at which it was said. */
async function played(address: string, format = "auto"): Promise<[number, string][]> {
  vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
  const clock = new FakeClock(0);
  const said: [number, string][] = [];
  const source = new FileSource(address, format, clock);
  let isOver = false;
  await new Promise<void>((resolve, reject) => {
    source.open({
      opened: resolve,
      bytes: (chunk) => said.push([clock.monotonicSeconds(), Buffer.from(chunk).toString().trimEnd()]),
      lost: reject,
      ended: () => {
        isOver = true;
      },
    });
  });
  for (let step = 0; step < 4000 && !isOver; step++) {
    clock.advanceSeconds(0.25);
    await vi.advanceTimersByTimeAsync(250);
  }
  expect(isOver).toBe(true);
  return said.filter(([, line]) => line !== "");
}

/** The events of an opening of which only the loss matters. */
function lossOf(address: string): Promise<Error> {
  return new Promise((resolve, reject) => {
    const events: ByteSourceEvents = {
      opened: () => reject(new Error("opened")),
      bytes: () => {},
      lost: resolve,
      ended: () => {},
    };
    new FileSource(address, "auto", systemClock).open(events);
  });
}

describe("file source", () => {
  it("says each line at the time of its seconds column, and ends", async () => {
    const path = await recording("seconds,celsius\n100,20\n101,21\n104,22\r\n\n104.5,23");
    expect(await played(`file:${path}`)).toEqual([
      [0, "seconds,celsius"],
      [0, "100,20"],
      [1, "101,21"],
      [4, "104,22"],
      [4.5, "104.5,23"],
    ]);
  });

  it("is sixty times as fast at speed 60", async () => {
    const path = await recording("s=0 T=20\ns=60 T=21\ns=120 T=22\n");
    expect(await played(`file:${path}?speed=60`, "pairs:s=seconds,T=celsius")).toEqual([
      [0, "s=0 T=20"],
      [1, "s=60 T=21"],
      [2, "s=120 T=22"],
    ]);
  });

  it("says one line a second where there is no time", async () => {
    const path = await recording("501.0\n500.1\n502.3\n");
    expect((await played(`file:${path}`)).map(([seconds]) => seconds)).toEqual([0, 1, 2]);
  });

  it("does not wait when its times go backwards", async () => {
    const path = await recording("s=0 T=20\ns=2 T=21\ns=1 T=22\ns=3 T=23\n");
    const said = await played(`file:${path}`, "pairs:s=seconds,T=celsius");
    expect(said.map(([seconds]) => seconds)).toEqual([0, 2, 2, 3]);
  });

  it("says ten thousand lines that are due at once, in order", async () => {
    const lines = Array.from({ length: 10_000 }, (_, index) => `s=0 T=${index % 1000}`);
    const path = await recording(`${lines.join("\n")}\n`);
    expect((await played(`file:${path}`, "pairs:s=seconds,T=celsius")).map(([, line]) => line)).toEqual(
      lines,
    );
  });

  it("ends at once when it is empty", async () => {
    expect(await played(`file:${await recording("")}`)).toEqual([]);
  });

  it.each(["file:", "file:/a?speed=0", "file:/a?speed=1000000", "file:/a\0b"])(
    "refuses the address %j",
    (address) => {
      expect(() => new FileSource(address, "auto", systemClock)).toThrow(
        "write it as file:/path or file:/path?speed=60",
      );
    },
  );

  it("says when there is no such file", async () => {
    const path = join(folder, "missing.csv");
    expect(await lossOf(`file:${path}`)).toMatchObject({
      code: "file-missing",
      message: `Cannot replay ${path}: there is no such file. Check its name.`,
    });
  });

  it("refuses a folder and a file of more than 64 MB", async () => {
    expect((await lossOf(`file:${folder}`)).message).toBe(
      `Cannot replay ${folder}: it is not a regular file`,
    );
    const path = await recording("");
    await truncate(path, 64 * 1024 * 1024 + 1);
    expect((await lossOf(`file:${path}`)).message).toBe(
      `Cannot replay ${path}: it is larger than 64 MB. Cut it into parts.`,
    );
  });

  it("says nothing after it was closed", async () => {
    const path = await recording("501\n502\n");
    const source = new FileSource(`file:${path}`, "auto", systemClock);
    const told: string[] = [];
    const tell = (what: string) => () => void told.push(what);
    source.open({ opened: tell("opened"), bytes: tell("bytes"), lost: tell("lost"), ended: tell("ended") });
    await source.close();
    expect(told).toEqual([]);
  });
});
