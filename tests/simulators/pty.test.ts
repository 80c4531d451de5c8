import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, readlinkSync } from "node:fs";
import { type FileHandle, open, readdir } from "node:fs/promises";
import { afterEach, describe, expect, it } from "vitest";
import { openPty, type Pty } from "#simulators/pty";

const opened: { close(): Promise<unknown> }[] = [];

afterEach(async () => {
  for (const end of opened.splice(0).reverse()) await end.close();
});

describe("a pseudo-terminal", () => {
  it("carries bytes both ways, unchanged", async () => {
    const { pty, farEnd } = await bothEnds();
    const everyByte = Buffer.from(Array.from({ length: 256 }, (_, value) => value));

    expect(pty.write(everyByte)).toBe(true);
    expect(await bytesFrom(farEnd, 256)).toEqual(everyByte);

    const heard = new Promise<Buffer>((resolve) => pty.onInput(resolve));
    await farEnd.write("ask\r\n");
    expect((await heard).toString()).toBe("ask\r\n");
  });

  it("vanishes for whoever has it open, and takes no more bytes", async () => {
    const { pty, farEnd } = await bothEnds();

    await pty.close();

    expect(pty.write("late")).toBe(false);
    const end = await farEnd.read(Buffer.alloc(8), 0, 8, null).then(
      ({ bytesRead }) => (bytesRead === 0 ? "end of file" : "bytes"),
      (error: NodeJS.ErrnoException) => error.code,
    );
    expect(["end of file", "EIO"]).toContain(end);
  });

  it("tells the rate that the far end has set", async () => {
    const { pty } = await bothEnds();
    for (const baud of [1200, 19_200]) {
      await once(spawn("stty", ["-F", pty.path, String(baud)]), "exit");
      expect(await pty.farBaud()).toBe(baud);
    }
    await pty.close();
    expect(await pty.farBaud()).toBeNull();
  });

  it("leaves no process behind on closing", async () => {
    const { pty, farEnd } = await bothEnds();
    const holders = await processesOn(pty.path);
    expect(holders).not.toEqual([]);
    await farEnd.close();
    opened.pop();

    await pty.close();

    await expect.poll(() => holders.filter((id) => existsSync(`/proc/${id}/fd/0`))).toEqual([]);
  });

  it("may be closed twice", async () => {
    const { pty } = await bothEnds();
    await expect(Promise.all([pty.close(), pty.close()])).resolves.toHaveLength(2);
  });
});

async function bothEnds(): Promise<{ pty: Pty; farEnd: FileHandle }> {
  const pty = await openPty();
  opened.push(pty);
  const farEnd = await open(pty.path, "r+");
  opened.push(farEnd);
  return { pty, farEnd };
}

async function bytesFrom(end: FileHandle, count: number): Promise<Buffer> {
  const chunks: Buffer[] = [];
  for (let missing = count; missing > 0; ) {
    const { bytesRead, buffer } = await end.read(Buffer.alloc(missing), 0, missing, null);
    chunks.push(buffer.subarray(0, bytesRead));
    missing -= bytesRead;
  }
  return Buffer.concat(chunks);
}

/** The processes, other than this one, whose standard input is the terminal. */
async function processesOn(path: string): Promise<string[]> {
  const ids = (await readdir("/proc")).filter((name) => /^\d+$/.test(name) && Number(name) !== process.pid);
  return ids.filter((id) => {
    try {
      return readlinkSync(`/proc/${id}/fd/0`).startsWith(path);
    } catch {
      return false;
    }
  });
}
