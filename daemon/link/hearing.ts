import { type FormatGuess, guessFormats } from "#daemon/link/listen";
import type { SerialFraming } from "#shared/furnace";

/** How a port is opened to be heard. */
export interface Tuning {
  readonly baudRate: number;
  readonly framing: SerialFraming;
}

/** What was heard of a port that was opened in one way. */
export interface Hearing extends Tuning {
  /** Whole lines, oldest first; the one that was cut by the opening is not among them. */
  readonly lines: readonly string[];
  readonly overlongLines: number;
  /** Bytes that came, and the first of them. */
  readonly byteCount: number;
  readonly firstBytes: Uint8Array;
  /** How long it was listened to, s. */
  readonly seconds: number;
  /** How long nothing has come, s. */
  readonly quietSeconds: number;
}

/** How long a port is listened to at one rate. */
export interface Patience {
  /** For anything to come, s. */
  readonly silentSeconds: number;
  /** For lines to come, once something has, s. */
  readonly seconds: number;
  /** False where no other rate is tried: then it is listened to for all of `seconds`. */
  readonly isSearching: boolean;
}

/** Go on listening; try something else; enough was heard. */
export type HearingStep = "listen" | "next" | "enough";

/** Common rates, the likeliest first. */
export const COMMON_BAUD_RATES = [9600, 115_200, 19_200, 38_400, 57_600, 4800, 2400, 1200] as const;

/** Lines that are kept of one opening. */
export const MOST_LINES = 200;
/** Bytes that are kept to see whether they are text. */
export const MOST_FIRST_BYTES = 1024;

/** So many lines that fit are enough at once; three are, when the time is up: they tell a clock from a climb. */
const LINES_ENOUGH = 5;
const LINES_OF_A_SLOW_ONE = 3;
/** A slow instrument is waited for so many times longer, once its text is known. */
const TIMES_LONGER = 3;
/** At the right rate all bytes are printable but a few after the opening; at most others hardly half of them. */
const TEXT_FRACTION = 0.8;
const DIGIT_FRACTION = 0.15;
/** So many bytes are judged at once, so few when the instrument has paused for so long, s. */
const BYTES_TO_JUDGE = 24;
const BYTES_OF_A_BURST = 4;
const PAUSE_SECONDS = 0.3;
const LINES_TO_GUESS_FROM = 20;
const BYTES_OF_AN_OPENING = 2;
const OPENING_SECONDS = 0.1;

/** Whether nobody spoke: nothing came, or a byte or two with the opening, which adapters make by themselves. */
export function isSilence({ byteCount, seconds, quietSeconds }: Hearing): boolean {
  const lastAtSeconds = seconds - quietSeconds;
  return byteCount === 0 || (byteCount <= BYTES_OF_AN_OPENING && lastAtSeconds <= OPENING_SECONDS);
}

/** What to do after what was heard so far. */
export function hearingStep(hearing: Hearing, patience: Patience): HearingStep {
  const isUp = hearing.seconds >= patience.seconds;
  if (!patience.isSearching) return isUp || hearing.lines.length >= MOST_LINES ? "enough" : "listen";
  if (hearing.byteCount === 0) return hearing.seconds >= patience.silentSeconds ? "next" : "listen";
  if (!isText(hearing)) return isUp || canJudge(hearing) ? "next" : "listen";
  const fits = newestGuess(hearing)?.fits ?? 0;
  if (fits >= LINES_ENOUGH || (isUp && fits >= LINES_OF_A_SLOW_ONE)) return "enough";
  const longest = hasDigits(hearing) ? TIMES_LONGER * patience.seconds : patience.seconds;
  if (hearing.seconds < longest) return "listen";
  return fits > 0 ? "enough" : "next";
}

/**
 * Whether bytes are a text: printable letters, tabs and line ends, but for a few. Heard at half its rate a text
 * may look like one too, of letters: only what fits a format is known to be right.
 * @example isText({ firstBytes: new TextEncoder().encode("512.4 °C\r\n") }) // true
 */
export function isText(hearing: Pick<Hearing, "firstBytes">): boolean {
  return textFraction(hearing.firstBytes) >= TEXT_FRACTION;
}

/** Whether bytes are a text with readings in it; one at half its rate has no digits. */
export function isTextWithNumbers(hearing: Hearing): boolean {
  return isText(hearing) && hasDigits(hearing);
}

/** The share of bytes that are letters of a text. */
export function textFraction(bytes: Uint8Array): number {
  const letters = [...new TextDecoder("utf-8", { fatal: false }).decode(bytes)];
  const good = letters.filter((letter) => /[\t\r\n]|[^\p{C}\uFFFD]/u.test(letter)).length;
  return letters.length === 0 ? 0 : good / letters.length;
}

/**
 * The framing of an instrument with seven data bits and parity, heard as eight: its parity stands in the eighth
 * bit. Null when the bytes are nothing of the kind, or too few to know.
 */
export function sevenBitFraming({ firstBytes, byteCount }: Hearing): "7E1" | "7O1" | null {
  if (byteCount < BYTES_TO_JUDGE || textFraction(firstBytes.map((byte) => byte & 0x7f)) < 0.95) return null;
  const odd = firstBytes.filter((byte) => countOfOnes(byte) % 2 === 1).length / firstBytes.length;
  if (odd <= 0.05) return "7E1";
  return odd >= 0.95 ? "7O1" : null;
}

/** The formats that fit all that was heard. */
export function hearingGuesses({ lines }: Hearing): FormatGuess[] {
  return guessFormats(lines);
}

function newestGuess({ lines }: Hearing): FormatGuess | undefined {
  return guessFormats(lines.slice(-LINES_TO_GUESS_FROM))[0];
}

function canJudge({ byteCount, quietSeconds }: Hearing): boolean {
  return byteCount >= BYTES_TO_JUDGE || (byteCount >= BYTES_OF_A_BURST && quietSeconds >= PAUSE_SECONDS);
}

/** Readings have digits; a text at half its rate has none. */
function hasDigits({ firstBytes }: Hearing): boolean {
  const digits = firstBytes.filter((byte) => byte >= 0x30 && byte <= 0x39).length;
  return digits >= DIGIT_FRACTION * firstBytes.length;
}

function countOfOnes(byte: number): number {
  let ones = 0;
  for (let bits = byte; bits > 0; bits >>= 1) ones += bits & 1;
  return ones;
}
