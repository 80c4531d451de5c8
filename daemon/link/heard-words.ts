import { type Hearing, isText, textFraction } from "#daemon/link/hearing";

const LONGEST_SHOWN_LINE = 120;
const elsewhere = "another program may be reading this port";
const settings =
  "give the baud rate that the instrument is set to, or set it to 9600 baud, 8 data bits and no parity";
const page = "daemon/link/formats/formats.md says what can be read";

/** What was tried with a port. */
interface Attempt {
  readonly port: string;
  /** Null when rates were searched. */
  readonly baudRate: number | null;
  /** The rates at which it was asked too; empty when it was not. */
  readonly askedAt: readonly number[];
  readonly isSerial: boolean;
}

/**
 * One line when no format fits a port: what was heard, and what to try.
 * @param hearings every opening of the port; several when rates were searched
 */
export function nothingFits(attempt: Attempt, hearings: readonly Hearing[]): string {
  const { port, baudRate, isSerial } = attempt;
  const spoken = hearings.filter(({ byteCount }) => byteCount > 0);
  const written = spoken.filter(isText).sort(byText)[0];
  const hearing = written ?? spoken[0];
  if (!hearing) return silence(attempt, hearings);
  if (isSerial && baudRate === null && !written)
    return `Bytes come from ${port}, but they are no text at any of the common baud rates${unanswered(attempt)}: ${settings}`;
  const rate = isSerial ? [`check the baud rate (${hearing.baudRate})`] : [];
  if (hearing.lines.length === 0)
    return `Bytes come from ${port}, but no whole line in ${said(hearing.seconds)} s: ${[...rate, "listen longer"].join(" or ")}`;
  const advice = written ? [page] : [...rate, page];
  return `No format fits the ${hearing.lines.length} lines heard from ${port}: ${advice.join("; ")}`;
}

/** What is most likely a text comes first; of several, what has more lines. */
export function byText(a: Hearing, b: Hearing): number {
  return textFraction(b.firstBytes) - textFraction(a.firstBytes) || b.lines.length - a.lines.length;
}

/** A text as it can be shown: cut to 120 characters, controls and broken letters as a dot. */
export function printable(text: string): string {
  return text.slice(0, LONGEST_SHOWN_LINE).replace(/[\p{C}\uFFFD]/gu, "·");
}

function silence(attempt: Attempt, hearings: readonly Hearing[]): string {
  const rates = new Set(hearings.map(({ baudRate }) => baudRate)).size;
  const seconds = said(hearings.reduce((sum, hearing) => sum + hearing.seconds, 0));
  const where = rates > 1 ? ` at any of ${rates} baud rates` : "";
  const nothing = `Nothing heard from ${attempt.port}${where} in ${seconds} s${unanswered(attempt)}`;
  return `${nothing}: check ${suspects(attempt)}; ${elsewhere}`;
}

function suspects({ askedAt, isSerial }: Attempt): string {
  if (askedAt.length === 0) return "the instrument and its cable and whether it speaks only when it is asked";
  return isSerial ? "the instrument, its cable and its baud rate" : "the instrument and its cable";
}

function unanswered({ askedAt, isSerial }: Attempt): string {
  if (askedAt.length === 0) return "";
  return `, nor an answer when it was asked${isSerial ? ` at ${askedAt.join(" and ")} baud` : ""}`;
}

function said(seconds: number): number {
  return Number(seconds.toPrecision(2));
}
