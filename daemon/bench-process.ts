import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { z } from "zod";
import type { DaemonConfig } from "#daemon/config";
import { DaemonError } from "#daemon/errors";
import { parsedJson } from "#daemon/input";
import { LineFramer } from "#daemon/link/line-framer";
import type { Log } from "#daemon/log";
import { programFolder } from "#daemon/program";
import { furnaceIdSchema } from "#shared/furnace";
import { type Plan, planSchema } from "#shared/plan";

/** How the bench is set up. */
export type BenchSettings = NonNullable<DaemonConfig["bench"]>;

/** A furnace of the bench and where it speaks. */
const benchPortSchema = z.strictObject({ furnace: furnaceIdSchema, port: z.string().min(1).max(300) });
export type BenchPort = z.infer<typeof benchPortSchema>;

const benchLineSchema = z.union([benchPortSchema, z.strictObject({ ready: z.literal(true) })]);

/** What the bench says once it runs: a furnace's port, or that all are open. */
export type BenchLine = z.infer<typeof benchLineSchema>;

const pastBakeSchema = z.strictObject({
  furnace: furnaceIdSchema,
  plan: planSchema,
  /** Seconds, °C, hPa. */
  samples: z.array(z.tuple([z.number(), z.number(), z.number()])).max(100_000),
});

/** An invented bake of an earlier day. */
export type PastBake = z.infer<typeof pastBakeSchema>;

const MOST_HISTORY_BYTES = 64 * 1024 * 1024;

const SHORTEST_WAIT_MILLISECONDS = 1_000;
const LONGEST_WAIT_MILLISECONDS = 30_000;
/** A bench that has run so long counts as well again. */
const WELL_AFTER_MILLISECONDS = 60_000;

/**
 * The simulated bench, in a process of its own: it is spoken to by lines, as somebody standing at it would act, and
 * heard over its serial lines alone. When it ends it is started again, later each time.
 */
export class BenchProcess {
  readonly #settings: BenchSettings;
  readonly #linksFolder: string;
  readonly #log: Log;
  readonly #onPort: (port: BenchPort) => void;
  #child: ChildProcessWithoutNullStreams | null = null;
  #waitMilliseconds = SHORTEST_WAIT_MILLISECONDS;
  #retry: NodeJS.Timeout | null = null;
  #isClosed = false;

  /** @param onPort told where each furnace speaks, at every start of the bench */
  constructor(settings: BenchSettings, linksFolder: string, log: Log, onPort: (port: BenchPort) => void) {
    this.#settings = settings;
    this.#linksFolder = linksFolder;
    this.#log = log;
    this.#onPort = onPort;
  }

  /** Its process; undefined while it does not run. */
  get processId(): number | undefined {
    return this.#child?.pid;
  }

