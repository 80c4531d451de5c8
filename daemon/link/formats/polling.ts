import { strictNumber } from "#daemon/link/formats/fields";

/** How often an instrument is asked, and how long its answer is waited for. */
export interface Polling {
  /** From the beginning of one round to the beginning of the next, s; a longer round is followed at once. */
  readonly everySeconds: number;
  /** Without the time that the bytes take on the line, s. */
  readonly timeoutSeconds: number;
}

interface Option {
  readonly name: keyof Polling;
  readonly least: number;
  readonly most: number;
}

const options: Readonly<Record<string, Option>> = {
  every: { name: "everySeconds", least: 0.1, most: 60 },
  timeout: { name: "timeoutSeconds", least: 0.05, most: 10 },
};

/** The polling that a format without options has. */
export const DEFAULT_POLLING: Readonly<Record<"modbus" | "scpi", Polling>> = {
  modbus: { everySeconds: 1, timeoutSeconds: 0.5 },
  scpi: { everySeconds: 1, timeoutSeconds: 1 },
};

/** The entries of a polled format: what is between its semicolons, without the spaces around; empty ones go. */
export function entriesOf(text: string): string[] {
  return text
    .split(";")
    .map((entry) => entry.trim())
    .filter((entry) => entry !== "");
}

/** An entry cut at its last `=`; null where there is none. */
export function namedEntry(entry: string): readonly [string, string] | null {
  const equals = entry.lastIndexOf("=");
  return equals < 0 ? null : [entry.slice(0, equals).trim(), entry.slice(equals + 1).trim()];
}

/** An entry that is an option, as a part of the polling; what is wrong with it; null when it is no option. */
export function pollingOption(name: string, value: string): Partial<Polling> | string | null {
  const option = options[name];
  if (!option) return null;
  const seconds = strictNumber(value);
  if (seconds === null || seconds < option.least || seconds > option.most)
    return `${name} takes ${option.least} to ${option.most} s`;
  return { [option.name]: seconds };
}

/** The options as entries; those that say nothing new are left out. */
export function pollingEntries(polling: Polling, usual: Polling): string[] {
  return Object.entries(options).flatMap(([name, option]) =>
    polling[option.name] === usual[option.name] ? [] : [`${name}=${polling[option.name]}`],
  );
}

/** Whether a number may scale a value: not 0, and neither absurdly small nor large. */
export function isScale(value: number): boolean {
  return Math.abs(value) >= 1e-9 && Math.abs(value) <= 1e9;
}
