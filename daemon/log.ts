import { type DestinationStream, type Logger, pino } from "pino";

export type Log = Logger;

/**
 * The log on stderr, quiet unless something needs a look: a plain line each for somebody at a terminal, a
 * JSON line each for whatever collects logs.
 */
export function openLog(isVerbose: boolean, isTerminal = process.stderr.isTTY === true): Log {
  const lines = pino.destination({ dest: 2, sync: true });
  return pino({ level: isVerbose ? "debug" : "warn" }, isTerminal ? plainLines(lines) : lines);
}

/** Writes of each entry what it says, and where. */
export function plainLines(to: { write(line: string): unknown }): DestinationStream {
  return {
    write: (entry) => {
      const { msg, furnaceId, err } = JSON.parse(entry) as LogEntry;
      const where = furnaceId === undefined ? "" : `${furnaceId}: `;
      const why = err?.message === undefined ? "" : ` (${err.message})`;
      to.write(`${where}${msg ?? "something went wrong"}${why}\n`);
    },
  };
}

/** What our own logger writes; not read from anywhere else. */
interface LogEntry {
  readonly msg?: string;
  readonly furnaceId?: string;
  readonly err?: { readonly message?: string };
}
