import { type Logger, pino } from "pino";

export type Log = Logger;

/** The log on stderr, one JSON line each: quiet unless something needs a look. */
export function openLog(isVerbose: boolean): Log {
  return pino({ level: isVerbose ? "debug" : "warn" }, pino.destination({ dest: 2, sync: true }));
}
