import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, unlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { io, type Socket } from "socket.io-client";
import sqlite3 from "sqlite3";
import { expect } from "vitest";
import type { Plan } from "#core/plan/plan";
import { databaseFile } from "#daemon/config";
import type { BakeDetail, BakeSummary } from "#shared/bake";
import type { FurnaceStatus } from "#shared/furnace";
import type { PlanRevision } from "#shared/plan";
import type { DaemonEvents, PageEvents } from "#shared/protocol";
import type { Sample } from "#shared/sample";
import { openPty, type Pty } from "#simulators/pty";
import { type Ending, endPrograms, type Served, served } from "#tests/helpers/built-program";
import { recording } from "#tests/helpers/recording";

/** How the lines of these journeys read. */
export const LINE_FORMAT = "pairs:s=seconds,T=celsius,P=hectopascals";

const FLOOD_PIECE_BYTES = 16 * 1024;

/** A line of a furnace, and what it says to the resolution that it is printed in. */
export interface SpokenLine {
  readonly text: string;
  readonly sample: Sample;
}

/** A recording as an instrument would say it, from 0 s on, in 0.1 s and 0.01 °C. */
export function spokenLines(file: string, run: number): SpokenLine[] {
  const samples = recording(file, run);
  const zeroSeconds = samples[0]?.atSeconds ?? 0;
  return samples.map(({ atSeconds, celsius }) => {
    const [seconds, degrees] = [(atSeconds - zeroSeconds).toFixed(1), celsius.toFixed(2)];
    return {
      text: `s=${seconds} T=${degrees}\n`,
      sample: { atSeconds: Number(seconds), celsius: Number(degrees) },
    };
  });
}

/** What is kept of samples when the first of them is the bake's zero. */
export function fromZero(samples: readonly Sample[]): Sample[] {
  const zeroSeconds = samples[0]?.atSeconds ?? 0;
  return samples.map((sample) => ({
    ...sample,
    atSeconds: Number((sample.atSeconds - zeroSeconds).toFixed(3)),
  }));
}

/** A folder with the daemons, benches and lines of one journey; `close` ends them all. */
export class House {
  readonly folder: string = mkdtempSync(join(tmpdir(), "bakeside-journey-"));
  readonly data: string = join(this.folder, "data");
  readonly #kiosks: Kiosk[] = [];
  readonly #benches: BenchProgram[] = [];
  readonly #ports: StablePort[] = [];

  /** The built daemon on this house's data, with a page connected. */
  async serve(...more: readonly string[]): Promise<Kiosk> {
    const kiosk = await Kiosk.connect(await served(this.data, more));
    this.#kiosks.push(kiosk);
    return kiosk;
  }

  /** The bench in a process of its own, which goes on whatever becomes of the daemon. */
  async bench(...options: readonly string[]): Promise<BenchProgram> {
    const bench = new BenchProgram([...options, "--links", join(this.folder, "bench")]);
    this.#benches.push(bench);
    await bench.isReady;
    return bench;
  }

  /** A pseudo-terminal under a name that stays. */
  async port(name = "furnace-1"): Promise<StablePort> {
    const port = new StablePort(join(this.folder, "ports"), name);
    this.#ports.push(port);
    await port.appear();
    return port;
  }

  /** Rows of the database, beside whatever the daemon does with it. */
  async rows<Row>(sql: string, ...values: readonly number[]): Promise<Row[]> {
    const database = new sqlite3.Database(join(this.data, databaseFile(false)), sqlite3.OPEN_READONLY);
    try {
      return await new Promise((resolve, reject) => {
        database.all<Row>(sql, values, (error, rows) => (error ? reject(error) : resolve(rows)));
      });
    } finally {
      await new Promise((resolve) => database.close(resolve));
    }
  }

