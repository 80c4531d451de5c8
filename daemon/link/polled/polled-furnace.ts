import type { FieldText } from "#daemon/link/formats/fields";
import { formatSpec, type PolledFormat } from "#daemon/link/formats/formats";
import { DEFAULT_SILENCE_SECONDS, type LinkOptions } from "#daemon/link/link";
import { modbusQuestion } from "#daemon/link/polled/modbus-question";
import { modbusReads } from "#daemon/link/polled/modbus-reads";
import type { Question } from "#daemon/link/polled/question";
import type { Asker, Outcome, QuestionLine } from "#daemon/link/polled/question-line";
import { RoundValues } from "#daemon/link/polled/round-values";
import { scpiErrorQuestion, scpiQuestion } from "#daemon/link/polled/scpi-question";
import type { LinkNow } from "#daemon/link/status-teller";

/** Rounds in a row without an answer to a question, or with one that cannot be used, that are worth a word. */
const ROUNDS_WORTH_A_WORD = 3;
const LONGEST_SHOWN = 120;
const TRIES = 2;
/** Quiet times and the like around a question, s. */
const AROUND_A_QUESTION_SECONDS = 0.3;

/** What asking a furnace comes to. */
export interface PolledFurnaceParts extends LinkOptions {
  readonly polled: PolledFormat;
  /** The instrument said something, understood or not. */
  readonly onAnswer: (isRead: boolean) => void;
  /** The status changed. */
  readonly onChange: () => void;
}

/** What went wrong with one question, and how often in a row. */
interface Fault {
  readonly words: string;
  readonly isSaid: boolean;
  readonly rounds: number;
}

/**
 * One furnace that is asked: round after round of its questions, the answers of a round put together to one
 * reading, and what to tell when answers do not come. It knows nothing of ports.
 */
export class PolledFurnace implements Asker {
  /** True from a silence until the next answer. */
  isSilent = false;
  readonly #parts: PolledFurnaceParts;
  readonly #questions: readonly Question[];
  readonly #faults = new Map<string, Fault>();
  #counts = { acceptedLines: 0, refusedLines: 0, unanswered: 0 };
  #lastRefusedLine: string | null = null;
  #line: QuestionLine | null = null;
  #lastAnswerAtSeconds: number | null = null;
  /** Bytes came that were no answer since the last one. */
  #hasNoise = false;
  #slowestSeconds: number | null = null;
  /** What a SCPI instrument said of its error since it last answered; null when it was not asked. */
  #error: string | null = null;

  constructor(parts: PolledFurnaceParts) {
    this.#parts = parts;
    this.#questions = questionsOf(parts.polled);
  }

  /** What it is and what is not well, while its port is open. */
  get now(): LinkNow {
    return {
      kind: this.isSilent ? "silent" : "listening",
      message: this.isSilent ? this.#silenceMessage() : this.#faultMessage(),
      ...this.#counts,
      overlongLines: 0,
      lastRefusedLine: this.#lastRefusedLine,
      format: formatSpec(this.#parts.polled),
    };
  }

  /** The longest that its questions may take when none is answered, s. */
  get roundSeconds(): number {
    const each = this.#questions.map(
      (question) => TRIES * (question.timeoutSeconds + AROUND_A_QUESTION_SECONDS),
    );
    return each.reduce((sum, seconds) => sum + seconds, 0);
  }

  /** @param cycleSeconds what all furnaces of the line may take @returns s without an answer that are a silence */
  patienceSeconds(cycleSeconds: number): number {
    const { silenceSeconds = DEFAULT_SILENCE_SECONDS, polled } = this.#parts;
    return Math.max(silenceSeconds, 2 * polled.everySeconds + cycleSeconds);
  }

  /** Asks on this opening of the line until it is closed or another begins. */
  async askOn(line: QuestionLine): Promise<void> {
    this.#line = line;
    if (!this.isSilent) this.#lastAnswerAtSeconds = this.#nowSeconds();
    while (this.#line === line && !line.isClosed) {
      const begunAtSeconds = this.#nowSeconds();
      await this.#round(line);
      const left = begunAtSeconds + this.#parts.polled.everySeconds - this.#nowSeconds();
      await line.pause(Math.max(0, left));
    }
  }

  /** Asks no more. */
  stop(): void {
    this.#line?.forget(this);
    this.#line = null;
  }

  /** Time went on. */
  tick(cycleSeconds: number): void {
    const silentFor = this.#nowSeconds() - (this.#lastAnswerAtSeconds ?? this.#nowSeconds());
    if (silentFor >= this.patienceSeconds(cycleSeconds)) this.isSilent = true;
  }

  passedOver(bytes: Uint8Array): void {
    this.#hasNoise = true;
    this.#refuse(this.#shown(bytes));
  }

  cameLate(seconds: number): void {
    this.#slowestSeconds = Math.max(this.#slowestSeconds ?? 0, seconds);
  }

