import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, readlinkSync } from "node:fs";
import { mkdtemp, open, readdir, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface, type Interface } from "node:readline";
import { afterEach, describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";

const MAIN = new URL("../../simulators/main.ts", import.meta.url).pathname;

interface RunningBench {
  readonly child: ChildProcessWithoutNullStreams;
  readonly said: AsyncIterator<string>;
  readonly complained: AsyncIterator<string>;
  readonly links: string;
}

const running: RunningBench[] = [];

afterEach(async () => {
  for (const { child, links } of running.splice(0)) {
    if (child.exitCode === null && child.signalCode === null) {
      child.kill("SIGKILL");
      await once(child, "exit");
    }
    await rm(links, { recursive: true, force: true });
  }
});

describe("the bench as a program", () => {
  it("says where each furnace speaks, then that it is ready, and speaks there under a stable name", async () => {
    const bench = await startBench("--speed", "100", "--format", "pairs");
    expect(await ports(bench)).toEqual(["furnace-1", "furnace-2"].map((id) => join(bench.links, id)));
    const [first, second] = [await nextLine(bench, "furnace-1"), await nextLine(bench, "furnace-2")];
    expect(first).toMatch(/^s=\d+\.0 T=50\d\.\d P=1013\.\d D=0\.\d\d$/);
    expect(second).toMatch(/^s=\d+\.0 T=5[01]\d\.\d P=1013\.\d D=0\.\d\d$/);
  });

  it("starts a bake when told so, once", async () => {
    const bench = await startBench("--speed", "600");
    await ports(bench);
    const start = JSON.stringify({
      furnace: "furnace-1",
      start: { ...DEMONSTRATION_PLANS[0], dryingSeconds: 0 },
    });
    bench.child.stdin.write(`${start}\n${start}\n`);
    expect((await bench.complained.next()).value).toBe("Start refused on furnace-1: it is baking already");
    const hot = await firstLine(bench, "furnace-1", (line) => Number(/T=([\d.]+)/.exec(line)?.[1]) > 650);
    expect(Number(/P=([\d.]+)/.exec(hot)?.[1])).toBeLessThan(200);
  });

  it("answers what it does not understand by one line, and goes on", async () => {
    const bench = await startBench("--speed", "100");
    await ports(bench);
    bench.child.stdin.write('nonsense\n{"furnace":"furnace-9","abort":true}\n');
    expect((await bench.complained.next()).value).toContain("Command refused: not JSON");
    expect((await bench.complained.next()).value).toContain(
      "no furnace furnace-9; there are furnace-1, furnace-2",
    );
    expect(await nextLine(bench, "furnace-1")).toMatch(/^s=/);
  });

  it("breaks the thermocouple and mends it again", async () => {
    const bench = await startBench("--speed", "100");
    await ports(bench);
    bench.child.stdin.write('{"furnace":"furnace-1","fault":"open-circuit"}\n');
    await firstLine(bench, "furnace-1", (line) => line.includes("T=OPEN"));
    bench.child.stdin.write('{"furnace":"furnace-1","fault":"none"}\n');
    await firstLine(bench, "furnace-1", (line) => !line.includes("T=OPEN"));
  });

  it("lets a port vanish and brings it back under the same name", async () => {
    const bench = await startBench("--speed", "100");
    await ports(bench);
    const link = join(bench.links, "furnace-1");
    bench.child.stdin.write('{"furnace":"furnace-1","fault":"vanish"}\n');
    await expect.poll(() => existsSync(link)).toBe(false);
    bench.child.stdin.write('{"furnace":"furnace-1","fault":"none"}\n');
    await expect.poll(() => existsSync(link) && readlinkSync(link)).toMatch(/^\/dev\/pts\//);
    expect(await nextLine(bench, "furnace-1")).toMatch(/^s=/);
  });

  it("starts with fresh lines for whoever comes late: nothing waits that nobody heard", async () => {
    const bench = await startBench("--speed", "600");
    await ports(bench);
    const until = async (seconds: number) => {
      const line = await firstLine(
        bench,
        "furnace-2",
        (text) => Number(/s=([\d.]+)/.exec(text)?.[1]) > seconds,
      );
      return Number(/s=([\d.]+)/.exec(line)?.[1]);
    };
    // Furnace 2 tells the time of the bench while nobody listens to furnace 1.
    const benchSeconds = await until(1200);
    const line = await nextLine(bench, "furnace-1");
    expect(Number(/s=([\d.]+)/.exec(line)?.[1])).toBeGreaterThan(benchSeconds);
  });

  it.each([
    { end: "SIGTERM", stop: (child: ChildProcessWithoutNullStreams) => child.kill("SIGTERM") },
    { end: "SIGINT", stop: (child: ChildProcessWithoutNullStreams) => child.kill("SIGINT") },
    { end: "the end of its input", stop: (child: ChildProcessWithoutNullStreams) => child.stdin.end() },
  ])("ends cleanly on $end, its links removed", async ({ stop }) => {
    const bench = await startBench();
    await ports(bench);
    expect(await readdir(bench.links)).toEqual(["furnace-1", "furnace-2"]);
    const exited = once(bench.child, "exit");
    stop(bench.child);
    expect(await exited).toEqual([0, null]);
    expect(await readdir(bench.links)).toEqual([]);
  });

  it("speaks over TCP when told so", async () => {
    const bench = await startBench("--transport", "tcp", "--furnaces", "1");
    expect(await ports(bench)).toEqual([expect.stringMatching(/^tcp:\/\/127\.0\.0\.1:\d+$/)]);
  });

  it("refuses a wrong option with one line and exit code 2", async () => {
    const bench = await startBench("--speed", "9000");
    const exited = once(bench.child, "exit");
    expect((await bench.complained.next()).value).toMatch(/^--speed: /);
    expect(await exited).toEqual([2, null]);
  });
});

async function startBench(...options: string[]): Promise<RunningBench> {
  const links = await mkdtemp(join(tmpdir(), "bakeside-bench-"));
  const child = spawn(process.execPath, [
    "--conditions=source",
    "--import",
    "tsx",
    MAIN,
    "--links",
    links,
    ...options,
  ]);
  const bench = { child, links, said: linesOf(child.stdout), complained: linesOf(child.stderr) };
  running.push(bench);
  return bench;
}

function linesOf(input: NodeJS.ReadableStream): AsyncIterator<string> {
  const lines: Interface = createInterface({ input });
  return lines[Symbol.asyncIterator]();
}

/** The ports that the bench names before it says that it is ready. */
async function ports({ said }: RunningBench): Promise<string[]> {
  const found: string[] = [];
  for (;;) {
    const { value } = await said.next();
    const message = JSON.parse(String(value));
    if (message.ready === true) return found;
    found.push(message.port);
  }
}

/** The first whole line that somebody hears who opens the port of a furnace now. */
async function nextLine(bench: RunningBench, id: string): Promise<string> {
  return firstLine(bench, id, () => true);
}

async function firstLine(
  { links }: RunningBench,
  id: string,
  isWanted: (line: string) => boolean,
): Promise<string> {
  const port = await open(join(links, id), "r");
  try {
    let heard = "";
    for (;;) {
      const { bytesRead, buffer } = await port.read(Buffer.alloc(4096), 0, 4096, null);
      heard += buffer.toString("latin1", 0, bytesRead);
      // What stands before the first ending may be half a line.
      const line = heard.split("\r\n").slice(1, -1).find(isWanted);
      if (line !== undefined) return line;
      heard = heard.slice(-4096);
    }
  } finally {
    await port.close();
  }
}
