import { parseArgs } from "node:util";
import { systemClock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import { channelsText } from "#daemon/link/channel-words";
import { ASKING_SECONDS, type HeardPort, hearPort } from "#daemon/link/hear-port";
import { printable } from "#daemon/link/heard-words";
import { COMMON_BAUD_RATES } from "#daemon/link/hearing";
import type { Proposal } from "#shared/listening";

/** Where a command writes: results to the first, messages to the second. */
interface Output {
  stdout(text: string): void;
  stderr(text: string): void;
}

interface ListenCall {
  readonly port: string;
  readonly seconds: number;
  /** Null searches the common rates. */
  readonly baudRate: number | null;
  readonly asks: boolean;
  readonly isJson: boolean;
}

const usage = "the call is `bakeside listen PORT [--seconds N] [--baud N] [--ask] [--json]`";
/** How long a port is listened to, s: at the one rate that was given, at each of several. */
const SECONDS_AT_ONE_RATE = 4;
const SECONDS_AT_EACH_RATE = 2;
const LINES_SHOWN = 5;

/**
 * `bakeside listen PORT`: a few seconds of a port, and the ways to read it that fit; its baud rate too, unless
 * one is given.
 * @returns the exit code: 0 when a format fits, 1 when none does, 2 when the call or the port is wrong
 */
export async function runListen(args: readonly string[], out: Output): Promise<number> {
  const call = parsedCall(args);
  if (typeof call === "string") {
    out.stderr(`Cannot listen: ${call}\n`);
    return 2;
  }
  try {
    const heard = await hearPort(call.port, { ...call, mostSeconds: mostSeconds(call) }, systemClock);
    out.stdout(call.isJson ? json(call, heard) : page(heard));
    if (heard.message === null) return 0;
    out.stderr(`${heard.message}\n`);
    return 1;
  } catch (error) {
    if (!(error instanceof DaemonError)) throw error;
    out.stderr(`${error.message}\n`);
    return 2;
  }
}

/** Every rate in its turn, some of them for longer, and then the asking. */
function mostSeconds({ seconds, baudRate, asks }: ListenCall): number {
  const listening = baudRate === null ? 3 * COMMON_BAUD_RATES.length * seconds : 2 * seconds;
  return listening + (asks ? ASKING_SECONDS : 0);
}

function parsedCall(args: readonly string[]): ListenCall | string {
  const parsed = parsedArgs(args);
  const [port, ...others] = parsed?.positionals ?? [];
  if (!parsed) return `an option is unknown or has no value in "${args.join(" ").slice(0, 80)}"; ${usage}`;
  if (port === undefined || others.length > 0) return usage;
  const { baud, ask, json: isJson } = parsed.values;
  const baudRate = baud === undefined ? null : Number(baud);
  const usual = baudRate === null ? SECONDS_AT_EACH_RATE : SECONDS_AT_ONE_RATE;
  const seconds = Number(parsed.values.seconds ?? usual);
  if (!(seconds >= 0.1 && seconds <= 3600)) return `--seconds takes 0.1 to 3600; ${usage}`;
  if (baudRate !== null && !(Number.isInteger(baudRate) && baudRate >= 50 && baudRate <= 4_000_000))
    return `--baud takes a whole number from 50 to 4000000; ${usage}`;
  return { port, seconds, baudRate, asks: ask, isJson };
}

function parsedArgs(args: readonly string[]) {
  try {
    return parseArgs({
      args: [...args],
      allowPositionals: true,
      options: {
        seconds: { type: "string" },
        baud: { type: "string" },
        ask: { type: "boolean", default: false },
        json: { type: "boolean", default: false },
      },
    });
  } catch {
    return null;
  }
}

function page({ proposals, best, answers, isSerial }: HeardPort): string {
  const lines = best?.lines ?? [];
  const shown = lines.slice(-LINES_SHOWN).map((line) => `  ${printable(line)}\n`);
  const rate = best && isSerial && lines.length > 0 ? ` at ${best.baudRate} baud, ${best.framing}` : "";
  const head = lines.length === 0 ? "No lines heard.\n" : `${lines.length} lines heard${rate}; the last:\n`;
  const ways = proposals.length === 0 ? "" : "Ways to read it, best first:\n";
  const answered = answers.map((answer) => `It answers: ${printable(answer)}\n`);
  return [head, ...shown, ...answered, ways, ...proposals.map((proposal) => way(proposal, isSerial))].join(
    "",
  );
}

/** A way to read the port: what to set, and what it makes of the last line. */
function way(proposal: Proposal, isSerial: boolean): string {
  const { format, baudRate, framing, isPolled, fits, heard, preview } = proposal;
  const other = framing === "8N1" ? "" : `, set to ${framing}`;
  const rate = isSerial ? ` --baud ${baudRate}${other}` : "";
  const how = isPolled ? "when it is asked" : `${fits} of ${heard} lines`;
  return `  ${channelsText(preview)}\n      --format "${format}"${rate}   (${how})\n`;
}

function json(
  { port, seconds, baudRate }: ListenCall,
  { best, proposals, answers, message }: HeardPort,
): string {
  const formats = proposals.map(({ format, ...others }) => ({ spec: format, ...others }));
  const { lines = [], overlongLines = 0 } = best ?? {};
  return `${JSON.stringify({ port, seconds, baudRate, lines, overlongLines, answers, formats, message })}\n`;
}
