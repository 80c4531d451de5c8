import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { systemClock } from "#daemon/clock";
import { portSource } from "#daemon/link/byte-source";
import { FileSource } from "#daemon/link/file-source";
import { SerialSource } from "#daemon/link/serial-source";
import { TcpSource } from "#daemon/link/tcp-source";

const options = { baudRate: 9600 };

describe("the source for an address", () => {
  it.each([
    { address: "tcp://127.0.0.1:4001", kind: TcpSource },
    { address: "tcp://[::1]:4001", kind: TcpSource },
    { address: "file:/tmp/bake.csv?speed=60", kind: FileSource },
    { address: "/dev/serial/by-id/missing", kind: SerialSource },
  ])("is, for $address, a $kind.name", async ({ address, kind }) => {
    expect(await portSource(address, options, systemClock)).toBeInstanceOf(kind);
  });

  it("is a recording for the plain path of a regular file", async () => {
    const folder = await mkdtemp(join(tmpdir(), "bakeside-source-"));
    const path = join(folder, "bake.csv");
    await writeFile(path, "501\n");
    expect(await portSource(path, options, systemClock)).toBeInstanceOf(FileSource);
    await rm(folder, { recursive: true });
  });

  it("is refused for anything else", async () => {
    await expect(portSource("ttyUSB0", options, systemClock)).rejects.toMatchObject({
      code: "input-refused",
      message: "Cannot use the port ttyUSB0: give a path such as /dev/ttyUSB0, tcp://host:port or file:/path",
    });
  });
});
