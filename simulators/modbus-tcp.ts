import type { ModbusRequest } from "#simulators/modbus-slave";

/** Transaction, protocol, length of the rest, unit. */
const HEADER_BYTES = 7;

/** The length counts the unit too; a longer request is none (Modbus messaging on TCP/IP 1.0b, 3.1.3; from memory). */
const LONGEST_LENGTH = 254;

/** A request over TCP, with the number under which its answer is awaited. */
export interface TcpRequest extends ModbusRequest {
  readonly transaction: number;
}

/** An answer over TCP: the header, then what the unit says; no CRC. */
export function tcpFrame(transaction: number, unit: number, pdu: Buffer): Buffer {
  const header = Buffer.alloc(HEADER_BYTES);
  header.writeUInt16BE(transaction, 0);
  header.writeUInt16BE(0, 2);
  header.writeUInt16BE(pdu.length + 1, 4);
  header.writeUInt8(unit, 6);
  return Buffer.concat([header, pdu]);
}

/** Finds the requests in what comes over one connection. What is no header makes all that waits worthless. */
export class TcpRequests {
  #heard = Buffer.alloc(0);

  /** @returns the requests that are complete now */
  push(bytes: Buffer): TcpRequest[] {
    this.#heard = Buffer.concat([this.#heard, bytes]);
    const found: TcpRequest[] = [];
    while (this.#heard.length >= HEADER_BYTES + 1) {
      const length = this.#heard.readUInt16BE(4);
      if (this.#heard.readUInt16BE(2) !== 0 || length < 2 || length > LONGEST_LENGTH) {
        this.#heard = Buffer.alloc(0);
        break;
      }
      const end = HEADER_BYTES - 1 + length;
      if (this.#heard.length < end) break;
      found.push({
        transaction: this.#heard.readUInt16BE(0),
        unit: this.#heard.readUInt8(HEADER_BYTES - 1),
        pdu: this.#heard.subarray(HEADER_BYTES, end),
      });
      this.#heard = this.#heard.subarray(end);
    }
    return found;
  }
}
