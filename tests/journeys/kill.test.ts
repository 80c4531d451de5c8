import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { createInterface } from "node:readline";
import { setTimeout as pause } from "node:timers/promises";
import sqlite3 from "sqlite3";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { z } from "zod";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { randomStream } from "#simulators/random";
import { buildProgram, endPrograms, type Served, served } from "#tests/helpers/built-program";
import { temporaryFolder } from "#tests/helpers/call";
import { HouseCall, until } from "#tests/helpers/house-call";

const KILLS = 20;
const SPEED = 60;
const FURNACES = ["furnace-1", "furnace-2", "furnace-3", "furnace-4"] as const;
const FORMAT = "pairs:s=seconds,T=celsius,P=hectopascals,D=duty-fraction";
const SEED = 20;

const folder = temporaryFolder();
const data = `${folder.path}/data`;
let bench: ChildProcessWithoutNullStreams | undefined;
beforeAll(buildProgram, 120_000);
afterAll(() => {
  endPrograms();
  bench?.kill("SIGTERM");
  folder.remove();
});

/** One killing, by the wall clock, with what the database held when the daemon was dead. */
interface Killing {
  readonly atEpochMilliseconds: number;
  readonly open: readonly OpenRow[];
  readonly integrity: string;
}

const openRows = z.array(
  z.object({ id: z.number(), furnace: z.string(), samples: z.number(), newest: z.number().nullable() }),
);
type OpenRow = z.infer<typeof openRows>[number];

describe(`a daemon killed ${KILLS} times in the middle of bakes`, () => {
  it("goes on with the same bakes, has lost a second at most, and keeps its database whole", {
    timeout: 420_000,
  }, async () => {
    bench = spawn(process.execPath, ["dist/simulators/main.js", ...benchArguments()]);
    const ports = await portsOf(bench);
    const chance = randomStream(SEED, "moments to die");
    const started = new Map<string, number>();
    const killings: Killing[] = [];
    let daemon = await up(ports);

    while (killings.length < KILLS) {
      await startWhereFree(daemon.house, started);
      await pause(200 + chance.uniform() * 2500);
      if (!(await daemon.house.bakes()).some(({ state }) => state === "running")) continue;
      const atEpochMilliseconds = Date.now();
      daemon.child.kill("SIGKILL");
      await daemon.end;
      killings.push({ atEpochMilliseconds, ...(await lookInside()) });
      daemon = await up(ports);
      const openNow = (await daemon.house.bakes()).filter(({ state }) => state !== "finished");
      expect(openNow.map(({ id }) => id).sort()).toEqual(
        killings
          .at(-1)
          ?.open.map(({ id }) => id)
          .sort(),
      );
    }
    const bakes = await until(async () => {
      const found = await daemon.house.bakes();
      expect(found.filter(({ state }) => state !== "finished")).toEqual([]);
      return found;
    }, 120);

    expect(killings.map(({ integrity }) => integrity)).toEqual(killings.map(() => "ok"));
    expect(countBy(bakes.map(({ furnaceId }) => furnaceId))).toEqual(Object.fromEntries(started));
    const lostSeconds = killings.flatMap(({ atEpochMilliseconds, open }) =>
      open.flatMap(({ newest }) => (newest === null ? [] : [(atEpochMilliseconds - newest) / 1000])),
    );
    expect(lostSeconds.length).toBeGreaterThanOrEqual(KILLS);
    expect(Math.max(...lostSeconds)).toBeLessThanOrEqual(1);

    for (const bake of bakes) {
      const samples = await daemon.house.samples(bake.id);
      const deaths = killings.flatMap(({ open }) => open.filter(({ id }) => id === bake.id));
      // The bench says a line each second of its own: whatever is missing is missing where the daemon was dead.
      const holes = samples.flatMap((sample, index) =>
        sample.atSeconds - (samples[index - 1]?.atSeconds ?? sample.atSeconds) > 1.5 ? [index] : [],
      );
      expect(deaths.map((death) => death.samples)).toEqual(expect.arrayContaining(holes));
      expect(bake.gapSeconds > 0).toBe(holes.length > 0);
      expect(samples).toHaveLength(bake.sampleCount);
    }
    console.log(
      `${KILLS} killings, ${bakes.length} bakes; lost before a killing: at most ${Math.max(...lostSeconds).toFixed(2)} s`,
    );
    daemon.child.kill("SIGTERM");
    expect((await daemon.end).code).toBe(0);
  });
});

