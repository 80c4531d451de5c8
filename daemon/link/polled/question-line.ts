import type { Clock } from "#daemon/clock";
import { LateAnswers } from "#daemon/link/polled/late-answers";
import type { Answer, Hearing, Question } from "#daemon/link/polled/question";

/** Who asks: told what came and belonged to no answer. */
export interface Asker {
  /** Bytes that were thrown away, the first of them. */
  passedOver(bytes: Uint8Array): void;
  /** The answer to a question came so long after it was first asked, s: too late. */
  cameLate(seconds: number): void;
}

/** How it went with a question; `closed` when the line was closed or the asker left meanwhile. */
export type Outcome =
  | { readonly kind: "answered"; readonly answer: Answer; readonly atSeconds: number }
  | { readonly kind: "unanswered" }
  | { readonly kind: "closed" };

/** What a line of questions needs. */
export interface QuestionLineParts {
  readonly clock: Clock;
  /** Sends a question; false when it cannot be sent now. */
  readonly write: (bytes: Uint8Array) => boolean;
  /** Of a serial line; null where bytes take no time. */
  readonly baudRate: number | null;
  /** How often a question is asked that is not answered; twice unless something else is given. */
  readonly tries?: number | undefined;
}

const USUAL_TRIES = 2;
/** Before anything is asked on a line that was just opened, and after a missing answer, it is quiet for so long, s. */
const QUIET_SECONDS = 0.1;
/** A line that never is quiet is asked all the same after so long, s. */
const LONGEST_QUIET_SECONDS = 2;
/** A character on the line: start, eight data bits, parity or a second stop, stop. */
const BITS_PER_CHARACTER = 11;
/** The pause that parts RTU frames, characters; and its least, s (MODBUS over Serial Line V1.02, 2.5.1.1; from memory). */
const GAP_CHARACTERS = 3.5;
const LEAST_GAP_SECONDS = 0.00175;
const MOST_STRAY_BYTES = 120;

/** The question that waits for its answer. */
interface Asked {
  readonly question: Question;
  readonly hearing: Hearing;
  readonly settle: (answer: Answer | null) => void;
}

interface Entry {
  readonly question: Question;
  readonly asker: Asker;
  readonly settle: (outcome: Outcome) => void;
}

/**
 * One opening of a line on which instruments are asked: one question at a time, whoever asks. It is answered, or
 * asked once more, or given up. Whatever comes while nobody waits is thrown away, and questions whose answers
 * look alike are kept apart, so that a late answer is never taken for that of the next question.
 *
 *     ask ─▶ queue ─▶ quiet? ─▶ send ─▶ hear ─▶ answered
 *                       ▲                └──▶ timed out ─▶ once more ─▶ unanswered
 *                       └─────────────────────────┘
 */
export class QuestionLine {
  readonly #parts: QuestionLineParts;
  readonly #late = new LateAnswers();
  #queue: Entry[] = [];
  #isServing = false;
  #isClosed = false;
  #current: Asked | null = null;
  #lastAsker: Asker | null = null;
  /** Who asked each question last. */
  readonly #askers = new Map<string, Asker>();
  /** When a byte came last, or the last question was over. */
  #lastHeardAtSeconds: number;
  #quietSeconds = QUIET_SECONDS;
  #stray: number[] = [];
  readonly #pauses = new Set<() => void>();
  #wake: (() => void) | null = null;

  constructor(parts: QuestionLineParts) {
    this.#parts = parts;
    this.#lastHeardAtSeconds = parts.clock.monotonicSeconds();
  }

  /** True once it is gone. */
  get isClosed(): boolean {
    return this.#isClosed;
  }

