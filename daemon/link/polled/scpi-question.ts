import type { ScpiQuery } from "#daemon/link/formats/scpi-format";
import type { Answer, Hearing, Question } from "#daemon/link/polled/question";
import { readScpiAnswer, scpiError } from "#daemon/link/polled/scpi-answer";

/** The longest answer that is believed, bytes. */
export const LONGEST_ANSWER_BYTES = 1024;
/** A usual answer, for its time on the line. */
const USUAL_ANSWER_BYTES = 24;
const MOST_NOISE_BYTES = 120;
const LINE_FEED = 0x0a;
const CARRIAGE_RETURN = 0x0d;
/** A carriage return is white space to who wants the line feed alone (IEEE 488.2, 7.4.1.2; from memory). */
const LINE_END = "\r\n";

/** What a line is to a question: its answer, nothing, or something that belongs to another. */
type Reading = Answer | "nothing" | "noise";

/** A query for values as a question. */
export function scpiQuestion(query: ScpiQuery, timeoutSeconds: number): Question {
  return lineQuestion(query.query, "scpi", timeoutSeconds, (line) => readValues(query, line));
}

/**
 * The instrument asked for the oldest entry of its error queue. No reading looks like one, so it need not wait
 * until a reading that is late has come.
 */
export function scpiErrorQuestion(timeoutSeconds: number): Question {
  return lineQuestion("SYSTem:ERRor?", "scpi error", timeoutSeconds, (line) => {
    const error = scpiError(line);
    return error
      ? { kind: "refusal", why: errorWords(error), isSaid: true, isBusy: false, mayFollow: false }
      : "noise";
  });
}

/** The instrument asked who it is; its answer is told as a refusal, for it is no value. */
export function scpiIdentityQuestion(timeoutSeconds: number): Question {
  return lineQuestion("*IDN?", "scpi", timeoutSeconds, (line) => ({
    kind: "refusal",
    why: line,
    isSaid: true,
    isBusy: false,
    mayFollow: false,
  }));
}

function lineQuestion(
  query: string,
  shape: string,
  timeoutSeconds: number,
  read: (line: string) => Reading,
): Question {
  return {
    words: query,
    askee: "scpi",
    key: `scpi ${query}`,
    shape,
    timeoutSeconds,
    bytesOnLine: query.length + LINE_END.length + USUAL_ANSWER_BYTES,
    begin: () => new LineHearing(query, read),
  };
}

function readValues(query: ScpiQuery, line: string): Reading {
  const error = scpiError(line);
  if (error)
    return { kind: "refusal", why: `the instrument says ${errorWords(error)}`, ...said, mayFollow: true };
  const result = readScpiAnswer(query, line);
  return result.ok
    ? { kind: "values", fields: result.fields }
    : { kind: "refusal", why: result.why, isSaid: false, isBusy: false, mayFollow: true };
}

const said = { isSaid: true, isBusy: false } as const;

function errorWords({ code, text }: { readonly code: number; readonly text: string }): string {
  return `${code}, "${text.slice(0, 80)}"`;
}

/** The hearing of one line that answers a query. An empty line is none, and neither is the echo of the query. */
class LineHearing implements Hearing {
  readonly request: Uint8Array;
  rest: Uint8Array = new Uint8Array();
  readonly #query: string;
  readonly #read: (line: string) => Reading;
  readonly #line = Buffer.alloc(LONGEST_ANSWER_BYTES);
  #length = 0;
  #isOverlong = false;
  #noise = "";

  constructor(query: string, read: (line: string) => Reading) {
    this.request = Buffer.from(query + LINE_END, "latin1");
    this.#query = query;
    this.#read = read;
  }

  get isMidAnswer(): boolean {
    return this.#length > 0 || this.#isOverlong;
  }

  push(chunk: Uint8Array): Answer | null {
    for (let at = 0; at < chunk.length; at++) {
      const byte = chunk[at] ?? 0;
      if (byte !== LINE_FEED && byte !== CARRIAGE_RETURN) this.#keep(byte);
      else {
        const answer = this.#endLine();
        if (!answer) continue;
        this.rest = chunk.subarray(at + 1);
        return answer;
      }
    }
    return null;
  }

  takeNoise(isOver: boolean): Uint8Array {
    const half = isOver ? this.#line.toString("latin1", 0, this.#length) : "";
    const noise = (this.#noise + half).slice(0, MOST_NOISE_BYTES);
    this.#noise = "";
    return Buffer.from(noise, "latin1");
  }

  #keep(byte: number): void {
    if (this.#isOverlong) return;
    if (this.#length === LONGEST_ANSWER_BYTES) {
      this.#pass(this.#line.toString("latin1", 0, MOST_NOISE_BYTES));
      this.#isOverlong = true;
      this.#length = 0;
      return;
    }
    this.#line[this.#length] = byte;
    this.#length += 1;
  }

  #endLine(): Answer | null {
    const line = this.#line.toString("latin1", 0, this.#length).trim();
    const isNone = this.#isOverlong || line === "" || line.toLowerCase() === this.#query.toLowerCase();
    this.#length = 0;
    this.#isOverlong = false;
    if (isNone) return null;
    const reading = isPrintable(line) ? this.#read(line) : "noise";
    if (typeof reading !== "string") return reading;
    if (reading === "noise") this.#pass(line);
    return null;
  }

  #pass(line: string): void {
    if (this.#noise.length < MOST_NOISE_BYTES) this.#noise += line.slice(0, MOST_NOISE_BYTES);
  }
}

/** ASCII as a person could write it, with the degree and micro signs of Latin-1. */
function isPrintable(line: string): boolean {
  return /^[\t -~°µ]*$/.test(line);
}
