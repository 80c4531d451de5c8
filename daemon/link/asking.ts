import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import { type ByteSource, portSource } from "#daemon/link/byte-source";
import { formatSpec, type PolledFormat } from "#daemon/link/formats/formats";
import type { ModbusFormat, ModbusValue, RegisterTable } from "#daemon/link/formats/modbus-format";
import { DEFAULT_POLLING } from "#daemon/link/formats/polling";
import { modbusQuestion } from "#daemon/link/polled/modbus-question";
import { readFields } from "#daemon/link/polled/modbus-reads";
import type { Answer } from "#daemon/link/polled/question";
import { type Asker, QuestionLine } from "#daemon/link/polled/question-line";
import { answerChannels } from "#daemon/link/polled/round-values";
import { scpiErrorQuestion, scpiIdentityQuestion, scpiQuestion } from "#daemon/link/polled/scpi-question";
import type { Channels } from "#daemon/link/reading";
import type { SerialFraming } from "#shared/furnace";

/** A way to ask a port that it answered to. */
export interface AskedFormat {
  /** The short text of the format. */
  readonly spec: string;
  readonly format: PolledFormat;
  /** What it answered, in this format. */
  readonly preview: Channels;
  /** How much speaks for it, 0 to 1: for ordering only. */
  readonly score: number;
}

/** What came of asking a port. */
export interface PortAnswers {
  /** The formats that answered, best first. */
  readonly formats: readonly AskedFormat[];
  /** What answered, in words: a SCPI identity, the units of a bus; empty when nothing did. */
  readonly heard: readonly string[];
  /** Why the port could not be asked; null when it could. */
  readonly fault: DaemonError | null;
}

/** How a port is asked. */
export interface AskOptions {
  readonly address: string;
  readonly baudRate: number;
  readonly framing?: SerialFraming | undefined;
  readonly clock: Clock;
  /** All of it takes no longer, s; 8 unless something else is given. */
  readonly seconds?: number | undefined;
  /** Opens the address; `portSource` unless something else is given. */
  readonly sourceFor?: typeof portSource | undefined;
}

type Language = PolledFormat["kind"];

const DEFAULT_SECONDS = 8;
const LONGEST_OPENING_SECONDS = 3;
const MOST_FORMATS = 5;
/** The units that are asked: the first ones, and the last, which is what some come with. */
const UNITS = [1, 2, 3, 4, 5, 6, 7, 8, 247];
const TABLES: readonly RegisterTable[] = ["input", "holding"];
const REGISTERS = 4;
const SEARCH_TIMEOUT_SECONDS = 0.15;
const VALUE_TIMEOUT_SECONDS = 1;
const SCPI_QUERIES = ["MEASure:TEMPerature?", "FETCh?", "READ?"];
/** IEEE 488.2, 10.14: maker, model, serial number and firmware, parted by commas. */
const identityForm = /^[^{}=;]*[a-z][^{}=;,]*(?:,[^{}=;]*){3}$/i;

/**
 * Asks a port that says nothing by itself: which of the formats that are asked gets an answer, and what it is.
 * Only questions that read are sent: SCPI `*IDN?` and usual queries for a temperature; the first input and
 * holding registers of a few Modbus units. A port that speaks by itself is better listened to, and not asked.
 */
export async function askPort(options: AskOptions): Promise<PortAnswers> {
  const deadlineSeconds = options.clock.monotonicSeconds() + (options.seconds ?? DEFAULT_SECONDS);
  const heard: string[] = [];
  const formats: AskedFormat[] = [];
  const openings = languagesOf(options.address);
  for (const [index, languages] of openings.entries()) {
    const nowSeconds = options.clock.monotonicSeconds();
    const share = (deadlineSeconds - nowSeconds) / (openings.length - index);
    const opened = await openLine(options, nowSeconds + share);
    if (opened instanceof DaemonError) return { formats, heard, fault: opened };
    try {
      for (const language of languages)
        if (formats.length === 0) formats.push(...(await askIn(language, opened.asking, heard)));
    } finally {
      await opened.close();
    }
    if (formats.length > 0) break;
  }
  formats.sort((a, b) => b.score - a.score);
  return { formats: formats.slice(0, MOST_FORMATS), heard, fault: null };
}

/**
 * What is tried on one opening each. On a serial line no language disturbs another; behind a network address
 * bytes of the wrong kind may end the connection.
 */
function languagesOf(address: string): readonly (readonly Language[])[] {
  if (!address.startsWith("tcp:")) return [["scpi", "modbus"]];
  return /:502\/?$/.test(address) ? [["modbus-tcp"], ["modbus"]] : [["scpi"], ["modbus-tcp"], ["modbus"]];
}

