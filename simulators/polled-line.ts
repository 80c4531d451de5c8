import type { FaultyLine } from "#simulators/faults";
import type { InstrumentReading } from "#simulators/instrument-reading";
import type { Caller } from "#simulators/line-out";
import { modbusRegisters } from "#simulators/modbus-registers";
import { type ModbusRequest, modbusAnswer, RtuRequests, rtuFrame } from "#simulators/modbus-slave";
import { TcpRequests, tcpFrame } from "#simulators/modbus-tcp";
import { SCPI_IDENTITY, ScpiInstrument, ScpiMessages } from "#simulators/scpi-instrument";

/** How an instrument is asked that does not speak by itself. */
export const POLLED_FORMATS = ["modbus", "modbus-tcp", "scpi"] as const;
export type PolledFormat = (typeof POLLED_FORMATS)[number];

/** After such a silence a Modbus frame has ended, ms: longer than on a wire, since a process may be late. */
const FRAME_END_MILLISECONDS = 20;

/** Over TCP these numbers mean the device itself (Modbus messaging on TCP/IP 1.0b; from memory). */
const DEVICE_ITSELF = [0, 255];

/** What answers on a line under a number: a unit of a bus, a channel of an instrument. */
export interface PolledUnit {
  /** What it measured last; null when it does not answer. */
  readonly latest: InstrumentReading | null;
  /** What is wrong with its line. */
  readonly line: FaultyLine;
}

/** Sends an answer to whoever asked. */
export type Reply = (answer: Buffer, unit: PolledUnit, caller: Caller) => void;

/** Finds the questions in what one caller says and answers them. */
type Ear = (bytes: Buffer, reply: (answer: Buffer, unit: PolledUnit) => void) => void;

/** One line with one or several units on it that answer when they are asked. */
export class PolledLine {
  readonly #format: PolledFormat;
  readonly #units: ReadonlyMap<number, PolledUnit>;
  readonly #reply: Reply;
  readonly #scpi: ScpiInstrument;
  /** One for each caller: half a question of one is not continued by another. */
  readonly #ears = new WeakMap<Caller, Ear>();
  #askedChannel = 1;

  /** @param units by their number on the line */
  constructor(format: PolledFormat, units: ReadonlyMap<number, PolledUnit>, reply: Reply) {
    this.#format = format;
    this.#units = units;
    this.#reply = reply;
    this.#scpi = new ScpiInstrument((channel) => {
      this.#askedChannel = channel;
      return this.#units.get(channel)?.latest;
    });
  }

  /** Takes what somebody says, and answers what is a question to one of its units. */
  hear(bytes: Buffer, caller: Caller): void {
    const ear = this.#ears.get(caller) ?? this.#newEar();
    this.#ears.set(caller, ear);
    ear(bytes, (answer, unit) => this.#reply(unit.line.spoiled(answer), unit, caller));
  }

  #newEar(): Ear {
    if (this.#format === "scpi") return this.#scpiEar();
    return this.#format === "modbus" ? this.#rtuEar() : this.#tcpEar();
  }

  #rtuEar(): Ear {
    const requests = new RtuRequests();
    let frameEnd: NodeJS.Timeout | undefined;
    return (bytes, reply) => {
      const answer = (request: ModbusRequest | null) => {
        if (!request) return;
        const unit = this.#units.get(request.unit);
        const pdu = unit && answerOf(unit, request.pdu);
        if (pdu) reply(rtuFrame(answeringUnit(unit, request.unit), pdu), unit);
      };
      clearTimeout(frameEnd);
      answer(requests.push(bytes));
      frameEnd = setTimeout(() => answer(requests.silence()), FRAME_END_MILLISECONDS);
    };
  }

  #tcpEar(): Ear {
    const requests = new TcpRequests();
    return (bytes, reply) => {
      for (const { transaction, unit: number, pdu: asked } of requests.push(bytes)) {
        const unit = this.#units.get(DEVICE_ITSELF.includes(number) ? 1 : number);
        const pdu = unit && answerOf(unit, asked);
        if (pdu) reply(tcpFrame(transaction, answeringUnit(unit, number), pdu), unit);
      }
    };
  }

  #scpiEar(): Ear {
    const messages = new ScpiMessages();
    return (bytes, reply) => {
      for (const message of messages.push(bytes)) {
        this.#askedChannel = 1;
        const answer = this.#scpi.answer(message);
        const unit = this.#units.get(this.#askedChannel) ?? this.#units.get(1);
        if (answer === null || !unit) continue;
        reply(Buffer.from(`${isForOther(unit) ? SCPI_IDENTITY : answer}\n`), unit);
      }
    };
  }
}

function answerOf({ latest }: PolledUnit, pdu: Buffer): Buffer | null {
  return latest && modbusAnswer(pdu, modbusRegisters(latest));
}

/** The number under which a unit answers: its neighbour's when that is its fault. */
function answeringUnit(unit: PolledUnit, number: number): number {
  return isForOther(unit) ? (number % 247) + 1 : number;
}

function isForOther({ line }: PolledUnit): boolean {
  return line.fault === "other-unit";
}