  #nowSeconds(): number {
    return this.#parts.clock.monotonicSeconds();
  }

  async #round(line: QuestionLine): Promise<void> {
    let gathered = new RoundValues();
    for (const question of this.#questions) {
      const outcome = await line.ask(question, this);
      if (outcome.kind === "closed") break;
      if (outcome.kind === "answered") this.#take(question, outcome, gathered);
      else {
        this.#tell(gathered); // what was measured does not wait for what may never come
        gathered = new RoundValues();
        await this.#miss(line, question);
      }
      this.#parts.onChange();
    }
    this.#tell(gathered);
  }

  #take(
    question: Question,
    { answer, atSeconds }: Extract<Outcome, { kind: "answered" }>,
    gathered: RoundValues,
  ): void {
    const isRead = answer.kind === "values" && this.#takeValues(question, answer.fields, atSeconds, gathered);
    if (answer.kind === "refusal") {
      this.#refuse(`${question.words}: ${answer.why}`);
      this.#blame(question, answer.why, answer.isSaid);
    }
    if (isRead) this.#heardWell(question);
    this.#lastAnswerAtSeconds = this.#nowSeconds();
    this.isSilent = false;
    this.#parts.onAnswer(isRead);
  }

  /** @returns true when at least one value could be used */
  #takeValues(
    question: Question,
    fields: readonly FieldText[],
    atSeconds: number,
    gathered: RoundValues,
  ): boolean {
    const faults = gathered.add(fields, atSeconds);
    const [fault] = faults;
    if (fault === undefined) return true;
    this.#refuse(`${question.words}: ${fault}`);
    this.#blame(question, fault, false);
    return faults.length < fields.length;
  }

  #heardWell(question: Question): void {
    this.#counts = { ...this.#counts, acceptedLines: this.#counts.acceptedLines + 1 };
    this.#faults.delete(question.key);
    this.#error = null;
    this.#hasNoise = false;
    if (this.#faults.size === 0) this.#slowestSeconds = null;
  }

  async #miss(line: QuestionLine, question: Question): Promise<void> {
    this.#counts = { ...this.#counts, unanswered: this.#counts.unanswered + 1 };
    this.#blame(question, "no answer", false);
    if (this.#parts.polled.kind !== "scpi" || this.#error !== null) return;
    this.#error = "";
    const outcome = await line.ask(scpiErrorQuestion(this.#parts.polled.timeoutSeconds), this);
    if (outcome.kind !== "answered" || outcome.answer.kind !== "refusal") return;
    this.#error = outcome.answer.why;
    this.#parts.onAnswer(false);
  }

  /** One reading of what a round brought, if it brought anything. */
  #tell(gathered: RoundValues): void {
    const { channels, atSeconds } = gathered;
    if (!channels || this.#line === null) return;
    const { clock, furnaceId, onReading } = this.#parts;
    const agoSeconds = clock.monotonicSeconds() - atSeconds;
    onReading({
      ...channels,
      furnaceId,
      receivedAtSeconds: atSeconds,
      receivedAtEpochMilliseconds: clock.epochMilliseconds() - Math.round(agoSeconds * 1000),
    });
  }

  #blame(question: Question, words: string, isSaid: boolean): void {
    const rounds = (this.#faults.get(question.key)?.rounds ?? 0) + 1;
    this.#faults.set(question.key, { words, isSaid, rounds });
  }

  #refuse(shown: string): void {
    this.#counts = { ...this.#counts, refusedLines: this.#counts.refusedLines + 1 };
    this.#lastRefusedLine = shown.slice(0, LONGEST_SHOWN).replace(/\p{C}/gu, "·");
  }

  /** Bytes as a person can read them: a line of text, or the numbers of the bytes. */
  #shown(bytes: Uint8Array): string {
    if (this.#parts.polled.kind === "scpi") return Buffer.from(bytes).toString("latin1");
    return Buffer.from(bytes)
      .toString("hex")
      .toUpperCase()
      .replace(/..(?=.)/g, "$& ");
  }

  /** The first fault that is worth a word; null while all is well. */
  #faultMessage(): string | null {
    for (const question of this.#questions) {
      const fault = this.#faults.get(question.key);
      if (!fault || !(fault.isSaid || fault.rounds >= ROUNDS_WORTH_A_WORD || this.#error)) continue;
      const about = `${this.#askee()} on ${this.#parts.address}`;
      if (fault.words !== "no answer")
        return `${question.words} of ${about}: ${fault.words}. ${correctFormat}`;
      return `No answer to ${question.words} from ${about}.${this.#reason() || ` ${correctFormat}`}`;
    }
    return null;
  }

  #silenceMessage(): string {
    const { address, baudRate, framing = "8N1", polled } = this.#parts;
    const isSerial = !address.startsWith("tcp:");
    const settings = `the baud rate (${baudRate}) and the framing (${framing})`;
    if (this.#hasNoise && this.#slowestSeconds === null && isSerial)
      return `Bytes come from ${address}, but no answer from ${this.#askee()}. Check ${settings}.`;
    const silence = `No answer from ${this.#askee()} on ${address}.${this.#reason()}`;
    if (polled.kind === "scpi")
      return isSerial
        ? `${silence} Check the instrument, its cable and ${settings}.`
        : `${silence} Check the instrument and its address.`;
    return isSerial
      ? `${silence} Check the unit number, ${settings}, and that A and B are not swapped.`
      : `${silence} Check the unit number and the settings of the gateway.`;
  }

  /** What is known of why nothing comes. */
  #reason(): string {
    if (this.#slowestSeconds !== null) {
      const seconds = Number(this.#slowestSeconds.toPrecision(2));
      return ` It answers late, after ${seconds} s: write timeout=${Math.min(10, Math.ceil(2 * seconds))} in the format.`;
    }
    return this.#error ? ` It says ${this.#error}.` : "";
  }

  #askee(): string {
    const { polled } = this.#parts;
    if (polled.kind === "scpi") return "the instrument";
    return `unit ${[...new Set(polled.values.map(({ unit }) => unit))].join(", ")}`;
  }
}

const correctFormat = "Correct the format.";

/** The questions of one round, in their order. */
export function questionsOf(format: PolledFormat): Question[] {
  return format.kind === "scpi"
    ? format.queries.map((query) => scpiQuestion(query, format.timeoutSeconds))
    : modbusReads(format).map((read) => modbusQuestion(format.kind, read, format.timeoutSeconds));
}
