import { spawn } from "node:child_process";
import { once } from "node:events";
import { benchLine, benchScript } from "#daemon/bench-process";
import { callOptions } from "#daemon/command/options";
import { type Verb, WRONG_CALL, write } from "#daemon/command/output";
import { LineFramer } from "#daemon/link/line-framer";

const OPTIONS = {
  furnaces: { type: "string" },
  speed: { type: "string" },
  seed: { type: "string" },
  format: { type: "string" },
  bus: { type: "string" },
  baud: { type: "string" },
  type: { type: "string" },
  "wrong-type": { type: "string" },
  hertz: { type: "string" },
  transport: { type: "string" },
  links: { type: "string" },
  noise: { type: "string" },
  json: { type: "boolean" },
} as const;

/**
 * `bakeside simulate …`: the bench in the foreground, until standard input ends or it is interrupted. It says where to
 * connect, with `--json` one object a line; commands go to standard input as they do on the bench itself.
 */
export const run: Verb = async (args, out, notes) => {
  const { values } = callOptions("simulate", args, OPTIONS);
  const { json, ...forBench } = values;
  const passed = Object.entries(forBench).map(([name, value]) => `--${name}=${value}`);
  const child = spawn(process.execPath, [benchScript(), ...passed], { stdio: ["inherit", "pipe", "pipe"] });
  const stop = () => child.kill("SIGTERM");
  for (const signal of ["SIGTERM", "SIGINT", "SIGHUP"] as const) process.once(signal, stop);
  sayLines(child.stdout, (line) => void write(out, json ? `${line}\n` : inWords(line)));
  sayLines(child.stderr, (line) => void write(notes, `bakeside simulate: ${line}\n`));
  const [code] = await once(child, "close");
  for (const signal of ["SIGTERM", "SIGINT", "SIGHUP"] as const) process.off(signal, stop);
  return code ?? WRONG_CALL;
};

function sayLines(stream: NodeJS.ReadableStream, say: (line: string) => void): void {
  const framer = new LineFramer(say);
  framer.push(Buffer.from("\n"));
  stream.on("data", (bytes: Buffer) => framer.push(bytes));
}

/** What a person needs of the bench's messages. */
function inWords(line: string): string {
  const said = benchLine(line);
  return "ready" in said
    ? "The bench runs. End it with Ctrl-C.\n"
    : `${said.furnace} speaks on ${said.port}\n`;
}
