import type { Writable } from "node:stream";
import { GOOD, OWN_FAULT, type Verb, WRONG_CALL, write } from "#daemon/command/output";
import { DaemonError } from "#daemon/errors";

type Load = () => Promise<{ run: Verb }>;

/** Verbs, each in a file of its own that is loaded only when it is called. */
const VERBS = new Map<string, Load>([
  ["serve", () => import("#daemon/command/serve")],
  ["ports", async () => withTexts((await import("#daemon/command/ports")).runPorts)],
  ["listen", async () => withTexts((await import("#daemon/command/listen")).runListen)],
  ["judge", () => import("#daemon/command/judge")],
  ["convert", () => import("#daemon/command/convert")],
  ["plan check", () => import("#daemon/command/plan-check")],
  ["plan curve", () => import("#daemon/command/plan-curve")],
  ["plan effective", () => import("#daemon/command/plan-effective")],
  ["plan schema", () => import("#daemon/command/plan-schema")],
  ["card schema", () => import("#daemon/command/card-schema")],
  ["material schema", () => import("#daemon/command/material-schema")],
  ["heat", () => import("#daemon/command/heat")],
  ["simulate", () => import("#daemon/command/simulate")],
  ["export", () => import("#daemon/command/export")],
  ["help", () => import("#daemon/command/help")],
  ["version", () => import("#daemon/command/version")],
]);

const OTHER_NAMES = new Map([
  ["--help", "help"],
  ["-h", "help"],
  ["--version", "version"],
  ["-v", "version"],
]);

/**
 * Carries out one call of the command line.
 * @returns its exit code: 0 good, 1 the data says no, 2 the call or the input is wrong
 */
export async function commandLine(argv: readonly string[], out: Writable, notes: Writable): Promise<number> {
  try {
    const { load, args } = verbOf(argv);
    const { run } = await load();
    return await run(args, out, notes);
  } catch (error) {
    if (!(error instanceof DaemonError)) throw error;
    await write(notes, `${error.message.replace(/\s+/g, " ")}\n`);
    return WRONG_CALL;
  }
}

/** The same as the whole of a process. */
export async function runAsProgram(): Promise<void> {
  const argv = process.argv.slice(2);
  // Whoever reads us may have heard enough; a daemon goes on without a reader.
  const onGone = (error: NodeJS.ErrnoException) => {
    if (error.code !== "EPIPE") throw error;
    if (argv[0] !== "serve") process.exit(GOOD);
  };
  process.stdout.on("error", onGone);
  process.stderr.on("error", onGone);
  process.exit(await commandLine(argv, process.stdout, process.stderr).catch(ownFault));
}

/** A verb that says its texts at once, short as they are. */
function withTexts(
  runVerb: (
    args: readonly string[],
    out: Record<"stdout" | "stderr", (text: string) => void>,
  ) => Promise<number>,
): { run: Verb } {
  return {
    run: (args, out, notes) =>
      runVerb(args, { stdout: (text) => out.write(text), stderr: (text) => notes.write(text) }),
  };
}

/** A fault of ours must not pass for what the data says. */
function ownFault(error: unknown): number {
  process.stderr.write(`bakeside met a fault of its own: ${error instanceof Error ? error.stack : error}\n`);
  return OWN_FAULT;
}

function verbOf(argv: readonly string[]): { load: Load; args: readonly string[] } {
  const [first = "help", second = ""] = argv;
  if (argv.slice(1).includes("--help")) return found("help", [first, second]);
  const oneWord = VERBS.has(first) || OTHER_NAMES.has(first);
  const name = oneWord ? first : `${first} ${second}`;
  return found(OTHER_NAMES.get(name) ?? name, argv.slice(oneWord ? 1 : 2));
}

function found(name: string, args: readonly string[]): { load: Load; args: readonly string[] } {
  const load = VERBS.get(name);
  if (load) return { load, args };
  const said = name.trim().replace(/[^\p{L}\p{N}\p{P}\p{S} ]/gu, "?");
  throw new DaemonError(
    "input-refused",
    `bakeside: there is no verb "${said.slice(0, 40)}". Verbs: ${[...VERBS.keys()].join(", ")}`,
  );
}
