import { parseArgs } from "node:util";
import { systemClock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import { type ByteSource, portSource } from "#daemon/link/byte-source";
import { LineFramer } from "#daemon/link/line-framer";
import { type FormatGuess, guessFormats } from "#daemon/link/listen";
import type { Channels } from "#daemon/link/reading";

/** Where a command writes: results to the first, messages to the second. */
interface Output {
  stdout(text: string): void;
  stderr(text: string): void;
}

interface ListenCall {
  readonly port: string;
  readonly seconds: number;
  readonly baudRate: number;
  readonly isJson: boolean;
}

interface Heard {
  readonly lines: readonly string[];
  readonly bytes: number;
  readonly overlongLines: number;
}

const usage = "the call is `bakeside listen PORT [--seconds 4] [--baud 9600] [--json]`";
const MOST_LINES = 200;
const LINES_SHOWN = 5;

/**
 * `bakeside listen PORT`: a few seconds of a port, and the formats that fit.
 * @returns the exit code: 0 when a format fits, 1 when none does, 2 when the call or the port is wrong
 */
export async function runListen(args: readonly string[], out: Output): Promise<number> {
  const call = parsedCall(args);
  if (typeof call === "string") {
    out.stderr(`Cannot listen: ${call}\n`);
    return 2;
  }
  try {
    const heard = await hear(call);
    const guesses = guessFormats(heard.lines);
    out.stdout(call.isJson ? json(call, heard, guesses) : page(heard, guesses));
    if (guesses.length > 0) return 0;
    out.stderr(`${nothingFits(call, heard)}\n`);
    return 1;
  } catch (error) {
    if (!(error instanceof DaemonError)) throw error;
    out.stderr(`${error.message}\n`);
    return 2;
  }
}

function parsedCall(args: readonly string[]): ListenCall | string {
  const parsed = parsedArgs(args);
  const [port, ...others] = parsed?.positionals ?? [];
  if (!parsed) return `an option is unknown or has no value in "${args.join(" ").slice(0, 80)}"; ${usage}`;
  if (port === undefined || others.length > 0) return usage;
  const [seconds, baudRate] = [Number(parsed.values.seconds), Number(parsed.values.baud)];
  if (!(seconds >= 0.1 && seconds <= 3600)) return `--seconds takes 0.1 to 3600; ${usage}`;
  if (!(Number.isInteger(baudRate) && baudRate >= 50 && baudRate <= 4_000_000))
    return `--baud takes a whole number from 50 to 4000000; ${usage}`;
  return { port, seconds, baudRate, isJson: parsed.values.json };
}

function parsedArgs(args: readonly string[]) {
  try {
    return parseArgs({
      args: [...args],
      allowPositionals: true,
      options: {
        seconds: { type: "string", default: "4" },
        baud: { type: "string", default: "9600" },
        json: { type: "boolean", default: false },
      },
    });
  } catch {
    return null;
  }
}

/**
 * Listens for so many seconds, or until enough lines have come or a recording ends.
 * @throws DaemonError when the port cannot be opened, or is lost before anything was heard
 */
async function hear({ port, seconds, baudRate }: ListenCall): Promise<Heard> {
  const source = await hurriedSource(port, baudRate);
  const lines: string[] = [];
  let enough = () => {};
  const framer = new LineFramer((line) => {
    if (lines.length < MOST_LINES) lines.push(line);
    if (lines.length === MOST_LINES) enough();
  });
  await new Promise<void>((resolve, reject) => {
    enough = resolve;
    listenTo(source, framer, seconds, (cause) => (cause && lines.length === 0 ? reject(cause) : resolve()));
  }).finally(async () => {
    await source.close();
    framer.close();
  });
  return { lines, bytes: framer.heardBytes, overlongLines: framer.overlongLines };
}

/** @param onEnd called once with the cause of a loss, or with nothing at the end of the time */
function listenTo(
  source: ByteSource,
  framer: LineFramer,
  seconds: number,
  onEnd: (cause?: DaemonError) => void,
): void {
  let timer: NodeJS.Timeout | undefined;
  const end = (cause?: DaemonError) => {
    clearTimeout(timer);
    onEnd(cause);
  };
  source.open({
    opened: () => {
      timer = setTimeout(end, seconds * 1000);
    },
    bytes: (chunk) => framer.push(chunk),
    lost: end,
    ended: () => end(),
  });
}

/** The source of a port; nobody wants to wait for a recording to be heard at the speed of the furnace. */
async function hurriedSource(port: string, baudRate: number): Promise<ByteSource> {
  const source = await portSource(port, { baudRate }, systemClock);
  if (!source.isRecording || port.includes("?speed=")) return source;
  return portSource(
    `${port.startsWith("file:") ? "" : "file:"}${port}?speed=100000`,
    { baudRate },
    systemClock,
  );
}

function page({ lines }: Heard, guesses: readonly FormatGuess[]): string {
  const shown = lines.slice(-LINES_SHOWN).map((line) => `  ${printable(line)}\n`);
  const fitting = guesses.map(
    ({ spec, fits, preview }) =>
      `  ${spec}\n      ${fits} of ${lines.length} lines; the last: ${reading(preview)}\n`,
  );
  const head = lines.length === 0 ? "No lines heard.\n" : `${lines.length} lines heard, the last:\n`;
  const formats = guesses.length === 0 ? "" : "Formats that fit, best first:\n";
  return [head, ...shown, formats, ...fitting].join("");
}

function json(
  { port, seconds, baudRate }: ListenCall,
  heard: Heard,
  guesses: readonly FormatGuess[],
): string {
  const formats = guesses.map(({ spec, score, fits, preview }) => ({ spec, score, fits, preview }));
  return `${JSON.stringify({ port, seconds, baudRate, lines: heard.lines, overlongLines: heard.overlongLines, formats })}\n`;
}

function reading(channels: Channels): string {
  const units: readonly (readonly [Exclude<keyof Channels, "sensorWord">, string, string])[] = [
    ["instrumentSeconds", "at", "s"],
    ["celsius", "chamber", "°C"],
    ["millivolts", "thermocouple", "mV"],
    ["coldJunctionCelsius", "cold junction", "°C"],
    ["hectopascals", "pressure", "hPa"],
    ["heaterDutyFraction", "duty", "of 1"],
  ];
  return units
    .flatMap(([channel, words, unit]) => {
      const value = channels[channel];
      return value === undefined ? [] : [`${words} ${Number(value.toFixed(3))} ${unit}`];
    })
    .join(", ");
}

function nothingFits({ port, seconds, baudRate }: ListenCall, { lines, bytes }: Heard): string {
  if (bytes === 0)
    return `Nothing heard from ${port} in ${seconds} s: check the instrument and its cable; another program may be reading this port`;
  if (lines.length === 0)
    return `Bytes come from ${port}, but no whole line in ${seconds} s: check the baud rate (${baudRate}) or listen longer with --seconds`;
  return `No format fits the ${lines.length} lines heard from ${port}: check the baud rate (${baudRate}); daemon/link/formats/formats.md says what can be read`;
}

function printable(text: string): string {
  return text.slice(0, 120).replace(/\p{C}/gu, "·");
}
