import { formatSpec, type KnownFormat, type LineFormat, readLine } from "#daemon/link/formats/formats";
import { guessFormats } from "#daemon/link/listen";
import type { Channels } from "#daemon/link/reading";

/** When a line came, by both clocks. */
export interface Moment {
  readonly seconds: number;
  readonly epochMilliseconds: number;
}

/** Lines that `auto` wants to hear before it chooses. */
const LINES_TO_CHOOSE_FROM = 5;
/** Of these, so many must fit. */
const LINES_THAT_FIT = 4;
/** Lines that are kept while none fits; the oldest then count as refused. */
const MOST_KEPT_LINES = 50;
/** So many refused lines in a row, and `auto` listens anew. */
const REFUSED_IN_A_ROW = 20;
const LONGEST_SHOWN_LINE = 120;

/** Lines to channels, in a given format or in the one that fits best; counts what it takes and refuses. */
export class LineReader {
  acceptedLines = 0;
  refusedLines = 0;
  lastRefusedLine: string | null = null;
  /** Why the last line was refused; null while lines are understood. */
  fault: string | null = null;
  /** Refused lines since the last one that was understood. */
  refusedInARow = 0;
  readonly #isAuto: boolean;
  readonly #onChannels: (channels: Channels, moment: Moment) => void;
  #format: KnownFormat | null;
  #kept: { readonly line: string; readonly moment: Moment }[] = [];

  constructor(format: LineFormat, onChannels: (channels: Channels, moment: Moment) => void) {
    this.#isAuto = format.kind === "auto";
    this.#format = format.kind === "auto" ? null : format;
    this.#onChannels = onChannels;
  }

  /** The short text of the format in use; null while it is not known. */
  get spec(): string | null {
    return this.#format && formatSpec(this.#format);
  }

  /** Takes a line. @returns true when it, or the lines kept before it, could be read */
  read(line: string, moment: Moment): boolean {
    if (this.#format) return this.#readIn(this.#format, line, moment);
    this.#kept.push({ line, moment });
    this.#format = this.#choose();
    if (this.#format) return this.#readKept(this.#format);
    if (this.#kept.length > MOST_KEPT_LINES) this.#refuseOldest();
    return false;
  }

  /** Nothing more will come: what is kept is read by the format that fits all of it, or refused. */
  end(): void {
    const best = this.#format ? undefined : guessFormats(this.#kept.map(({ line }) => line))[0];
    if (best && best.fits > 0 && best.fits >= this.#kept.length - 1) {
      this.#format = best.format;
      this.#readKept(best.format);
    }
    while (this.#kept.length > 0) this.#refuseOldest();
  }

  #readIn(format: KnownFormat, line: string, moment: Moment): boolean {
    const result = readLine(format, line);
    if (!result.ok) {
      this.#refuse(line, result.why);
      if (this.#isAuto && this.refusedInARow >= REFUSED_IN_A_ROW) this.#format = null;
      return false;
    }
    this.acceptedLines += 1;
    this.refusedInARow = 0;
    this.fault = null;
    this.#onChannels(result.channels, moment);
    return true;
  }

  #choose(): KnownFormat | null {
    const newest = this.#kept.slice(-LINES_TO_CHOOSE_FROM).map(({ line }) => line);
    if (newest.length < LINES_TO_CHOOSE_FROM) return null;
    const best = guessFormats(newest)[0];
    return best && best.fits >= LINES_THAT_FIT ? best.format : null;
  }

  #readKept(format: KnownFormat): boolean {
    const kept = this.#kept;
    this.#kept = [];
    return kept.map(({ line, moment }) => this.#readIn(format, line, moment)).some((isRead) => isRead);
  }

  #refuseOldest(): void {
    const oldest = this.#kept.shift();
    if (oldest) this.#refuse(oldest.line, "no format fits");
  }

  #refuse(line: string, why: string): void {
    this.refusedLines += 1;
    this.refusedInARow += 1;
    this.lastRefusedLine = printable(line);
    this.fault = printable(why);
  }
}

/** A text as it can be shown: cut to 120 characters, controls and broken letters as a dot. */
function printable(text: string): string {
  return text.slice(0, LONGEST_SHOWN_LINE).replace(/\p{C}/gu, "·");
}
