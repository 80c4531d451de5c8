import { describe, expect, it } from "vitest";
import { systemClock } from "#daemon/clock";
import { FurnaceLines } from "#daemon/furnace-lines";
import type { LinkOptions } from "#daemon/link/link";
import type { Channels, Reading } from "#daemon/link/reading";
import { furnaceStatusSchema, type LinkStatus } from "#shared/furnace";
import { openPty } from "#simulators/pty";
import { FURNACE } from "#tests/helpers/kiosk-house";
import { ModbusSlave } from "#tests/helpers/modbus-slave";

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
  return { lines, links, log, changed, read, say, status };
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

  it("are opened with the framing of their furnace", async () => {
    const { lines, links } = lab();
    await lines.set({ ...FURNACE, port: "/dev/a", framing: "8E1" });
    expect(links[0]).toMatchObject({ address: "/dev/a", framing: "8E1" });
  });
});

describe("furnaces of the lab that are asked on one bus", () => {
  it("go on while another is changed", async () => {
    const pty = await openPty();
    const slave = new ModbusSlave((bytes) => pty.write(bytes));
    pty.onInput((bytes) => slave.take(bytes));
    for (const unit of [1, 2, 3]) slave.units.set(unit, { input: { 0: unit * 1000 } });
    const readings: Reading[] = [];
    let wake = () => {};
    const lines = new FurnaceLines({
      clock: systemClock,
      onReading: (reading) => {
        readings.push(reading);
        wake();
        return reading;
      },
      onChange: () => {},
      onTrouble: () => {},
      openBakeId: () => null,
      probeHealth: () => ({ faults: [], message: null }),
    });
    const more = (id: string, celsius: number) =>
      new Promise<void>((resolve) => {
        const from = readings.length;
        const isMore = () =>
          readings.slice(from).some((each) => each.furnaceId === id && each.celsius === celsius);
        const before = wake;
        wake = () => {
          before();
          if (isMore()) resolve();
        };
      });
    const furnace = (number: number, unit: number) => ({
      ...FURNACE,
      id: `furnace-${number}`,
      port: pty.path,
      format: `modbus:unit=${unit};input 0 int16 *0.1=celsius;every=0.1`,
    });
    await lines.set(furnace(1, 1));
    await lines.set(furnace(2, 2));
    await Promise.all([more("furnace-1", 100), more("furnace-2", 200)]);
    for (const unit of [3, 2, 3]) {
      await lines.set(furnace(2, unit));
      await Promise.all([more("furnace-1", 100), more("furnace-2", unit * 100)]);
    }
    const times = readings.flatMap((each) =>
      each.furnaceId === "furnace-1" ? [each.receivedAtSeconds] : [],
    );
    const gaps = times.slice(1).map((time, index) => time - (times[index] ?? 0));
    // A question that was given up and a reopening would take more than a second; the machine may be slow.
    expect(Math.max(...gaps)).toBeLessThan(1);
    expect(lines.statuses().map(({ link }) => link.message)).toEqual([null, null]);
    expect(slave.mostOutstanding).toBe(1);
    await lines.close();
    await pty.close();
  });
});
