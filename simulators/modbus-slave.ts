/** Most registers that one question may ask for (Modbus application protocol 1.1b3, 6.3; from memory). */
const MOST_REGISTERS = 125;

/** A request of one of these functions is eight bytes long, its unit and its CRC included. */
const EIGHT_BYTE_FUNCTIONS = [1, 2, 3, 4, 5, 6];

/** Frames are at most so long (Modbus over serial line 1.02, 2.5.1; from memory). */
const LONGEST_FRAME_BYTES = 256;

const READ_HOLDING_REGISTERS = 3;
const READ_INPUT_REGISTERS = 4;

const ILLEGAL_FUNCTION = 1;
const ILLEGAL_ADDRESS = 2;
const ILLEGAL_VALUE = 3;

/** Words of 16 bits by their address. */
export type Registers = ReadonlyMap<number, number>;

/** What a unit is asked: its number, a function code and what belongs to that. */
export interface ModbusRequest {
  readonly unit: number;
  /** Function code and data. */
  readonly pdu: Buffer;
}

/**
 * The CRC of a frame: CRC-16/MODBUS, polynomial 0x8005 reflected, from 0xFFFF. Written apart from any library.
 * @example crc16(Buffer.from("123456789")) // 0x4b37
 */
export function crc16(bytes: Uint8Array): number {
  let crc = 0xffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc & 1) === 1 ? (crc >>> 1) ^ 0xa001 : crc >>> 1;
  }
  return crc;
}

/** A frame on a serial line: unit, what it says, and the CRC with its low byte first. */
export function rtuFrame(unit: number, pdu: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from([unit]), pdu]);
  const crc = crc16(body);
  return Buffer.concat([body, Buffer.from([crc & 0xff, crc >>> 8])]);
}

/**
 * What a slave says to a question: registers, or an exception. It reads alone; whoever wants to write is
 * refused with the exception for an unknown function.
 * @param registers the same ones as holding and as input registers
 */
export function modbusAnswer(pdu: Buffer, registers: Registers): Buffer {
  const code = pdu[0] ?? 0;
  const exception = (why: number) => Buffer.from([code | 0x80, why]);
  if (code !== READ_HOLDING_REGISTERS && code !== READ_INPUT_REGISTERS) return exception(ILLEGAL_FUNCTION);
  if (pdu.length !== 5) return exception(ILLEGAL_VALUE);
  const [address, count] = [pdu.readUInt16BE(1), pdu.readUInt16BE(3)];
  if (count < 1 || count > MOST_REGISTERS) return exception(ILLEGAL_VALUE);
  const answer = Buffer.alloc(2 + 2 * count);
  answer.writeUInt8(code, 0);
  answer.writeUInt8(2 * count, 1);
  for (let index = 0; index < count; index += 1) {
    const word = registers.get(address + index);
    if (word === undefined) return exception(ILLEGAL_ADDRESS);
    answer.writeUInt16BE(word, 2 + 2 * index);
  }
  return answer;
}

/**
 * Finds the requests in what comes over a serial line. A frame ends with a silence; one whose length is known
 * and whose CRC is right is taken at once. Whatever else stood before a silence is dropped.
 */
export class RtuRequests {
  #heard = Buffer.alloc(0);

  /** @returns a request that is complete, or null while it may go on */
  push(bytes: Buffer): ModbusRequest | null {
    this.#heard = Buffer.concat([this.#heard, bytes]).subarray(-LONGEST_FRAME_BYTES - 1);
    const isWhole = this.#heard.length === 8 && EIGHT_BYTE_FUNCTIONS.includes(this.#heard[1] ?? 0);
    return isWhole && isRtuFrame(this.#heard) ? this.#taken() : null;
  }

  /** Nothing came for longer than between two bytes: what has come is a request or nothing. */
  silence(): ModbusRequest | null {
    if (isRtuFrame(this.#heard)) return this.#taken();
    this.#heard = Buffer.alloc(0);
    return null;
  }

  #taken(): ModbusRequest {
    const request = { unit: this.#heard[0] ?? 0, pdu: this.#heard.subarray(1, -2) };
    this.#heard = Buffer.alloc(0);
    return request;
  }
}

function isRtuFrame(bytes: Buffer): boolean {
  if (bytes.length < 4 || bytes.length > LONGEST_FRAME_BYTES) return false;
  return bytes.readUInt16LE(bytes.length - 2) === crc16(bytes.subarray(0, -2));
}
