import { constants } from "node:fs";
import { access, readdir, readFile, realpath } from "node:fs/promises";
import { basename, join } from "node:path";

/** A serial port of this machine. */
export interface ListedPort {
  /** The name that stays when it is plugged in again, where it has one; the path to give to Bakeside. */
  readonly name: string;
  /** The device that the name leads to now, such as `/dev/ttyUSB0`. */
  readonly device: string;
  /** What it is, and what hinders its use. */
  readonly note: string;
}

/** Where ports are looked for; a test gives folders of its own. */
export interface PortFolders {
  readonly byId: string;
  readonly byPath: string;
  readonly sysTty: string;
  readonly dev: string;
}

const folders: PortFolders = {
  byId: "/dev/serial/by-id",
  byPath: "/dev/serial/by-path",
  sysTty: "/sys/class/tty",
  dev: "/dev",
};

const deviceKinds: readonly (readonly [RegExp, string])[] = [
  [/^ttyUSB\d+$/, "USB serial adapter"],
  [/^ttyACM\d+$/, "USB instrument or board"],
  [/^rfcomm\d+$/, "Bluetooth serial line"],
  [/^tty(S|AMA|SC|O|mxc)\d+$/, "built-in serial port"],
];

/**
 * The serial ports here, those with a lasting name first. Folders are read directly: the serial library's
 * own listing starts another program, and takes the process down where that is missing.
 */
export async function listPorts(where: PortFolders = folders): Promise<ListedPort[]> {
  const byId = await namedPorts(where.byId);
  const byPath = await namedPorts(where.byPath);
  const bare = (await ttyNames(where)).map((name) => ({
    name: join(where.dev, name),
    device: join(where.dev, name),
  }));
  const found: { name: string; device: string }[] = [];
  for (const port of [...byId, ...byPath, ...bare])
    if (!found.some(({ device }) => device === port.device)) found.push(port);
  return Promise.all(found.map(async (port) => ({ ...port, note: await noteOn(port) })));
}

/** The links of a by-id or by-path folder with the devices that they lead to; none when it is not there. */
async function namedPorts(folder: string): Promise<{ name: string; device: string }[]> {
  const names = (await readdir(folder).catch(() => [])).sort();
  const ports = names.map(async (name) => {
    const device = await realpath(join(folder, name)).catch(() => null);
    return device === null ? [] : [{ name: join(folder, name), device }];
  });
  return (await Promise.all(ports)).flat();
}

/** Terminals with a piece of hardware behind them. */
async function ttyNames({ sysTty, dev }: PortFolders): Promise<string[]> {
  const names = (await readdir(sysTty).catch(() => [])).filter((name) => deviceKind(name) !== null).sort();
  const real = await Promise.all(
    names.map(async (name) => (await exists(join(dev, name))) && (await hasHardware(sysTty, name))),
  );
  return names.filter((_, index) => real[index]);
}

/** A built-in port that the kernel merely keeps room for has the type 0. */
async function hasHardware(sysTty: string, name: string): Promise<boolean> {
  if (name.startsWith("rfcomm")) return true;
  if (!(await exists(join(sysTty, name, "device")))) return false;
  const type = await readFile(join(sysTty, name, "type"), "utf8").catch(() => "unknown");
  return type.trim() !== "0";
}

async function noteOn({ name, device }: { name: string; device: string }): Promise<string> {
  const kind = deviceKind(basename(device)) ?? "serial port";
  const lasting =
    name === device && /USB|ACM/.test(device) ? "; its name may change when it is plugged in again" : "";
  const isAllowed = await access(device, constants.R_OK | constants.W_OK).then(
    () => true,
    () => false,
  );
  return `${kind}${lasting}${isAllowed ? "" : "; no permission: add this user to the dialout group"}`;
}

function deviceKind(name: string): string | null {
  return deviceKinds.find(([pattern]) => pattern.test(name))?.[1] ?? null;
}

async function exists(path: string): Promise<boolean> {
  return access(path).then(
    () => true,
    () => false,
  );
}
