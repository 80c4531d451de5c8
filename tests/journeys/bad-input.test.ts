import { spawn } from "node:child_process";
import { chmodSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { setTimeout as pause } from "node:timers/promises";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { openPty, type Pty } from "#simulators/pty";
import { randomStream } from "#simulators/random";
import { bakeside, buildProgram, ended, endPrograms, served } from "#tests/helpers/built-program";
import { temporaryFolder } from "#tests/helpers/call";
import { HouseCall, until } from "#tests/helpers/house-call";
import { sampled, trace } from "#tests/helpers/trace";

/** The user `nobody`: root may open everything, so what is forbidden is tried as somebody else. */
const NOBODY = process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {};
const FORMAT = "pairs:s=seconds,T=celsius";

const folder = temporaryFolder();
const ptys: Pty[] = [];
beforeAll(buildProgram, 120_000);
afterAll(async () => {
  endPrograms();
  await Promise.all(ptys.map((pty) => pty.close()));
  folder.remove();
});

describe("a port that does not exist", () => {
  it("is said by listen in one line", async () => {
    const missing = `${folder.path}/by-id/none`;
    const { code, out, notes } = await ended(bakeside(["listen", missing]));
    expect({ code, out, lines: lines(notes) }).toEqual({ code: 2, out: "", lines: 1 });
    expect(notes).toContain(missing);
  });

  it("is said by the daemon, which serves on and takes the port when it comes", async () => {
    const missing = `${folder.path}/none`;
    const { address, child, end } = await served(`${folder.path}/missing`, ["--port", missing]);
    const house = new HouseCall(address);
    const link = await until(async () => {
      const [furnace] = (await house.snapshot()).furnaces;
      expect(furnace?.link.message).toContain(missing);
      return furnace?.link;
    });
    expect(link?.kind).toMatch(/^(opening|waiting)$/);
    expect(lines(`${link?.message}\n`)).toBe(1);
    child.kill("SIGTERM");
    expect((await end).code).toBe(0);
  });
});

describe("a port without permission", () => {
  it("is said in one line, with how to mend it", async () => {
    const line = await pty();
    chmodSync(line.path, 0o000);
    const program = `import(${JSON.stringify(`${process.cwd()}/dist/daemon/command/command-line.js`)})
      .then(({ runAsProgram }) => runAsProgram())`;
    const child = spawn(process.execPath, ["-e", program, "bakeside", "listen", line.path], {
      ...NOBODY,
      stdio: ["ignore", "pipe", "pipe"],
    });
    const { code, out, notes } = await ended(child);
    expect({ code, out, lines: lines(notes) }).toEqual({ code: 2, out: "", lines: 1 });
    expect(notes).toContain(line.path);
    expect(notes).toMatch(/permission denied.*dialout/);
  });
});

describe("a binary flood", () => {
  it("is counted, takes no memory, and costs neither its own line nor its neighbour a sample", async () => {
    const [flooded, quiet] = [await pty(), await pty()];
    const ports = ["--port", flooded.path, "--port", quiet.path, "--format", FORMAT];
    const { address, child } = await served(`${folder.path}/flood`, ports);
    const house = new HouseCall(address);
    await house.lineIs("furnace-1", "listening");
    await house.lineIs("furnace-2", "listening");
    const { plans } = await house.snapshot();
    const begin = async (furnace: string) =>
      (await house.begin(furnace, { planId: plans[0]?.planId ?? 0, jobNumber: null })).bake.id;
    const [own, neighbour] = [await begin("furnace-1"), await begin("furnace-2")];

    const points = sampled(trace("0:25 4:500"), 1);
    const say = async (line: Pty, from: number, to: number) => {
      for (const { atSeconds, celsius } of points.slice(from, to))
        while (!line.write(`s=${atSeconds} T=${celsius.toFixed(2)}\r\n`)) await pause(1);
    };
    for (const line of [flooded, quiet]) line.write("\r\n");
    await say(flooded, 0, 100);
    await say(quiet, 0, 100);
    await until(async () => expect(await house.samples(own)).toHaveLength(100));
    const before = await residentMebibytes(child.pid);
    await flood(flooded, 8 * 1024 * 1024, () => say(quiet, 100, 120));
    await until(async () => {
      const [furnace] = (await house.snapshot()).furnaces;
      expect(furnace?.link.overlongLines).toBeGreaterThan(0);
    });
    flooded.write("\r\n");
    await say(flooded, 100, points.length);
    await say(quiet, 120, points.length);

    for (const id of [own, neighbour])
      await until(async () => expect((await house.samples(id)).at(-1)?.celsius).toBe(points.at(-1)?.celsius));
    const expected = points.map(({ atSeconds, celsius }) => ({
      atSeconds,
      celsius: Number(celsius.toFixed(2)),
    }));
    expect(await house.samples(own)).toEqual(expected);
    expect(await house.samples(neighbour)).toEqual(expected);
    const [furnace] = (await house.snapshot()).furnaces;
    expect(furnace?.link.refusedLines).toBeGreaterThan(1000);
    expect(furnace?.link.lastRefusedLine).toMatch(/^[\P{C}]{0,120}$/u);
    // The flood is 8 MiB; what it leaves is less than the garbage of one collection.
    expect((await residentMebibytes(child.pid)) - before).toBeLessThan(64);
  });
});

describe("a plan that climbs downwards", () => {
  const plan = {
    ...DEMONSTRATION_PLANS[0],
    steps: [
      { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
      { kind: "climb", toCelsius: 700, kelvinPerMinute: 45 },
    ],
    vacuum: undefined,
  };
  const says = "step 2 climbs downwards, from 760 to 700 °C";

  it("is found by plan check, which says no", async () => {
    const path = folder.file("down.json", JSON.stringify(plan));
    const { code, out } = await ended(bakeside(["plan", "check", path]));
    expect(code).toBe(1);
    expect(out.split("\n").filter((line) => line.includes(says))).toHaveLength(1);
  });

  it("is refused by judge as a wrong input", async () => {
    const path = folder.file("down.json", JSON.stringify(plan));
    const csv = folder.file("even.csv", "seconds,celsius\n0,25\n1,26\n");
    const { code, out, notes } = await ended(bakeside(["judge", csv, "--plan", path]));
    expect({ code, out, lines: lines(notes) }).toEqual({ code: 2, out: "", lines: 1 });
    expect(notes).toContain(says);
  });

  it("is not saved", async () => {
    const { address } = await served(`${folder.path}/plans`);
    const house = new HouseCall(address);
    const before = (await house.snapshot()).plans.length;
    const response = await house.post("api/plans", { plan });
    expect(response.status).toBe(422);
    expect(await response.json()).toEqual({ error: expect.stringContaining(says) });
    expect((await house.snapshot()).plans).toHaveLength(before);
  });
});

describe("a CSV with a hole", () => {
  const path = () => folder.file("plan.json", JSON.stringify(DEMONSTRATION_PLANS[0]));
  const rows = sampled(trace("0:450 5:450 12:760 13:760 20:400"), 1);

  it("is judged, with the hole named and counted", async () => {
    const torn = rows.filter(({ atSeconds }) => atSeconds < 500 || atSeconds > 560);
    const csv = folder.file(
      "hole.csv",
      csvOf(torn.map(({ atSeconds, celsius }) => `${atSeconds},${celsius}`)),
    );
    const { code, out, notes } = await ended(bakeside(["judge", csv, "--plan", path(), "--json"]));
    expect({ code, notes }).toEqual({ code: 1, notes: "" });
    expect(JSON.parse(out)).toMatchObject({
      samples: torn.length,
      gaps: [{ fromSeconds: 499, toSeconds: 561 }],
      findings: expect.arrayContaining([expect.objectContaining({ code: "gap" })]),
    });
  });

  it("of empty cells is judged, and one line says where the first is", async () => {
    const csv = folder.file(
      "empty.csv",
      csvOf(
        rows.map(
          ({ atSeconds, celsius }) => `${atSeconds},${atSeconds > 499 && atSeconds < 561 ? "" : celsius}`,
        ),
      ),
    );
    const { code, out, notes } = await ended(bakeside(["judge", csv, "--plan", path(), "--json"]));
    expect({ code, lines: lines(notes) }).toEqual({ code: 1, lines: 1 });
    expect(notes).toBe(`${csv}: 61 row(s) without a reading, the first in line 502: taken as not measured\n`);
    expect(JSON.parse(out)).toMatchObject({
      missingReadings: { count: 61 },
      gaps: [{ fromSeconds: 499, toSeconds: 561 }],
    });
  });

  it("where its header should be is refused in one line", async () => {
    const csv = folder.file("headless.csv", "0,450\n1,451\n");
    const { code, out, notes } = await ended(bakeside(["judge", csv, "--plan", path()]));
    expect({ code, out, lines: lines(notes) }).toEqual({ code: 2, out: "", lines: 1 });
    expect(notes).toContain(csv);
  });
});

async function pty(): Promise<Pty> {
  const opened = await openPty();
  ptys.push(opened);
  return opened;
}

/** Bytes by chance, line ends among them, with a stretch longer than any line may be. */
async function flood(line: Pty, bytes: number, meanwhile: () => Promise<void>): Promise<void> {
  const chance = randomStream(7, "flood");
  const chunk = Buffer.alloc(16 * 1024);
  for (let sent = 0; sent < bytes; sent += chunk.length) {
    for (let index = 0; index < chunk.length; index += 1) chunk[index] = Math.floor(chance.uniform() * 256);
    if (sent === 0) chunk.fill(0x80);
    while (!line.write(chunk)) await pause(1);
    if (sent === bytes / 2) await meanwhile();
  }
}

async function residentMebibytes(id: number | undefined): Promise<number> {
  const status = await readFile(`/proc/${id}/status`, "utf8");
  return Number(/VmRSS:\s+(\d+) kB/.exec(status)?.[1]) / 1024;
}

function csvOf(lines: readonly string[]): string {
  return `${["seconds,celsius", ...lines].join("\n")}\n`;
}

function lines(text: string): number {
  return text.split("\n").length - 1;
}
