import { spawn, spawnSync } from "node:child_process";
import { existsSync, realpathSync } from "node:fs";
import { constants } from "node:os";
import { fileURLToPath, pathToFileURL } from "node:url";

/** The project's folder; every script works there, wherever it was called from. */
export const root = fileURLToPath(new URL("..", import.meta.url));

const ENDING_SIGNALS = ["SIGINT", "SIGTERM", "SIGHUP"];

/** Something that the person at the keyboard has to mend: printed as one line, exit 2. */
export class Refusal extends Error {}

/** True for the script that node was started with, false for those it imports. */
export function isMain(url) {
  return url === pathToFileURL(realpathSync(process.argv[1])).href;
}

/** Runs the main function of a script and ends the process with the code that it returns. */
export async function main(work) {
  try {
    process.chdir(root);
    process.exitCode = (await work(process.argv.slice(2))) ?? 0;
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    console.error(error.message);
    process.exitCode = 2;
  }
}

/** The signal that asked us to end; null until one came. */
export let endingSignal = null;

/** Runs a program with our own terminal; returns its exit code. */
export async function run(command, args, options = {}) {
  const child = spawn(command, args, { stdio: "inherit", ...options });
  const keepSignals = passSignals(child);
  return exitCode(child, command).finally(keepSignals);
}

/**
 * Passes on what asks us to end. A terminal's Ctrl-C reaches the child by itself, and many programs take a
 * second one for "at once".
 * @returns stops passing on
 */
export function passSignals(child) {
  const pass = (signal) => {
    endingSignal = signal;
    if (signal !== "SIGINT" || !process.stdin.isTTY) child.kill(signal);
  };
  for (const signal of ENDING_SIGNALS) process.on(signal, pass);
  return () => {
    for (const signal of ENDING_SIGNALS) process.off(signal, pass);
  };
}

/** The exit code of a child process: 128 and the signal's number when a signal ended it. */
export function exitCode(child, command) {
  return new Promise((resolve, reject) => {
    child.once("error", (error) => reject(new Refusal(`Cannot run ${command}: ${error.message}.`)));
    child.once("close", (code, signal) => resolve(code ?? 128 + (constants.signals[signal] ?? 0)));
  });
}

/** Runs a program of `node_modules/.bin`. */
export function runPackage(name, args, options = {}) {
  return run(process.execPath, [binary(name), ...args], options);
}

/** The file behind a program of `node_modules/.bin`. */
export function binary(name) {
  return `node_modules/.bin/${name}`;
}

/** True when a program of this name can be called here. */
export function canRun(program) {
  return !spawnSync(program, ["--version"], { stdio: "ignore" }).error;
}

/** True where we may install Debian packages without asking anybody. */
export function mayInstallDebianPackages() {
  return process.getuid?.() === 0 && existsSync("/etc/debian_version") && canRun("apt-get");
}

/** Installs Debian packages; returns true when that worked. */
export async function installDebianPackages(packages) {
  console.log(`Installing ${packages.join(", ")}`);
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
  if ((await run("apt-get", ["update", "-qq"], { env })) !== 0) return false;
  return (
    (await run("apt-get", ["install", "-y", "-qq", "--no-install-recommends", ...packages], { env })) === 0
  );
}
