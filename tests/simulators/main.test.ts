import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, readlinkSync } from "node:fs";
import { type FileHandle, mkdtemp, open, readdir, rm } from "node:fs/promises";
import { connect } from "node:net";
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

  it("answers for all furnaces on one bus when it is asked by Modbus, each under its number", async () => {
    const bench = await startBench(
      "--format",
      "modbus",
      "--bus",
      "shared",
      "--furnaces",
      "3",
      "--speed",
      "100",
    );
    expect(await ports(bench)).toEqual(Array.from({ length: 3 }, () => join(bench.links, "bus")));
    const bus = await open(join(bench.links, "bus"), "r+");
    // Input registers 0 and 1 of units 1 and 3; the CRCs were reckoned apart, in another language.
    const answers = [
      await asked(bus, "01 04 00 00 00 02 71 CB", 9),
      await asked(bus, "03 04 00 00 00 02 70 29", 9),
    ];
    await bus.close();
    expect(answers.map((bytes) => [...bytes.subarray(0, 3)])).toEqual([
      [1, 4, 4],
      [3, 4, 4],
    ]);
    for (const bytes of answers) {
      expect(Math.abs(bytes.readInt16BE(3) / 10 - 510)).toBeLessThan(10);
      expect(Math.abs(bytes.readInt16BE(5) / 10 - 24)).toBeLessThan(3);
    }
  });

  it("answers by Modbus/TCP on a TCP port, whatever the transport", async () => {
    const bench = await startBench("--format", "modbus-tcp", "--furnaces", "1", "--speed", "100");
    const [address = ""] = await ports(bench);
    const socket = connect(Number(new URL(address).port), "127.0.0.1");
    socket.write(Buffer.from("000700000006010400000001", "hex"));
    const [bytes] = (await once(socket, "data")) as [Buffer];
    socket.destroy();
    expect(bytes.subarray(0, 9).toString("hex")).toBe("000700000005010402");
    expect(Math.abs(bytes.readInt16BE(9) / 10 - 510)).toBeLessThan(10);
  });

  it("answers SCPI questions on a pseudo-terminal", async () => {
    const bench = await startBench("--format", "scpi", "--speed", "100", "--type", "S");
    await ports(bench);
    const port = await open(join(bench.links, "furnace-2"), "r+");
    await port.write("MEAS:TEMP?;VOLT?\n");
    const { buffer, bytesRead } = await port.read(Buffer.alloc(100), 0, 100, null);
    await port.close();
    const [celsius = 0, volts = 0] = buffer.toString("latin1", 0, bytesRead).split(";").map(Number);
    expect(Math.abs(celsius - 510)).toBeLessThan(10);
    // NIST SRD 60: S has 4.333 mV at 510 °C and 0.143 mV at 25 °C, and 10 µV/K there.
    expect(Math.abs(volts * 1000 - (4.333 - 0.143))).toBeLessThan(0.15);
  });

  it("is heard at its own rate alone", async () => {
    const bench = await startBench("--speed", "100", "--baud", "19200", "--furnaces", "1");
    await ports(bench);
    const link = join(bench.links, "furnace-1");
    const port = await open(link, "r+");
    try {
      await setBaud(link, 4800);
      const wrong = await heardFor(port, 40);
      expect(wrong.toString("latin1")).not.toMatch(/T=\d/);
      await setBaud(link, 19_200);
      // What was said before it noticed comes first.
      let heard = "";
      while (!/s=\d+\.0 T=5\d\d\.\d P=1013\.\d D=0\.\d\d\r\n/.test(heard))
        heard += (await heardFor(port, 1)).toString("latin1");
    } finally {
      await port.close();
    }
  });

  it("melts a wire beside the probe when one is hung there", async () => {
    const bench = await startBench("--speed", "600", "--noise", "0");
    await ports(bench);
    const start = {
      name: "t",
      lowCelsius: 510,
      steps: [{ kind: "climb", toCelsius: 690, kelvinPerMinute: 10 }],
    };
    bench.child.stdin.write('{"furnace":"furnace-1","wire":"aluminium"}\n');
    bench.child.stdin.write(`${JSON.stringify({ furnace: "furnace-1", start })}\n`);
    const shownAt = new Map<number, string>();
    await firstLine(bench, "furnace-1", (line) => {
      const [, seconds = "", shown = ""] = /^s=([\d.]+) T=([\d.]+)/.exec(line) ?? [];
      shownAt.set(Number(seconds), shown);
      return Number(shown) > 680;
    });
    const times = (...wanted: string[]) =>
      [...shownAt.values()].filter((shown) => wanted.includes(shown)).length;
    // Ten kelvin a minute pass a fifth of a kelvin in little more than a second; the plateau takes half a minute.
    expect(times("660.3", "660.4")).toBeGreaterThan(15);
    expect(times("640.3", "640.4")).toBeLessThan(5);
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

/** What comes back to a Modbus frame. */
async function asked(port: FileHandle, frame: string, count: number): Promise<Buffer> {
  await port.write(Buffer.from(frame.replaceAll(" ", ""), "hex"));
  return heardFor(port, count);
}

/** The next bytes, at least so many. */
async function heardFor(port: FileHandle, count: number): Promise<Buffer> {
  const chunks: Buffer[] = [];
  for (let missing = count; missing > 0; ) {
    const { bytesRead, buffer } = await port.read(Buffer.alloc(4096), 0, 4096, null);
    chunks.push(buffer.subarray(0, bytesRead));
    missing -= bytesRead;
  }
  return Buffer.concat(chunks);
}

async function setBaud(path: string, baud: number): Promise<void> {
  const [code] = await once(spawn("stty", ["-F", path, String(baud)]), "exit");
  expect(code).toBe(0);
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
