import { describe, expect, it } from "vitest";
import { FurnaceLines } from "#daemon/furnace-lines";
import type { LinkOptions } from "#daemon/link/link";
import type { Channels } from "#daemon/link/reading";
import { furnaceStatusSchema, type LinkStatus } from "#shared/furnace";
import { FURNACE } from "#tests/helpers/kiosk-house";

const QUIET: LinkStatus = {
  kind: "waiting",
  sinceEpochMilliseconds: 0,
  message: null,
  acceptedLines: 0,
  refusedLines: 0,
  overlongLines: 0,
  unanswered: 0,
  lastRefusedLine: null,
  format: null,
};

function lab() {
  const log: string[] = [];
  const links: LinkOptions[] = [];
  const changed: string[] = [];
  const read: Channels[] = [];
  const lines = new FurnaceLines({
    clock: { monotonicSeconds: () => 0, epochMilliseconds: () => 1000 },
    onReading: (reading) => {
      read.push(reading);
      return reading;
    },
    onChange: (id) => changed.push(id),
    onTrouble: (id, message) => log.push(`${id}: ${message}`),
    openBakeId: () => 7,
    probeHealth: () => ({ faults: [], message: null }),
    linkFor: (options) => {
      links.push(options);
      return {
        start: () => log.push(`start ${options.address}`),
        close: async () => {
          log.push(`close ${options.address}`);
        },
        status: { ...lines.statuses()[0]?.link, kind: "listening" } as never,
      };
    },
  });
  const say = (atSeconds: number, channels: Channels) =>
    links.at(-1)?.onReading({
      ...channels,
      furnaceId: "furnace-1",
      receivedAtSeconds: atSeconds,
      receivedAtEpochMilliseconds: atSeconds * 1000,
    });
  const status = (message: string | null) => links.at(-1)?.onStatus({ ...QUIET, message });
  return { lines, log, changed, read, say, status };
}

describe("the lines of the lab", () => {
  it("say in words when no port is chosen", async () => {
    const { lines } = lab();
    await lines.set(FURNACE);
    expect(furnaceStatusSchema.parse(lines.status("furnace-1"))).toMatchObject({
      link: { kind: "absent", message: "No port is chosen for this furnace yet. Choose one in Upkeep." },
      latest: null,
      openBakeId: 7,
    });
    expect(lines.status("furnace-2")).toBeUndefined();
  });

  it("close a line before the changed one is opened", async () => {
    const { lines, log } = lab();
    await lines.set({ ...FURNACE, port: "/dev/a" });
    await lines.set({ ...FURNACE, port: "/dev/b" });
    await lines.close();
    expect(log).toEqual(["start /dev/a", "close /dev/a", "start /dev/b", "close /dev/b"]);
  });

  it("come in the order that people count in", async () => {
    const { lines } = lab();
    for (const id of ["furnace-10", "furnace-2", "furnace-1"]) await lines.set({ ...FURNACE, id });
    expect(lines.statuses().map(({ furnace }) => furnace.id)).toEqual([
      "furnace-1",
      "furnace-2",
      "furnace-10",
    ]);
  });

  it("pass on every reading, and keep the newest temperature with what came beside it", async () => {
    const { lines, read, say, changed } = lab();
    await lines.set({ ...FURNACE, port: "/dev/a" });
    changed.length = 0;
    say(1, { hectopascals: 60 });
    expect(lines.status("furnace-1")?.latest).toBeNull();
    say(2, { celsius: 700 });
    expect(lines.status("furnace-1")?.latest).toEqual({
      sample: { celsius: 700, hectopascals: 60 },
      receivedAtEpochMilliseconds: 2000,
    });
    say(9, { celsius: 701 });
    expect(lines.status("furnace-1")?.latest?.sample).toEqual({ celsius: 701 });
    expect(read).toHaveLength(3);
    expect(changed).toEqual(["furnace-1", "furnace-1"]);
  });

  it("forget what was heard on another port", async () => {
    const { lines, say } = lab();
    await lines.set({ ...FURNACE, port: "/dev/a" });
    say(1, { celsius: 700 });
    await lines.set({ ...FURNACE, name: "Renamed", port: "/dev/a" });
    expect(lines.status("furnace-1")?.latest?.sample.celsius).toBe(700);
    await lines.set({ ...FURNACE, port: "/dev/b" });
    expect(lines.status("furnace-1")?.latest).toBeNull();
  });

  it("tell each trouble once, until there is another", async () => {
    const { lines, log, status } = lab();
    await lines.set({ ...FURNACE, port: "/dev/a" });
    for (const message of ["gone", null, "gone", "gone", "silent", "gone"]) status(message);
    expect(log).toEqual(["start /dev/a", "furnace-1: gone", "furnace-1: silent", "furnace-1: gone"]);
  });
});