/** An open line on which questions can be asked until a moment. */
class Asking {
  readonly #line: QuestionLine;
  readonly #clock: Clock;
  readonly #deadlineSeconds: number;
  readonly #asker: Asker = { passedOver: () => {}, cameLate: () => {} };

  constructor(line: QuestionLine, clock: Clock, deadlineSeconds: number) {
    this.#line = line;
    this.#clock = clock;
    this.#deadlineSeconds = deadlineSeconds;
  }

  get isOver(): boolean {
    return this.#line.isClosed || this.#clock.monotonicSeconds() >= this.#deadlineSeconds;
  }

  /** @returns null when nothing answered */
  async ask(question: Parameters<QuestionLine["ask"]>[0]): Promise<Answer | null> {
    if (this.isOver) return null;
    const outcome = await this.#line.ask(question, this.#asker);
    return outcome.kind === "answered" ? outcome.answer : null;
  }
}

interface OpenedLine {
  readonly asking: Asking;
  close(): Promise<void>;
}

async function openLine(options: AskOptions, deadlineSeconds: number): Promise<OpenedLine | DaemonError> {
  const { address, baudRate, framing, clock, sourceFor = portSource } = options;
  const source = await sourceFor(address, { baudRate, framing }, clock).catch((error: unknown) => {
    if (error instanceof DaemonError) return error;
    throw error;
  });
  if (source instanceof DaemonError) return source;
  if (source.isRecording)
    return new DaemonError("input-refused", `Cannot ask ${address}: it is a recording, not an instrument.`);
  const line = new QuestionLine({
    clock,
    write: (bytes) => source.write(bytes),
    baudRate: address.startsWith("tcp:") ? null : baudRate,
    tries: 1,
  });
  const fault = await openingFault(source, line, address);
  // What is asked when the time is over ends at once.
  const end = setTimeout(() => line.close(), (deadlineSeconds - clock.monotonicSeconds()) * 1000);
  const close = async () => {
    clearTimeout(end);
    line.close();
    await source.close();
  };
  if (!fault) return { asking: new Asking(line, clock, deadlineSeconds), close };
  await close();
  return fault;
}

/** Opens a source for a line; null when it is open. */
async function openingFault(
  source: ByteSource,
  line: QuestionLine,
  address: string,
): Promise<DaemonError | null> {
  let limit: NodeJS.Timeout | undefined;
  const fault = await new Promise<DaemonError | null>((resolve) => {
    const tooLong = new DaemonError("port-missing", `Cannot open ${address}: it does not answer.`);
    limit = setTimeout(() => resolve(tooLong), LONGEST_OPENING_SECONDS * 1000);
    source.open({
      opened: () => resolve(null),
      bytes: (chunk) => line.hear(chunk),
      lost: (cause) => {
        resolve(cause);
        line.close();
      },
      ended: () => line.close(),
    });
  });
  clearTimeout(limit);
  return fault;
}

function askIn(language: Language, asking: Asking, heard: string[]): Promise<AskedFormat[]> {
  return language === "scpi" ? askScpi(asking, heard) : askModbus(language, asking, heard);
}

async function askScpi(asking: Asking, heard: string[]): Promise<AskedFormat[]> {
  // What came before at another rate, or in another language, may stand before the first one in its buffer.
  const askIdentity = () => asking.ask(scpiIdentityQuestion(VALUE_TIMEOUT_SECONDS / 2));
  const identity = (await askIdentity()) ?? (await askIdentity());
  if (identity?.kind !== "refusal" || !identityForm.test(identity.why)) return [];
  heard.push(identity.why);
  for (const query of SCPI_QUERIES) {
    const entry = { query, fields: ["celsius" as const], scale: 1 };
    const answer = await asking.ask(scpiQuestion(entry, VALUE_TIMEOUT_SECONDS));
    // Once it has told its error, no answer to this query can come any more.
    if (!answer) await asking.ask(scpiErrorQuestion(VALUE_TIMEOUT_SECONDS / 2));
    const preview = answer && answerChannels(answer);
    if (!preview) continue;
    const format: PolledFormat = { kind: "scpi", queries: [entry], ...DEFAULT_POLLING.scpi };
    return [{ spec: formatSpec(format), format, preview, score: 0.95 }]; // the others ask for the same
  }
  return [];
}

