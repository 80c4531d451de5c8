import { EventEmitter } from "node:events";
import ModbusRTU from "modbus-serial";
import type { ModbusFormat, RegisterTable } from "#daemon/link/formats/modbus-format";
import { crc16, hasGoodCrc } from "#daemon/link/polled/crc16";
import { type ModbusRead, readFields, readWords } from "#daemon/link/polled/modbus-reads";
import type { Answer, Hearing, Question } from "#daemon/link/polled/question";
import { ReplyFinder, type ReplyForm } from "#daemon/link/polled/reply-finder";

const functions: Readonly<Record<RegisterTable, number>> = { holding: 3, input: 4 };
const EXCEPTION_BIT = 0x80;
const REQUEST_BYTES = 8;
const RTU_EXCEPTION_BYTES = 5;
const CRC_BYTES = 2;
/** Transaction, protocol and length in front of a Modbus/TCP frame. */
const TCP_HEAD_BYTES = 6;

/** MODBUS Application Protocol V1.1b3, section 7. */
const exceptions: Readonly<Record<number, string>> = {
  1: "illegal function",
  2: "illegal data address",
  3: "illegal data value",
  4: "device failure",
  5: "acknowledged, later",
  6: "device busy",
  8: "memory parity error",
  10: "gateway path unavailable",
  11: "gateway target failed to respond",
};
/** Exceptions that may be gone at the next try. */
const passingExceptions: readonly number[] = [5, 6, 10, 11];

/** Counts questions over Modbus/TCP, so that a late answer is known by its number. */
let transactions = 0;

/** A read of registers as a question, by RTU frames or by those of Modbus/TCP. */
export function modbusQuestion(
  kind: ModbusFormat["kind"],
  read: ModbusRead,
  timeoutSeconds: number,
): Question {
  const { unit, table, address, count } = read;
  const code = functions[table];
  return {
    words: readWords(read),
    askee: `${kind} ${unit}`,
    key: `${kind} ${unit} ${code} ${address} ${count}`,
    shape:
      kind === "modbus" ? `${kind} ${unit} ${code} ${count}` : `${kind} ${unit} ${code} ${address} ${count}`,
    timeoutSeconds,
    bytesOnLine: REQUEST_BYTES + rtuReplyBytes(count),
    begin: () => (kind === "modbus" ? new RtuHearing(read) : new TcpHearing(read)),
  };
}

/**
 * The library's side of one question. It codes the request, checks the reply and takes it apart. A new one for
 * each question, with a port that holds no device, guards what the library gets wrong on a shared line:
 *
 * - it takes any frame that comes after a new request for the answer to it, so a late one too;
 * - it takes the exception of another unit for the one it waits for, and gives up at the first wrong frame;
 * - its timer and its promise stay behind when a port goes away.
 *
 * So it is given only the one frame that belongs to the question, has no timer, and is then forgotten.
 */
class Exchange {
  readonly request: Uint8Array;
  readonly #port = new QuestionPort();
  #answer: Answer | null = null;

  constructor(read: ModbusRead) {
    const client = new ModbusRTU(this.#port);
    client.open();
    const { unit, table, address, count } = read;
    const take = (error: unknown, result?: { readonly data: readonly number[] }) => {
      this.#answer = result
        ? { kind: "values", fields: readFields(read, result.data) }
        : exceptionAnswer(read, error);
    };
    if (table === "holding") client.writeFC3(unit, address, count, take);
    else client.writeFC4(unit, address, count, take);
    this.request = this.#port.written;
  }

  /** @param frame an RTU frame that belongs to the question, CRC included */
  answer(frame: Uint8Array): Answer | null {
    this.#port.emit("data", Buffer.from(frame));
    return this.#answer;
  }
}

/** What the library takes for a port: it keeps what is written, and says nothing by itself. */
class QuestionPort extends EventEmitter {
  readonly isOpen = true;
  written: Uint8Array = new Uint8Array();

  open(onOpened: () => void): void {
    onOpened();
  }

  close(onClosed?: () => void): void {
    onClosed?.();
  }

