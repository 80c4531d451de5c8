import { mkdir, mkdtemp, rm, symlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { listPorts, type PortFolders } from "#daemon/link/port-list";

let root = "";
let folders: PortFolders = { byId: "", byPath: "", sysTty: "", dev: "" };

beforeEach(async () => {
  root = await mkdtemp(join(tmpdir(), "bakeside-ports-"));
  folders = {
    byId: join(root, "by-id"),
    byPath: join(root, "by-path"),
    sysTty: join(root, "sys"),
    dev: join(root, "dev"),
  };
  await mkdir(folders.dev);
  await mkdir(folders.sysTty);
});
afterEach(() => rm(root, { recursive: true }));

/** A terminal as the kernel shows it; type 0 is a port that it merely keeps room for. */
async function tty(name: string, { hasDevice = true, type = "4" } = {}): Promise<string> {
  await writeFile(join(folders.dev, name), "");
  await mkdir(join(folders.sysTty, name, hasDevice ? "device" : ""), { recursive: true });
  await writeFile(join(folders.sysTty, name, "type"), `${type}\n`);
  return join(folders.dev, name);
}

async function link(folder: string, name: string, device: string): Promise<string> {
  await mkdir(folder, { recursive: true });
  await symlink(device, join(folder, name));
  return join(folder, name);
}

describe("the ports here", () => {
  it("are none on a machine without any, and without udev", async () => {
    await tty("tty0", { hasDevice: false });
    await tty("ttyS0", { type: "0" });
    await tty("ttyS1", { hasDevice: false });
    expect(await listPorts(folders)).toEqual([]);
    expect(await listPorts({ byId: "/no", byPath: "/no", sysTty: "/no", dev: "/no" })).toEqual([]);
  });

  it("go by the name of their adapter, then by their plug, then by their device, each once", async () => {
    const [usb0, usb1, acm, built, bluetooth] = [
      await tty("ttyUSB0"),
      await tty("ttyUSB1"),
      await tty("ttyACM0"),
      await tty("ttyS0"),
      await tty("rfcomm0", { hasDevice: false }),
    ];
    const byId = await link(folders.byId, "usb-adapter_A1-if00-port0", usb0);
    await link(folders.byPath, "pci-0-usb-1", usb0);
    const byPath = await link(folders.byPath, "pci-0-usb-2", usb1);
    expect(await listPorts(folders)).toEqual([
      { name: byId, device: usb0, note: "USB serial adapter" },
      { name: byPath, device: usb1, note: "USB serial adapter" },
      { name: bluetooth, device: bluetooth, note: "Bluetooth serial line" },
      {
        name: acm,
        device: acm,
        note: "USB instrument or board; its name may change when it is plugged in again",
      },
      { name: built, device: built, note: "built-in serial port" },
    ]);
  });

  it("leave out a name that leads nowhere", async () => {
    await link(folders.byId, "usb-gone", join(folders.dev, "ttyUSB9"));
    expect(await listPorts(folders)).toEqual([]);
  });

  it.skipIf(process.getuid?.() === 0)("say when this user may not use one", async () => {
    const device = await tty("ttyUSB0");
    await rm(device);
    await writeFile(device, "", { mode: 0 });
    expect((await listPorts(folders))[0]?.note).toMatch(/no permission: add this user to the dialout group$/);
  });

  it("can be asked for on this machine", async () => {
    for (const { name, device, note } of await listPorts()) {
      expect(name).toMatch(/^\/dev\//);
      expect(device).toMatch(/^\/dev\//);
      expect(note).not.toBe("");
    }
  });
});
