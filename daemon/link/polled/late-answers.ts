import type { Answer, Hearing, Question } from "#daemon/link/polled/question";

/** An answer that looks alike is not asked for before so many timeouts have passed since the last asking. */
const LATE_TIMEOUTS = 4;
const LEAST_LATE_SECONDS = 1;
/** A late answer shows how slow an instrument is; it is given so much more. */
const SLOWNESS_MARGIN = 1.25;
/** The slowest answer that is reckoned with, s, unless the timeouts say more. */
const SLOWEST_SECONDS = 10;

/** An answer that came after its question was given up. */
export interface LateAnswer {
  readonly question: Question;
  /** After the asking, s. */
  readonly seconds: number;
}

interface Owed {
  readonly question: Question;
  /** Hears what comes late. */
  hearing: Hearing;
  /** When it was asked, once for each answer that may still come, oldest first, s. */
  askedAtSeconds: number[];
  /** From then on none is waited for any more. */
  untilSeconds: number;
}

/**
 * The answers that may still come, of questions that were given up. An instrument answers in the order in which
 * it is asked; so an answer in time is the one to the oldest asking, and another may follow it. A question whose
 * answer could not be told from one of these has to wait, until the instrument has answered something else.
 */
export class LateAnswers {
  readonly #owed = new Map<string, Owed>();
  /** The slowest answer so far that came late, s. */
  #slowestSeconds = 0;

  /** When this question may be asked at the earliest; 0 for now. */
  notBefore({ shape, key }: Question): number {
    const owed = this.#owed.get(shape);
    return owed && owed.question.key !== key ? owed.untilSeconds : 0;
  }

  /** Whether half of a late answer has come, whose other half would be taken for a whole one. */
  isMidAnswer({ shape }: Question, nowSeconds: number): boolean {
    const owed = this.#owed.get(shape);
    return owed?.hearing.isMidAnswer === true && nowSeconds < owed.untilSeconds;
  }

  /** A question was given up. @param hearing what heard it, perhaps half of its answer */
  expect(question: Question, hearing: Hearing, askedAtSeconds: number, nowSeconds: number): void {
    const before = this.#awaited(question, nowSeconds);
    const owed = { question, hearing, askedAtSeconds: [...before, askedAtSeconds], untilSeconds: 0 };
    owed.untilSeconds = askedAtSeconds + this.#patienceSeconds(question);
    this.#owed.set(question.shape, owed);
  }

  /** A question was answered in time; after an earlier one was given up, that may have been its answer. */
  answered(question: Question, askedAtSeconds: number, nowSeconds: number): void {
    const before = this.#awaited(question, nowSeconds);
    const [oldest] = before;
    if (oldest === undefined) this.#forgetAllOf(question);
    else {
      this.#learn(nowSeconds - oldest);
      this.expect(question, question.begin(), askedAtSeconds, nowSeconds);
      this.#owed.get(question.shape)?.askedAtSeconds.shift();
    }
  }

  /**
   * Bytes that came on the line.
   * @param current the question that is asked now, and takes its answer itself; null while none is
   * @returns the late answers among them: to which question, and after how long, s
   */
  hear(chunk: Uint8Array, current: Question | null, nowSeconds: number): LateAnswer[] {
    return [...this.#owed.values()].flatMap((owed) => {
      if (owed.question.shape === current?.shape || !isCome(owed.hearing.push(chunk))) return [];
      const [oldest, ...others] = this.#awaited(owed.question, nowSeconds);
      if (oldest === undefined) return [];
      const seconds = nowSeconds - oldest;
      this.#learn(seconds);
      owed.askedAtSeconds = others;
      owed.hearing = owed.question.begin();
      const newest = others.at(-1);
      if (newest === undefined) this.#forget(owed.question);
      else owed.untilSeconds = Math.max(owed.untilSeconds, newest + this.#patienceSeconds(owed.question));
      return [{ question: owed.question, seconds }];
    });
  }

  /** When this question was asked without an answer so far, as far back as one can still come. */
  #awaited({ shape, key, timeoutSeconds }: Question, nowSeconds: number): number[] {
    const owed = this.#owed.get(shape);
    if (owed?.question.key !== key) return [];
    const longest = Math.max(SLOWEST_SECONDS, LATE_TIMEOUTS * timeoutSeconds);
    return owed.askedAtSeconds.filter((askedAt) => nowSeconds - askedAt <= longest);
  }

  /** Who has answered this has nothing more to say to what was asked before. */
  #forgetAllOf({ askee }: Question): void {
    for (const [shape, owed] of this.#owed) if (owed.question.askee === askee) this.#owed.delete(shape);
  }

  #forget({ shape, key }: Question): void {
    if (this.#owed.get(shape)?.question.key === key) this.#owed.delete(shape);
  }

  #learn(seconds: number): void {
    this.#slowestSeconds = Math.max(this.#slowestSeconds, Math.min(seconds, SLOWEST_SECONDS));
  }

  #patienceSeconds({ timeoutSeconds }: Question): number {
    const usual = Math.max(LATE_TIMEOUTS * timeoutSeconds, LEAST_LATE_SECONDS);
    return Math.max(usual, SLOWNESS_MARGIN * this.#slowestSeconds);
  }
}

/** Whether this is the answer, and not what may be said before it. */
function isCome(answer: Answer | null): boolean {
  return answer !== null && !(answer.kind === "refusal" && answer.mayFollow);
}
