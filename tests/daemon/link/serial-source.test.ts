import { execFileSync } from "node:child_process";
import { once } from "node:events";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { DaemonError } from "#daemon/errors";
import { openFault, SerialSource } from "#daemon/link/serial-source";
import { openPty } from "#simulators/pty";

const open: { close(): Promise<void> }[] = [];
let folder = "";

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "bakeside-serial-"));
});
afterEach(async () => {
  for (const each of open.splice(0)) await each.close();
  await rm(folder, { recursive: true });
});

/** Opens a port and hands out a promise for each thing that it may tell. */
function opened(path: string) {
  const source = new SerialSource(path, 115_200);
  open.push(source);
  const heard: Uint8Array[] = [];
  let onBytes = () => {};
  const telling = {} as { isOpen: Promise<void>; lost: Promise<DaemonError> };
  telling.isOpen = new Promise((resolve) => {
    telling.lost = new Promise((lose) => {
      const bytes = (chunk: Uint8Array) => {
        heard.push(chunk);
        onBytes();
      };
      source.open({ opened: resolve, bytes, lost: lose, ended: () => {} });
    });
  });
  const text = () => Buffer.concat(heard).toString();
  const hears = (end: string) =>
    new Promise<void>((resolve) => {
      onBytes = () => {
        if (text().endsWith(end)) resolve();
      };
      onBytes();
    });
  return { source, ...telling, text, hears };
}

async function pty() {
  const line = await openPty();
  open.push(line);
  return line;
}