  /**
   * Starts it; settles when its lines are open.
   * @throws DaemonError when it is not built, or ends before it speaks
   */
  async start(): Promise<void> {
    const { furnaces, speed, seed } = this.#settings;
    const child = spawnBench(
      ["--furnaces", furnaces, "--speed", speed, "--seed", seed, "--links", this.#linksFolder].map(String),
    );
    this.#child = child;
    const startedAt = performance.now();
    child.once("exit", () => this.#restart(startedAt));
    child.stdin.on("error", (error) => this.#log.debug({ err: error }, "the bench no longer listens"));
    const complaints = new LineFramer((line) => this.#log.warn({ bench: line }, "the simulated bench says"));
    child.stderr.on("data", (bytes: Buffer) => complaints.push(bytes));
    complaints.push(Buffer.from("\n"));
    await new Promise<void>((resolve, reject) => {
      child.once("exit", () => reject(benchFailed("it ended at once")));
      const framer = new LineFramer((line) => {
        if (this.#hear(line)) resolve();
      });
      framer.push(Buffer.from("\n"));
      child.stdout.on("data", (bytes: Buffer) => framer.push(bytes));
    });
  }

  /** Somebody puts a piece before the muffle and presses start. */
  pressStart(furnaceId: string, plan: Plan): void {
    if (this.#child?.stdin.writable !== true) {
      this.#log.warn({ furnaceId }, "the simulated bench is not running: nobody can press start on it");
      return;
    }
    this.#child.stdin.write(`${JSON.stringify({ furnace: furnaceId, start: plan })}\n`);
  }

  /** Ends it for good. */
  async close(): Promise<void> {
    this.#isClosed = true;
    if (this.#retry) clearTimeout(this.#retry);
    const child = this.#child;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const ended = once(child, "exit");
    child.stdin.end();
    const impatience = setTimeout(() => child.kill("SIGKILL"), 3_000);
    await ended;
    clearTimeout(impatience);
  }

  /** @returns true when everything is open */
  #hear(line: string): boolean {
    if (line.trim() === "") return false;
    try {
      const message = benchLine(line);
      if ("ready" in message) return true;
      this.#onPort(message);
    } catch (error) {
      this.#log.warn({ err: error }, "the simulated bench said something else");
    }
    return false;
  }

  #restart(startedAt: number): void {
    this.#child = null;
    if (this.#isClosed) return;
    if (performance.now() - startedAt > WELL_AFTER_MILLISECONDS)
      this.#waitMilliseconds = SHORTEST_WAIT_MILLISECONDS;
    this.#log.warn({ againInMilliseconds: this.#waitMilliseconds }, "the simulated bench ended");
    this.#retry = setTimeout(() => {
      this.start().catch((error: unknown) =>
        this.#log.warn({ err: error }, "the simulated bench did not start"),
      );
    }, this.#waitMilliseconds);
    this.#waitMilliseconds = Math.min(LONGEST_WAIT_MILLISECONDS, 2 * this.#waitMilliseconds);
  }
}

/**
 * Invented bakes of earlier days, oldest first; the same again for the same seed.
 * @throws DaemonError when the bench is not built or does not answer as it should
 */
export async function pastBakes(count: number, { furnaces, seed }: BenchSettings): Promise<PastBake[]> {
  const child = spawnBench(["--history", count, "--furnaces", furnaces, "--history-seed", seed].map(String));
  child.stdin.end();
  child.stderr.resume();
  const chunks: Buffer[] = [];
  let bytes = 0;
  for await (const chunk of child.stdout) {
    bytes += chunk.length;
    if (bytes > MOST_HISTORY_BYTES) child.kill("SIGKILL");
    else chunks.push(chunk);
  }
  if (bytes > MOST_HISTORY_BYTES) throw benchFailed("its history has no end");
  const lines = Buffer.concat(chunks).toString("utf8").split("\n");
  const schema = z.strictObject({ bake: pastBakeSchema });
  return lines
    .filter((line) => line.trim() !== "")
    .map((line) => parsedJson(schema, line, "The simulated bench").bake);
}

/**
 * One line that the bench printed.
 * @throws DaemonError `input-refused` when it is none of its lines
 */
export function benchLine(line: string): BenchLine {
  return parsedJson(benchLineSchema, line, "The simulated bench");
}

function spawnBench(args: readonly string[]): ChildProcessWithoutNullStreams {
  const script = benchScript();
  const child = spawn(process.execPath, [script, ...args], { stdio: ["pipe", "pipe", "pipe"] });
  child.on("error", () => {}); // followed by an exit, which is what counts
  return child;
}

/**
 * The built program of the bench.
 * @throws DaemonError when it is not built
 */
export function benchScript(): string {
  const script = join(programFolder, "dist/simulators/main.js");
  if (existsSync(script)) return script;
  throw benchFailed("it is not built, run npm run build");
}

function benchFailed(why: string): DaemonError {
  return new DaemonError("file-missing", `Cannot start the simulated bench: ${why}. Or leave out --demo.`);
}
