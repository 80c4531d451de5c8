import { once } from "node:events";
import type { Writable } from "node:stream";

/** Where a verb writes: its result to `out`, its remarks to `notes`. */
export type Verb = (args: readonly string[], out: Writable, notes: Writable) => Promise<number>;

/** The data says yes. */
export const GOOD = 0;
/** The data says no. */
export const SAYS_NO = 1;
/** The call or the input is wrong. */
export const WRONG_CALL = 2;
/** We are wrong; the number that sysexits.h has for it. */
export const OWN_FAULT = 70;

/** Writes text, and waits while the reader is slower than we are. */
export async function write(out: Writable, text: string): Promise<void> {
  if (!out.write(text) && !out.destroyed) await once(out, "drain");
}

/** Writes a value as JSON, indented for people, with a line end. */
export function writeJson(out: Writable, value: unknown): Promise<void> {
  return write(out, `${JSON.stringify(value, null, 2)}\n`);
}

/**
 * Rows set in columns: the first column to the left, the others to the right.
 * @example columns([["hold 1", "60 s"], ["hold 12", "5 s"]]) // "hold 1   60 s\nhold 12   5 s\n"
 */
export function columns(rows: readonly (readonly string[])[]): string {
  const widths: number[] = [];
  for (const row of rows)
    for (const [index, cell] of row.entries()) widths[index] = Math.max(widths[index] ?? 0, cell.length);
  return rows
    .map((row) =>
      row
        .map((cell, index) => (index === 0 ? cell.padEnd(widths[0] ?? 0) : cell.padStart(widths[index] ?? 0)))
        .join("  ")
        .trimEnd(),
    )
    .map((line) => `${line}\n`)
    .join("");
}