describe("serial source", () => {
  it("sends a question while it is open, and neither sends nor keeps one while it is not", async () => {
    const line = await pty();
    const sent: string[] = [];
    const arrived = new Promise<void>((resolve) => {
      line.onInput((bytes) => {
        sent.push(bytes.toString());
        if (sent.join("").endsWith("3?\n")) resolve();
      });
    });
    const { source, isOpen } = opened(line.path);
    expect(source.write(Buffer.from("1?\n"))).toBe(false);
    await isOpen;
    await source.close();
    expect(source.write(Buffer.from("2?\n"))).toBe(false);
    await new Promise<void>((resolve) =>
      source.open({ opened: resolve, bytes: () => {}, lost: () => {}, ended: () => {} }),
    );
    expect(source.write(Buffer.from("3?\n"))).toBe(true);
    await arrived;
    expect(sent.join("")).toBe("3?\n");
  });

  it("does not let questions pile up on a line that takes none", async () => {
    const line = await pty();
    const { source, isOpen } = opened(line.path);
    await isOpen;
    expect(source.write(Buffer.from("1?\n"))).toBe(true);
    expect(source.write(Buffer.from("2?\n"))).toBe(false);
  });

  // A pseudo-terminal keeps stop bits and the kind of parity; it is always eight bits without a parity bit.
  it.each([
    { framing: "8N1" as const, settings: "-parodd -cstopb" },
    { framing: "8N2" as const, settings: "-parodd cstopb" },
    { framing: "8E1" as const, settings: "-parodd -cstopb" },
    { framing: "8O1" as const, settings: "parodd -cstopb" },
    { framing: "7E1" as const, settings: "-parodd -cstopb" },
    { framing: "7O1" as const, settings: "parodd -cstopb" },
  ])("opens with $framing", async ({ framing, settings }) => {
    const line = await pty();
    const source = new SerialSource(line.path, 9600, framing);
    open.push(source);
    await new Promise<void>((resolve, reject) =>
      source.open({ opened: resolve, bytes: () => {}, lost: reject, ended: () => {} }),
    );
    const told = execFileSync("stty", ["-F", line.path, "-a"])
      .toString()
      .split(/[\s;]+/);
    expect(settings.split(" ").filter((setting) => !told.includes(setting))).toEqual([]);
  });

  it("hands on the bytes of a port", async () => {
    const line = await pty();
    const { isOpen, hears, text } = opened(line.path);
    await isOpen;
    line.write("s=1 T=501\r\n");
    await hears("\n");
    expect(text()).toBe("s=1 T=501\r\n");
  });

  it("hears an idle port vanish by the library's close event", async () => {
    const line = await pty();
    const { isOpen, lost } = opened(line.path);
    await isOpen;
    await sleep(100); // until the read waits in the kernel; nothing tells when it does
    await line.close();
    const cause = await lost;
    expect(cause).toMatchObject({ code: "port-missing", cause: { disconnected: true } });
    expect(cause.message).toBe(
      `Lost ${line.path}: the adapter was unplugged or its cable moved. Plug it in.`,
    );
  });

  it("closes while the library spins on a port that vanished under traffic", async () => {
    for (let round = 0; round < 5; round++) {
      const line = await pty();
      const { source, isOpen, hears } = opened(line.path);
      await isOpen;
      line.write("501\n");
      await hears("501\n");
      line.write("502\n503\n");
      await line.close();
      await source.close();
    }
  });

  it("is closed by a close that comes before it is open, and tells nothing", async () => {
    const line = await pty();
    const told: string[] = [];
    const source = new SerialSource(line.path, 9600);
    source.open({
      opened: () => told.push("opened"),
      bytes: () => told.push("bytes"),
      lost: () => told.push("lost"),
      ended: () => told.push("ended"),
    });
    await source.close();
    const again = opened(line.path);
    await again.isOpen;
    expect(told).toEqual([]);
  });

  it("can be opened again after a close, but not twice at once", async () => {
    const line = await pty();
    const { source, isOpen } = opened(line.path);
    await isOpen;
    const nothing = { opened: () => {}, bytes: () => {}, lost: () => {}, ended: () => {} };
    expect(() => source.open(nothing)).toThrow(RangeError);
    await source.close();
    await new Promise<void>((resolve) => source.open({ ...nothing, opened: resolve }));
  });

  it("keeps the lock against a second opening, which is told that the port is busy", async () => {
    const line = await pty();
    await opened(line.path).isOpen;
    expect(await opened(line.path).lost).toMatchObject({
      code: "port-busy",
      message: `Cannot open ${line.path}: it is in use; another program may be reading this port. Close that program.`,
    });
  });

  it.each([
    {
      what: "a missing path",
      path: "missing",
      code: "port-missing",
      message: "there is no such port. Plug the adapter in. Run `bakeside ports` for the ports here.",
    },
    {
      what: "a folder",
      path: ".",
      code: "port-unusable",
      message: "it is a folder, not a serial port. Run `bakeside ports` for the ports here.",
    },
    {
      what: "a named pipe",
      path: "pipe",
      code: "port-unusable",
      message: "it is a named pipe, not a serial port. Run `bakeside ports` for the ports here.",
    },
  ])("refuses $what in words", async ({ path, code, message }) => {
    execFileSync("mkfifo", [join(folder, "pipe")]);
    const full = join(folder, path);
    expect(await opened(full).lost).toMatchObject({ code, message: `Cannot open ${full}: ${message}` });
  });

  it("refuses a regular file, and tells how it is replayed", async () => {
    const path = join(folder, "bake.csv");
    await writeFile(path, "seconds,celsius\n");
    expect(await opened(path).lost).toMatchObject({
      code: "port-unusable",
      message: `Cannot open ${path}: it is a regular file, not a serial port. Use file:${path} to replay a recording.`,
    });
  });

  it("refuses a device that is no serial port", async () => {
    expect(await opened("/dev/null").lost).toMatchObject({
      code: "port-unusable",
      message: "Cannot open /dev/null: it is not a serial port. Run `bakeside ports` for the ports here.",
    });
  });

  it.skipIf(process.getuid?.() === 0)("refuses a port without permission, and names the group", async () => {
    execFileSync("mkdir", ["-m", "000", join(folder, "shut")]);
    const path = join(folder, "shut", "port");
    expect(await opened(path).lost).toMatchObject({ code: "port-forbidden" });
  });

  // The library's own texts, as it gave them on Linux.
  it.each([
    {
      text: "Error: Permission denied, cannot open /dev/ttyUSB0",
      code: "port-forbidden",
      message: "permission denied. Add this user to the dialout group and log in again.",
    },
    {
      text: "Error Resource temporarily unavailable Cannot lock port",
      code: "port-busy",
      message: "it is in use; another program may be reading this port. Close that program.",
    },
    {
      text: "Error: No such file or directory, cannot open /dev/ttyUSB0",
      code: "port-missing",
      message: "there is no such port. Plug the adapter in. Run `bakeside ports` for the ports here.",
    },
    {
      text: "Error: Input/output error\nsetting",
      code: "port-unusable",
      message: "Input/output error setting. Unplug the adapter and plug it in again.",
    },
  ])("says of $text: $code", ({ text, code, message }) => {
    expect(openFault("/dev/ttyUSB0", new Error(text))).toMatchObject({
      code,
      message: `Cannot open /dev/ttyUSB0: ${message}`,
    });
  });

  it("requires a baud rate that is a whole number", () => {
    expect(() => new SerialSource("/dev/ttyUSB0", Number("fast"))).toThrow(
      "SerialSource requires a whole baud rate",
    );
  });

  it("leaves no promise unhandled when an opening fails", async () => {
    const unhandled = Promise.race([
      once(process, "unhandledRejection").then(() => "unhandled"),
      opened(join(folder, "missing")).lost.then(() => "told"),
    ]);
    expect(await unhandled).toBe("told");
  });
});
