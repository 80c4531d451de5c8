import { type ChildProcess, execFile, spawn } from "node:child_process";
import { promisify } from "node:util";

const exec = promisify(execFile);

/** What a program came to. */
export interface Ending {
  readonly code: number | null;
  readonly out: string;
  readonly notes: string;
}

/** A daemon in a process of its own. */
export interface Served {
  readonly child: ChildProcess;
  readonly address: string;
  readonly end: Promise<Ending>;
}

const running = new Set<ChildProcess>();

/** Brings `dist` up to date, one test file at a time; what is wrong with the types is told elsewhere. */
export async function buildProgram(): Promise<void> {
  const build = "node_modules/.bin/tsc -b core shared daemon simulators";
  const copy = "mkdir -p dist/daemon/store && cp -r daemon/store/migrations dist/daemon/store";
  await exec("flock", ["node_modules/.test-build-lock", "sh", "-c", `${build}; ${copy}`]);
}

/** Starts `bakeside` with these words. */
export function bakeside(args: readonly string[], environment: NodeJS.ProcessEnv = {}): ChildProcess {
  const child = spawn(process.execPath, ["dist/daemon/bakeside.cjs", ...args], {
    env: { ...process.env, ...environment },
    stdio: ["ignore", "pipe", "pipe"],
  });
  running.add(child);
  child.once("close", () => running.delete(child));
  return child;
}

/** Settles when the program has ended and everything that it said is heard. */
export async function ended(child: ChildProcess): Promise<Ending> {
  let out = "";
  let notes = "";
  child.stdout?.on("data", (bytes) => {
    out += bytes;
  });
  child.stderr?.on("data", (bytes) => {
    notes += bytes;
  });
  const code = await new Promise<number | null>((resolve) => child.once("close", resolve));
  return { code, out, notes };
}

/** A daemon on a free port, once it has said where its kiosk is. */
export async function served(
  dataFolder: string,
  more: readonly string[] = [],
  environment: NodeJS.ProcessEnv = {},
): Promise<Served> {
  const child = bakeside(["serve", "--http-port", "0", "--data", dataFolder, ...more], environment);
  const end = ended(child);
  const address = await new Promise<string>((resolve, reject) => {
    child.stdout?.on("data", (bytes) => {
      const [found] = /http:\/\/\S+/.exec(String(bytes)) ?? [];
      if (found) resolve(found);
    });
    void end.then(({ notes }) => reject(new Error(`The daemon ended: ${notes}`)));
  });
  return { child, address, end };
}

/** Ends every program that a test left running. */
export function endPrograms(): void {
  for (const child of running) child.kill("SIGKILL");
}
