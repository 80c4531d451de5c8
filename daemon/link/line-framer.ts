import { ReadlineParser } from "@serialport/parser-readline";

/** The longest line that is believed, bytes without its end. */
export const LONGEST_LINE_BYTES = 4096;

const LINE_FEED = 0x0a;
const CARRIAGE_RETURN = 0x0d;

/**
 * Bytes to lines, in bounded memory: a line longer than 4 KiB is dropped and counted. It ends at `\n`, `\r\n`
 * or `\r`; empty lines are passed over. Nothing is believed before the first line end, because nobody knows
 * where that line began. For one opening of a port; the next opening takes a new framer.
 *
 *     bytes ─▶ whole lines, none too long ─▶ ReadlineParser ─▶ text
 *
 * The parser alone would keep a line without an end for ever and search it anew with every chunk.
 */
export class LineFramer {
  /** Lines that were too long, the one before the first line end included. */
  overlongLines = 0;
  /** Bytes that have come in, lines or not. */
  heardBytes = 0;
  /** Bytes since the last line end, kept or not. */
  bytesSinceLineEnd = 0;
  readonly #line = Buffer.alloc(LONGEST_LINE_BYTES + 1);
  #length = 0;
  #isOverlong = false;
  #isBegun = false;
  readonly #parser = new ReadlineParser({ delimiter: "\n", encoding: "latin1" });

  /** @param onLine gets each line as text, without its end; bytes that are not UTF-8 become U+FFFD */
  constructor(onLine: (line: string) => void) {
    // Latin-1 keeps every byte as it is; decoding UTF-8 here would carry a broken letter into the next line.
    this.#parser.on("data", (line: string) => onLine(Buffer.from(line, "latin1").toString("utf8")));
  }

  /** Bytes kept for a line that has not ended yet. */
  get bufferedBytes(): number {
    return this.#length;
  }

  push(chunk: Uint8Array): void {
    this.heardBytes += chunk.length;
    let from = 0;
    for (let at = 0; at < chunk.length; at++) {
      const byte = chunk[at];
      if (byte !== LINE_FEED && byte !== CARRIAGE_RETURN) continue;
      this.#keep(chunk.subarray(from, at));
      this.#endLine();
      from = at + 1;
    }
    this.#keep(chunk.subarray(from));
    this.bytesSinceLineEnd += chunk.length - from;
  }

  /** No line comes out afterwards. */
  close(): void {
    this.#parser.removeAllListeners("data");
    this.#parser.destroy();
  }

  #keep(bytes: Uint8Array): void {
    if (this.#isOverlong) return;
    if (this.#length + bytes.length > LONGEST_LINE_BYTES) {
      this.#isOverlong = true;
      this.overlongLines += 1;
      this.#length = 0;
      return;
    }
    this.#line.set(bytes, this.#length);
    this.#length += bytes.length;
  }

  #endLine(): void {
    if (this.#isBegun && this.#length > 0) {
      this.#line[this.#length] = LINE_FEED;
      this.#parser.write(Buffer.from(this.#line.subarray(0, this.#length + 1)));
    }
    this.bytesSinceLineEnd = 0;
    this.#isBegun = true;
    this.#isOverlong = false;
    this.#length = 0;
  }
}