/** First who is there at all, by one register of each unit; then what those have in their first registers. */
async function askModbus(
  kind: ModbusFormat["kind"],
  asking: Asking,
  heard: string[],
): Promise<AskedFormat[]> {
  const present = await presentUnits(asking, kind);
  const found: AskedFormat[] = [];
  for (const unit of present) {
    heard.push(`unit ${unit}`);
    const byTable: (readonly number[])[] = [];
    for (const table of TABLES) {
      const registers = await firstRegisters(asking, kind, unit, table);
      // Many units hold the same under both tables.
      const isNew = !byTable.some((others) => others.join() === registers.join());
      if (isNew) found.push(...registerFormats(kind, unit, table, registers));
      byTable.push(registers);
    }
  }
  return found;
}

/** The units that answer to a question for one register, whatever they answer: that there is none, as a rule. */
async function presentUnits(asking: Asking, kind: ModbusFormat["kind"]): Promise<number[]> {
  const units = kind === "modbus-tcp" ? [...UNITS, 255, 0] : UNITS;
  for (const table of TABLES) {
    const present: number[] = [];
    for (const unit of units) {
      if (!(await registersOf(asking, kind, unit, table, 1, SEARCH_TIMEOUT_SECONDS))) continue;
      present.push(unit);
      // A device that is alone behind a network address often answers for every unit.
      if (kind === "modbus-tcp") break;
    }
    if (present.length > 0) return present;
  }
  return [];
}

/** As many of the first registers of a table as there are; empty when there are none. */
async function firstRegisters(
  asking: Asking,
  kind: ModbusFormat["kind"],
  unit: number,
  table: RegisterTable,
): Promise<number[]> {
  for (const count of [REGISTERS, 2, 1]) {
    const registers = await registersOf(asking, kind, unit, table, count, VALUE_TIMEOUT_SECONDS / 2);
    if (!registers || registers.length > 0) return registers ?? [];
  }
  return [];
}

/** The first registers of a table; empty when the unit answers that it has none, null when it does not answer. */
async function registersOf(
  asking: Asking,
  kind: ModbusFormat["kind"],
  unit: number,
  table: RegisterTable,
  count: number,
  timeoutSeconds: number,
): Promise<number[] | null> {
  const values = Array.from({ length: count }, (_, address) => ({ ...rawRegister, unit, table, address }));
  const answer = await asking.ask(
    modbusQuestion(kind, { unit, table, address: 0, count, values }, timeoutSeconds),
  );
  if (!answer || (answer.kind === "refusal" && answer.isBusy)) return null;
  if (answer.kind === "refusal") return [];
  return answer.fields.map(({ text }) => (text === "open" ? 65_535 : Number(text)));
}

const rawRegister = { type: "uint16", order: "abcd", scale: 1, offset: 0, field: "celsius" } as const;

/** A way to read registers as a temperature, and how much its plausibility says. */
type Guess = Pick<ModbusValue, "type" | "order" | "scale"> & { readonly weight: number };

/** Two registers are seldom a plausible float by chance; any one register is a plausible integer. */
const guesses: readonly Guess[] = [
  { type: "float32", order: "abcd", scale: 1, weight: 0.95 },
  { type: "float32", order: "cdab", scale: 1, weight: 0.9 },
  { type: "float32", order: "dcba", scale: 1, weight: 0.8 },
  { type: "float32", order: "badc", scale: 1, weight: 0.8 },
  { type: "int16", order: "abcd", scale: 0.1, weight: 0.7 },
  { type: "int16", order: "abcd", scale: 1, weight: 0.6 },
];

function registerFormats(
  kind: ModbusFormat["kind"],
  unit: number,
  table: RegisterTable,
  registers: readonly number[],
): AskedFormat[] {
  return registers.flatMap((_, address) =>
    guesses.flatMap(({ weight, ...guess }) => {
      const count = guess.type === "int16" ? 1 : 2;
      if (address + count > registers.length || (count === 2 && address % 2 === 1)) return [];
      const value: ModbusValue = { unit, table, address, ...guess, offset: 0, field: "celsius" };
      const words = registers.slice(address, address + count);
      const fields = readFields({ unit, table, address, count, values: [value] }, words);
      const preview = answerChannels({ kind: "values", fields });
      const likelihood = preview ? likelihoodOf(preview) : 0;
      if (!preview || likelihood === 0) return [];
      const format: PolledFormat = { kind, values: [value], ...DEFAULT_POLLING.modbus };
      const score = weight * likelihood * 0.85 ** (address + (table === "holding" ? 1 : 0));
      return [{ spec: formatSpec(format), format, preview, score }];
    }),
  );
}

/** How likely a furnace says this, 0 to 1. */
function likelihoodOf({ celsius, sensorWord }: Channels): number {
  if (sensorWord) return 0.3;
  if (celsius === undefined || celsius < 1 || celsius > 1400) return 0;
  return celsius >= 12 && celsius <= 1300 ? 1 : 0.4;
}