  async close(): Promise<void> {
    for (const kiosk of this.#kiosks) kiosk.leave();
    endPrograms();
    await Promise.all(this.#kiosks.map(({ end }) => end));
    await Promise.all(this.#benches.map((bench) => bench.close()));
    await Promise.all(this.#ports.map((port) => port.vanish()));
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** A daemon in a process of its own, and what a page that is connected to it has been told. */
export class Kiosk {
  readonly address: string;
  readonly end: Promise<Ending>;
  readonly furnaces = new Map<string, FurnaceStatus>();
  /** Bakes that are open, by furnace. */
  readonly openBakes = new Map<string, BakeSummary>();
  readonly finished: BakeSummary[] = [];
  /** Samples by bake and sequence: told only after they are written. */
  readonly samples = new Map<number, Map<number, Sample>>();
  readonly #served: Served;
  readonly #socket: Socket<DaemonEvents, PageEvents>;
  readonly #waiting = new Set<() => void>();

  private constructor(running: Served) {
    this.#served = running;
    this.address = running.address;
    this.end = running.end;
    this.#socket = io(running.address, {
      transports: ["websocket"],
      extraHeaders: { origin: running.address.replace(/\/$/, "") },
      reconnection: false,
      forceNew: true,
    });
    this.#listen();
  }

  /** Settles once the page has had its snapshot. */
  static async connect(running: Served): Promise<Kiosk> {
    const kiosk = new Kiosk(running);
    await kiosk.until(() => kiosk.furnaces.size > 0);
    return kiosk;
  }

  furnace(id = "furnace-1"): FurnaceStatus {
    const status = this.furnaces.get(id);
    if (!status) throw new Error(`The page was not told of ${id}`);
    return status;
  }

  /** Settles when it is so, looked at after each message; rejects when the daemon ends before. */
  until(isSo: () => boolean): Promise<void> {
    return new Promise((resolve, reject) => {
      const look = () => {
        if (!isSo()) return;
        this.#waiting.delete(look);
        resolve();
      };
      this.#waiting.add(look);
      void this.end.then(({ code, notes }) => {
        if (this.#waiting.delete(look)) reject(new Error(`The daemon ended with ${code}: ${notes}`));
      });
      look();
    });
  }

  /** What an address answers; anything but a success fails. */
  async get<T>(path: string): Promise<T> {
    const response = await fetch(`${this.address}${path}`);
    expect(response.status).toBe(200);
    return (await response.json()) as T;
  }

  /** Sends JSON. */
  async post(path: string, body: object): Promise<{ readonly status: number; readonly answer: unknown }> {
    const response = await fetch(`${this.address}${path}`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    });
    return { status: response.status, answer: await response.json() };
  }

  async plans(): Promise<PlanRevision[]> {
    return (await this.get<{ plans: PlanRevision[] }>("api/plans")).plans;
  }

  /** All bakes, newest first. */
  async bakes(): Promise<BakeSummary[]> {
    return (await this.get<{ bakes: BakeSummary[] }>("api/bakes?limit=200")).bakes;
  }

  /** What the store has of a bake. */
  async stored(bakeId: number): Promise<Sample[]> {
    return (await this.get<{ samples: Sample[] }>(`api/bakes/${bakeId}/samples`)).samples;
  }

  /** Presses *Begin*. */
  async begin(planId: number, furnaceId = "furnace-1"): Promise<BakeDetail> {
    const { status, answer } = await this.post(`api/furnaces/${furnaceId}/begin`, { planId });
    expect(status, JSON.stringify(answer)).toBe(200);
    return answer as BakeDetail;
  }

  /** Closes a bake by hand. */
  async closeBake(bakeId: number): Promise<BakeDetail> {
    const { status, answer } = await this.post(`api/bakes/${bakeId}/close`, {});
    expect(status, JSON.stringify(answer)).toBe(200);
    return answer as BakeDetail;
  }

  /** Asks the daemon to end, and hears how it did. */
  async stop(signal: "SIGTERM" | "SIGKILL" = "SIGTERM"): Promise<Ending> {
    this.#served.child.kill(signal);
    const ending = await this.end;
    this.leave();
    return ending;
  }

  /** The page goes away. */
  leave(): void {
    this.#socket.close();
  }

  #listen(): void {
    const on: DaemonEvents = {
      snapshot: ({ furnaces, openBakes }) => {
        for (const status of furnaces) this.furnaces.set(status.furnace.id, status);
        for (const { bake } of openBakes) this.openBakes.set(bake.furnaceId, bake);
      },
      furnace: (status) => this.furnaces.set(status.furnace.id, status),
      bake: ({ bake }) => this.openBakes.set(bake.furnaceId, bake),
      finished: (bake) => {
        if (this.openBakes.get(bake.furnaceId)?.id === bake.id) this.openBakes.delete(bake.furnaceId);
        this.finished.push(bake);
      },
      samples: ({ bakeId, fromSequence, samples }) => {
        const told = this.samples.get(bakeId) ?? new Map<number, Sample>();
        for (const [index, sample] of samples.entries()) told.set(fromSequence + index, sample);
        this.samples.set(bakeId, told);
      },
      problem: () => {},
      plans: () => {},
      materials: () => {},
    };
    this.#socket.on("snapshot", on.snapshot);
    this.#socket.on("furnace", on.furnace);
    this.#socket.on("bake", on.bake);
    this.#socket.on("finished", on.finished);
    this.#socket.on("samples", on.samples);
    this.#socket.onAny(() => queueMicrotask(() => this.#look()));
  }

  #look(): void {
    for (const look of this.#waiting) look();
  }
}

/** A furnace's line that a test speaks on: a pseudo-terminal that comes and goes under one name. */
export class StablePort {
  readonly name: string;
  #pty: Pty | null = null;

  constructor(folder: string, name: string) {
    mkdirSync(folder, { recursive: true });
    this.name = join(folder, name);
  }

  async appear(): Promise<void> {
    this.#pty = await openPty();
    symlinkSync(this.#pty.path, this.name);
  }

  /** The adapter is unplugged: its name goes, and the terminal behind it. */
  async vanish(): Promise<void> {
    const pty = this.#pty;
    this.#pty = null;
    if (!pty) return;
    unlinkSync(this.name);
    await pty.close();
  }

  /**
   * Settles when the daemon has this port open; from then on a whole line is believed.
   * @param rest the end of a line that was begun before
   */
  async isHeardBy(kiosk: Kiosk, rest = "\n", furnaceId = "furnace-1"): Promise<void> {
    const kind = () => kiosk.furnace(furnaceId).link.kind;
    await expect.poll(() => this.#terminal().isListening() && kind(), { timeout: 20_000 }).toBe("listening");
    this.say(rest);
  }

  say(bytes: string | Uint8Array): void {
    if (!this.#terminal().write(bytes)) throw new Error(`${this.name} takes no more bytes`);
  }

  /** Says a great many bytes, as fast as they are taken. */
  async flood(bytes: Uint8Array): Promise<void> {
    for (let from = 0; from < bytes.length; from += FLOOD_PIECE_BYTES) {
      const piece = bytes.subarray(from, from + FLOOD_PIECE_BYTES);
      await expect.poll(() => this.#terminal().write(piece), { interval: 5, timeout: 20_000 }).toBe(true);
    }
  }

  /** Says lines when they are due, so many times as fast as they were recorded. */
  async replay(lines: readonly SpokenLine[], speed: number): Promise<void> {
    const startMilliseconds = performance.now();
    const zeroSeconds = lines[0]?.sample.atSeconds ?? 0;
    for (const { text, sample } of lines) {
      const dueMilliseconds = startMilliseconds + ((sample.atSeconds - zeroSeconds) / speed) * 1000;
      const aheadMilliseconds = dueMilliseconds - performance.now();
      if (aheadMilliseconds > 1) await wait(aheadMilliseconds);
      this.say(text);
    }
  }

  #terminal(): Pty {
    if (!this.#pty) throw new Error(`${this.name} is not there`);
    return this.#pty;
  }
}

/** A bench of simulated furnaces in a process of its own. */
export class BenchProgram {
  /** Where each furnace speaks, in order. */
  readonly ports: string[] = [];
  /** What it refused. */
  readonly complaints: string[] = [];
  readonly isReady: Promise<void>;
  readonly #child: ChildProcessWithoutNullStreams;

  constructor(options: readonly string[]) {
    this.#child = spawn(process.execPath, ["dist/simulators/main.js", ...options]);
    this.#child.stderr.on("data", (bytes) => this.complaints.push(String(bytes)));
    this.isReady = new Promise((resolve, reject) => {
      let said = "";
      this.#child.stdout.on("data", (bytes) => {
        said += bytes;
        if (!said.includes('"ready"')) return;
        for (const line of said.trim().split("\n")) {
          const { port } = JSON.parse(line) as { port?: string };
          if (port !== undefined) this.ports.push(port);
        }
        resolve();
      });
      this.#child.once("exit", () => reject(new Error(`The bench ended: ${this.complaints.join("")}`)));
    });
  }

  /** Presses start on a furnace. */
  start(furnace: string, plan: Plan): void {
    this.#child.stdin.write(`${JSON.stringify({ furnace, start: plan })}\n`);
  }

  async close(): Promise<void> {
    if (this.#child.exitCode !== null || this.#child.signalCode !== null) return;
    const exited = once(this.#child, "exit");
    this.#child.kill("SIGTERM");
    await exited;
  }
}
