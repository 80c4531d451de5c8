/** What a unit holds: 16 bits each, by address as on the wire. */
export interface SlaveUnit {
  readonly input?: Readonly<Record<number, number>>;
  readonly holding?: Readonly<Record<number, number>>;
}

/** A reply and how long after the request it is sent. */
export interface SlaveReply {
  readonly bytes: Buffer;
  readonly afterMilliseconds: number;
}

/** A request as the slave understood it. */
export interface SlaveRequest {
  readonly unit: number;
  readonly code: number;
  readonly address: number;
  readonly count: number;
}

/** The CRC by the table of its 256 bytes; written apart from the program's own on purpose. */
const crcTable = Array.from({ length: 256 }, (_, byte) =>
  Array.from({ length: 8 }).reduce<number>((crc) => (crc & 1 ? 0xa001 ^ (crc >>> 1) : crc >>> 1), byte),
);

/** The two bytes that end an RTU frame. */
export function crcBytes(body: Uint8Array): Buffer {
  const crc = body.reduce((sum, byte) => (sum >>> 8) ^ (crcTable[(sum ^ byte) & 0xff] ?? 0), 0xffff);
  return Buffer.from([crc & 0xff, crc >>> 8]);
}

/** An RTU frame of its bytes without the CRC, in hexadecimal or as they are. */
export function rtuFrame(body: string | Uint8Array): Buffer {
  const bytes = typeof body === "string" ? Buffer.from(body.replaceAll(" ", ""), "hex") : body;
  return Buffer.concat([bytes, crcBytes(bytes)]);
}

/**
 * Modbus units on one line, by hand: function 3 and 4 and their exceptions, and what may go wrong on a line. It
 * counts what it is asked, and how many questions wait for their answer at once.
 */
export class ModbusSlave {
  readonly units = new Map<number, SlaveUnit>();
  readonly requests: SlaveRequest[] = [];
  /** Everything that came in. */
  readonly heard: Buffer[] = [];
  mostOutstanding = 0;
  /** What becomes of a right reply; a test bends it. */
  replies: (reply: Buffer, request: SlaveRequest) => readonly SlaveReply[] = (bytes) => [
    { bytes, afterMilliseconds: 0 },
  ];
  readonly #send: (bytes: Buffer) => void;
  readonly #isTcp: boolean;
  #bytes = Buffer.alloc(0);
  #outstanding = 0;
  #gap: NodeJS.Timeout | null = null;

  /** @param isTcp true for the frames of Modbus/TCP */
  constructor(send: (bytes: Buffer) => void, isTcp = false) {
    this.#send = send;
    this.#isTcp = isTcp;
  }

  take(bytes: Uint8Array): void {
    this.heard.push(Buffer.from(bytes));
    this.#bytes = Buffer.concat([this.#bytes, bytes]);
    const length = this.#isTcp ? 12 : 8;
    while (this.#bytes.length >= length) {
      const frame = this.#bytes.subarray(0, length);
      this.#bytes = this.#bytes.subarray(length);
      if (this.#isTcp) this.#answer(frame.subarray(6), frame.subarray(0, 4));
      else if (crcBytes(frame.subarray(0, -2)).equals(frame.subarray(-2)))
        this.#answer(frame.subarray(0, -2), null);
    }
    if (this.#gap) clearTimeout(this.#gap);
    this.#gap = setTimeout(() => {
      this.#bytes = Buffer.alloc(0); // the pause that ends a frame
    }, 15);
  }

  /** Unit and body of a request; the head of a frame of Modbus/TCP is sent back. */
  #answer(body: Buffer, head: Buffer | null): void {
    const [unit = 0, code = 0] = body;
    const request = { unit, code, address: body.readUInt16BE(2), count: body.readUInt16BE(4) };
    this.requests.push(request);
    const reply = this.#replyTo(request);
    if (!reply) return;
    this.#outstanding += 1;
    this.mostOutstanding = Math.max(this.mostOutstanding, this.#outstanding);
    const length = Buffer.from([0, reply.length]);
    const whole = head ? Buffer.concat([head, length, reply]) : rtuFrame(reply);
    const parts = this.replies(whole, request);
    if (parts.length === 0) this.#outstanding -= 1;
    for (const [index, { bytes, afterMilliseconds }] of parts.entries())
      setTimeout(() => {
        if (index === parts.length - 1) this.#outstanding -= 1;
        this.#send(bytes);
      }, afterMilliseconds);
  }

  #replyTo({ unit, code, address, count }: SlaveRequest): Buffer | null {
    const held = this.units.get(unit);
    if (!held) return null;
    if (code !== 3 && code !== 4) return Buffer.from([unit, code | 0x80, 1]);
    const table = (code === 3 ? held.holding : held.input) ?? {};
    const reply = Buffer.alloc(3 + 2 * count);
    reply.set([unit, code, 2 * count]);
    for (let index = 0; index < count; index++) {
      const value = table[address + index];
      if (value === undefined) return Buffer.from([unit, code | 0x80, 2]);
      reply.writeUInt16BE(value & 0xffff, 3 + 2 * index);
    }
    return reply;
  }
}