  write(bytes: Uint8Array): void {
    this.written = bytes;
  }
}

/** The hearing of a reply in RTU frames. */
class RtuHearing implements Hearing {
  readonly isMidAnswer = false;
  readonly #exchange: Exchange;
  readonly #finder: ReplyFinder;

  constructor(read: ModbusRead) {
    this.#exchange = new Exchange(read);
    this.#finder = new ReplyFinder({
      lengthAt: (bytes, at) => rtuLengthAt(read, bytes, at),
      isWhole: hasGoodCrc,
      echo: this.#exchange.request,
    });
  }

  get request(): Uint8Array {
    return this.#exchange.request;
  }

  get rest(): Uint8Array {
    return this.#finder.rest;
  }

  push(chunk: Uint8Array): Answer | null {
    const frame = this.#finder.push(chunk);
    return frame && this.#exchange.answer(frame);
  }

  takeNoise(isOver: boolean): Uint8Array {
    return this.#finder.takeNoise(isOver);
  }
}

/** The hearing of a reply in Modbus/TCP frames: a number of the question in front, no CRC behind. */
class TcpHearing implements Hearing {
  readonly isMidAnswer = false;
  readonly request: Uint8Array;
  readonly #exchange: Exchange;
  readonly #finder: ReplyFinder;

  constructor(read: ModbusRead) {
    transactions = (transactions + 1) % 0x1_0000;
    const form = tcpReplyForm(read, transactions);
    this.#exchange = new Exchange(read);
    this.request = tcpFrame(transactions, this.#exchange.request);
    this.#finder = new ReplyFinder(form);
  }

  get rest(): Uint8Array {
    return this.#finder.rest;
  }

  push(chunk: Uint8Array): Answer | null {
    const frame = this.#finder.push(chunk);
    return frame && this.#exchange.answer(withCrc(frame.subarray(TCP_HEAD_BYTES)));
  }

  takeNoise(isOver: boolean): Uint8Array {
    return this.#finder.takeNoise(isOver);
  }
}

function exceptionAnswer({ unit }: ModbusRead, error: unknown): Answer {
  const code = error instanceof Error && "modbusCode" in error ? Number(error.modbusCode) : 0;
  const said = exceptions[code] ?? `exception ${code}`;
  return {
    kind: "refusal",
    why: `unit ${unit} says ${said} (${code})`,
    isSaid: true,
    isBusy: passingExceptions.includes(code),
    mayFollow: false,
  };
}

function rtuReplyBytes(count: number): number {
  return 3 + 2 * count + CRC_BYTES;
}

function rtuLengthAt({ unit, table, count }: ModbusRead, bytes: Uint8Array, at: number): number | null {
  if (bytes[at] !== unit) return null;
  if (bytes[at + 1] === functions[table] && bytes[at + 2] === 2 * count) return rtuReplyBytes(count);
  return bytes[at + 1] === (functions[table] | EXCEPTION_BIT) ? RTU_EXCEPTION_BYTES : null;
}

function tcpReplyForm(read: ModbusRead, transaction: number): ReplyForm {
  const head = Buffer.alloc(4);
  head.writeUInt16BE(transaction, 0);
  return {
    echo: null,
    isWhole: () => true,
    lengthAt(bytes, at) {
      if (!head.every((byte, index) => bytes[at + index] === byte)) return null;
      const length = rtuLengthAt(read, bytes, at + TCP_HEAD_BYTES);
      const said = (bytes[at + 4] ?? 0) * 256 + (bytes[at + 5] ?? 0);
      return length === null || said !== length - CRC_BYTES ? null : TCP_HEAD_BYTES + said;
    },
  };
}

/** A Modbus/TCP frame of an RTU frame: a head in front, the CRC gone. */
function tcpFrame(transaction: number, rtu: Uint8Array): Uint8Array {
  const unitAndBody = rtu.subarray(0, -CRC_BYTES);
  const head = Buffer.alloc(TCP_HEAD_BYTES);
  head.writeUInt16BE(transaction, 0);
  head.writeUInt16BE(unitAndBody.length, 4);
  return Buffer.concat([head, unitAndBody]);
}

function withCrc(bytes: Uint8Array): Uint8Array {
  const crc = crc16(bytes);
  return Buffer.concat([bytes, Uint8Array.of(crc & 0xff, crc >> 8)]);
}