  /** Asks when its turn comes; always settles. */
  ask(question: Question, asker: Asker): Promise<Outcome> {
    return new Promise((settle) => {
      if (this.#isClosed) return settle({ kind: "closed" });
      this.#queue.push({ question, asker, settle });
      this.#wake?.();
      if (!this.#isServing) void this.#serve();
    });
  }

  /** Somebody has nothing more to ask: what is not asked yet is dropped. */
  forget(asker: Asker): void {
    const left = this.#queue.filter((entry) => entry.asker === asker);
    this.#queue = this.#queue.filter((entry) => entry.asker !== asker);
    for (const { settle } of left) settle({ kind: "closed" });
  }

  /** Bytes that came on the line. */
  hear(chunk: Uint8Array): void {
    this.#lastHeardAtSeconds = this.#nowSeconds();
    const current = this.#current;
    if (current) this.#tellLate(chunk, current.question);
    const answer = current?.hearing.push(chunk);
    if (!current) this.#hearLate(chunk);
    else if (answer) {
      this.#current = null;
      const { rest } = current.hearing;
      current.settle(answer);
      if (rest.length > 0) this.#hearLate(rest);
    }
  }

  /** The line is gone: every question settles. */
  close(): void {
    this.#isClosed = true;
    for (const { settle } of this.#queue.splice(0)) settle({ kind: "closed" });
    this.#current?.settle(null);
    for (const end of this.#pauses) end();
  }

  /** Waits, but not longer than the line is open. */
  pause(seconds: number): Promise<void> {
    return new Promise((resolve) => {
      if (this.#isClosed) return resolve();
      const end = () => {
        clearTimeout(timer);
        this.#pauses.delete(end);
        resolve();
      };
      const timer = setTimeout(end, Math.max(0, seconds) * 1000);
      this.#pauses.add(end);
    });
  }

  #nowSeconds(): number {
    return this.#parts.clock.monotonicSeconds();
  }

  async #serve(): Promise<void> {
    this.#isServing = true;
    while (!this.#isClosed && this.#queue.length > 0) {
      const entry = this.#takeNext();
      if (entry) entry.settle(await this.#exchange(entry));
      else await this.#waitForTurn();
    }
    this.#isServing = false;
  }

  /** The first in the queue that may be asked now. */
  #takeNext(): Entry | null {
    const nowSeconds = this.#nowSeconds();
    const index = this.#queue.findIndex(({ question }) => this.#late.notBefore(question) <= nowSeconds);
    return index < 0 ? null : (this.#queue.splice(index, 1)[0] ?? null);
  }

  async #waitForTurn(): Promise<void> {
    const earliest = Math.min(...this.#queue.map(({ question }) => this.#late.notBefore(question)));
    const isWoken = new Promise<void>((resolve) => {
      this.#wake = resolve;
    });
    await Promise.race([isWoken, this.pause(earliest - this.#nowSeconds())]);
    this.#wake = null;
  }

  async #exchange(entry: Entry): Promise<Outcome> {
    this.#lastAsker = entry.asker;
    this.#askers.set(entry.question.key, entry.asker);
    const { tries = USUAL_TRIES } = this.#parts;
    for (let left = tries; left > 0; left--) {
      await this.#untilQuiet(entry.question);
      if (this.#isClosed) return { kind: "closed" };
      const answer = await this.#askOnce(entry);
      if (answer && !(answer.kind === "refusal" && answer.isBusy && left > 1))
        return { kind: "answered", answer, atSeconds: this.#nowSeconds() };
      if (this.#isClosed) return { kind: "closed" };
    }
    return { kind: "unanswered" };
  }

  /** Waits until nothing has come for long enough; throws away what comes. */
  async #untilQuiet(question: Question): Promise<void> {
    const sinceSeconds = this.#nowSeconds();
    while (!this.#isClosed) {
      const nowSeconds = this.#nowSeconds();
      const isMidAnswer = this.#late.isMidAnswer(question, nowSeconds);
      const left = this.#lastHeardAtSeconds + this.#quietSeconds - nowSeconds;
      const isLongEnough = nowSeconds - sinceSeconds >= LONGEST_QUIET_SECONDS;
      if (!isMidAnswer && (left <= 0 || isLongEnough)) break;
      await this.pause(isMidAnswer ? Math.max(left, QUIET_SECONDS) : left);
    }
    this.#tellStray();
  }

  async #askOnce({ question, asker }: Entry): Promise<Answer | null> {
    const hearing = question.begin();
    const askedAtSeconds = this.#nowSeconds();
    const waitSeconds = question.timeoutSeconds + this.#characterSeconds() * question.bytesOnLine;
    const answer = await new Promise<Answer | null>((resolve) => {
      const timer = setTimeout(() => resolve(null), waitSeconds * 1000);
      const settle = (heard: Answer | null) => {
        clearTimeout(timer);
        resolve(heard);
      };
      this.#current = { question, hearing, settle };
      this.#parts.write(hearing.request);
    });
    this.#current = null;
    const noise = hearing.takeNoise(answer === null && !hearing.isMidAnswer);
    if (noise.length > 0) asker.passedOver(noise);
    const nowSeconds = this.#nowSeconds();
    const mayFollow = answer === null || (answer.kind === "refusal" && answer.mayFollow);
    const lateHearing = answer === null ? hearing : question.begin();
    if (mayFollow) this.#late.expect(question, lateHearing, askedAtSeconds, nowSeconds);
    else this.#late.answered(question, askedAtSeconds, nowSeconds);
    this.#lastHeardAtSeconds = nowSeconds;
    this.#quietSeconds = mayFollow ? QUIET_SECONDS : this.#gapSeconds();
    return answer;
  }

  /** What comes while nobody waits: perhaps an answer that is late, and thrown away in any case. */
  #hearLate(chunk: Uint8Array): void {
    for (const byte of chunk.subarray(0, MOST_STRAY_BYTES - this.#stray.length)) this.#stray.push(byte);
    this.#tellLate(chunk, null);
  }

  #tellLate(chunk: Uint8Array, current: Question | null): void {
    for (const { question, seconds } of this.#late.hear(chunk, current, this.#nowSeconds()))
      this.#askers.get(question.key)?.cameLate(seconds);
  }

  #tellStray(): void {
    const stray = Uint8Array.from(this.#stray);
    this.#stray = [];
    if (stray.length > 0) this.#lastAsker?.passedOver(stray);
  }

  #characterSeconds(): number {
    const { baudRate } = this.#parts;
    return baudRate === null ? 0 : BITS_PER_CHARACTER / baudRate;
  }

  #gapSeconds(): number {
    const { baudRate } = this.#parts;
    return baudRate === null ? 0 : Math.max(LEAST_GAP_SECONDS, GAP_CHARACTERS * this.#characterSeconds());
  }
}