function benchArguments(): string[] {
  const options = { furnaces: FURNACES.length, speed: SPEED, seed: SEED, links: `${folder.path}/links` };
  return Object.entries(options).flatMap(([name, value]) => [`--${name}`, String(value)]);
}

/** The stable names that the bench prints, once it is ready. */
async function portsOf(child: ChildProcessWithoutNullStreams): Promise<string[]> {
  const ports: string[] = [];
  child.stderr.resume();
  for await (const line of createInterface(child.stdout)) {
    const said = z
      .union([z.object({ port: z.string() }), z.object({ ready: z.literal(true) })])
      .parse(JSON.parse(line));
    if ("ready" in said) break;
    ports.push(said.port);
  }
  return ports;
}

/** A daemon that hears every furnace. */
async function up(ports: readonly string[]): Promise<Served & { house: HouseCall }> {
  const given = ports.flatMap((port) => ["--port", port]);
  const daemon = await served(data, [...given, "--format", FORMAT]);
  const house = new HouseCall(daemon.address);
  await until(async () => {
    const { furnaces } = await house.snapshot();
    expect(furnaces.filter(({ latest }) => latest === null).map(({ furnace }) => furnace.id)).toEqual([]);
  });
  return { ...daemon, house };
}

/** Fires the next plan wherever nothing is open; the first furnace's bakes open by their own climb. */
async function startWhereFree(house: HouseCall, started: Map<string, number>): Promise<void> {
  const bakes = await house.bakes();
  const { plans } = await house.snapshot();
  for (const [index, furnace] of FURNACES.entries()) {
    const own = bakes.filter(({ furnaceId }) => furnaceId === furnace);
    const count = started.get(furnace) ?? 0;
    if (own.length < count || own.some(({ state }) => state !== "finished")) continue;
    const plan = DEMONSTRATION_PLANS[(index + count) % DEMONSTRATION_PLANS.length];
    const revision = plans.find((candidate) => candidate.plan.name === plan?.name);
    if (!plan || !revision) throw new Error("the demonstration plans are missing");
    if (index > 0) await house.begin(furnace, { planId: revision.planId, jobNumber: `KILL-${count + 1}` });
    bench?.stdin.write(`${JSON.stringify({ furnace, start: plan })}\n`);
    started.set(furnace, count + 1);
  }
}

/** What the file holds while nobody has it open. */
async function lookInside(): Promise<{ open: OpenRow[]; integrity: string }> {
  const database = await new Promise<sqlite3.Database>((resolve, reject) => {
    const opened = new sqlite3.Database(`${data}/bakeside.sqlite`, (error) =>
      error ? reject(error) : resolve(opened),
    );
  });
  const all = (sql: string) =>
    new Promise<unknown[]>((resolve, reject) =>
      database.all(sql, (error, rows) => (error ? reject(error) : resolve(rows))),
    );
  const open = await all(`SELECT bakes.id, furnace_id AS furnace, count(sequence) AS samples,
      max(received_epoch_ms) AS newest FROM bakes LEFT JOIN samples ON bake_id = bakes.id
      WHERE state <> 'finished' GROUP BY bakes.id`);
  const [check] = await all("PRAGMA integrity_check");
  await new Promise<void>((resolve) => database.close(() => resolve()));
  const { integrity_check: integrity } = z.object({ integrity_check: z.string() }).parse(check);
  return { open: openRows.parse(open), integrity };
}

function countBy(words: readonly string[]): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const word of words) counts[word] = (counts[word] ?? 0) + 1;
  return counts;
}
