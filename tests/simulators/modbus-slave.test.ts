import { readFileSync } from "node:fs";
import { fc, it } from "@fast-check/vitest";
import { describe, expect } from "vitest";
import { crc16, modbusAnswer, type Registers, RtuRequests, rtuFrame } from "#simulators/modbus-slave";
import { TcpRequests, tcpFrame } from "#simulators/modbus-tcp";

interface Frame {
  readonly frame: string;
  readonly role?: string;
  readonly meaning?: string;
  readonly why?: string;
}

const {
  modbus_rtu: VECTORS,
}: {
  modbus_rtu: {
    crc: { check_input_ascii: string; check: string };
    published: Frame[];
    constructed: Frame[];
    invalid: Frame[];
    pdu_examples: { function: string; request: string; response: string }[];
  };
} = JSON.parse(readFileSync(new URL("../reference/serial-protocol-vectors.json", import.meta.url), "utf8"));

const REQUESTS = VECTORS.published.filter(({ role }) => role?.startsWith("request"));

describe("the CRC", () => {
  it("of the catalogue's check input is the catalogue's check value", () => {
    expect(crc16(Buffer.from(VECTORS.crc.check_input_ascii))).toBe(Number.parseInt(VECTORS.crc.check, 16));
  });

  it.each([...VECTORS.published, ...VECTORS.constructed])(
    "of a published frame is its own: $frame",
    ({ frame }) => {
      const bytes = bytesOf(frame);
      expect(rtuFrame(bytes[0] ?? 0, bytes.subarray(1, -2))).toEqual(bytes);
    },
  );
});

describe("a slave that hears a serial line", () => {
  it.each(REQUESTS)("finds the published request at once or at the silence: $meaning", ({ frame }) => {
    const bytes = bytesOf(frame);
    const requests = new RtuRequests();
    const found = requests.push(bytes) ?? requests.silence();
    expect(found).toEqual({ unit: bytes[0], pdu: bytes.subarray(1, -2) });
  });

  it.each(VECTORS.invalid)("drops what is no frame, and hears the next one: $why", ({ frame }) => {
    const requests = new RtuRequests();
    expect(requests.push(bytesOf(frame))).toBeNull();
    expect(requests.silence()).toBeNull();
    expect(requests.push(bytesOf("11 03 00 6B 00 03 76 87"))).toMatchObject({ unit: 17 });
  });

  it("puts a request together from pieces", () => {
    const requests = new RtuRequests();
    const bytes = bytesOf("11 03 00 6B 00 03 76 87");
    const found = [...bytes].map((byte) => requests.push(Buffer.from([byte])));
    expect(found.slice(0, -1).every((request) => request === null)).toBe(true);
    expect(found.at(-1)).toMatchObject({ unit: 17 });
  });

  it("takes noise and what follows it without a silence for no frame", () => {
    const requests = new RtuRequests();
    expect(requests.push(bytesOf("00 FF 42"))).toBeNull();
    expect(requests.push(bytesOf("11 03 00 6B 00 03 76 87"))).toBeNull();
    expect(requests.silence()).toBeNull();
  });

  it.prop([fc.array(fc.uint8Array({ maxLength: 600 }), { maxLength: 20 })])(
    "survives any bytes and hears the next request",
    (pieces) => {
      const requests = new RtuRequests();
      for (const piece of pieces) requests.push(Buffer.from(piece));
      requests.silence();
      expect(requests.push(bytesOf("11 03 00 6B 00 03 76 87"))).toMatchObject({ unit: 17 });
    },
  );
});

describe("a slave that is asked", () => {
  it.each([
    {
      registers: registersOf(107, [555, 0, 100]),
      request: "11 03 00 6B 00 03 76 87",
      answer: "11 03 06 02 2B 00 00 00 64 C8 BA",
    },
    {
      registers: registersOf(107, [555, 0, 100]),
      request: "01 03 00 6B 00 03 74 17",
      answer: "01 03 06 02 2B 00 00 00 64 05 7A",
    },
    {
      registers: registersOf(107, [44609, 22098, 17216]),
      request: "11 03 00 6B 00 03 76 87",
      answer: "11 03 06 AE 41 56 52 43 40 49 AD",
    },
    { registers: registersOf(8, [10]), request: "11 04 00 08 00 01 B2 98", answer: "11 04 02 00 0A F8 F4" },
    { registers: registersOf(0, [9605]), request: "01 04 00 00 00 01 31 CA", answer: "01 04 02 25 85 62 03" },
    { registers: registersOf(5, [1]), request: "01 03 00 00 00 0A C5 CD", answer: "01 83 02 C0 F1" },
    { registers: registersOf(5, [1]), request: "01 04 00 00 00 01 31 CA", answer: "01 84 02 C2 C1" },
  ])("gives the published answer $answer to $request", ({ registers, request, answer }) => {
    const published = new Set([...VECTORS.published, ...VECTORS.constructed].map(({ frame }) => frame));
    expect(published.has(answer)).toBe(true);
    const asked = new RtuRequests().push(bytesOf(request));
    expect(asked).not.toBeNull();
    if (asked) expect(hexOf(rtuFrame(asked.unit, modbusAnswer(asked.pdu, registers)))).toBe(answer);
  });

  it.each(VECTORS.pdu_examples.filter(({ request }) => request.startsWith("03") || request.startsWith("04")))(
    "answers as the specification does to $function",
    ({ request, response }) => {
      const registers = new Map([...registersOf(107, [555, 0, 100]), ...registersOf(8, [10])]);
      expect(hexOf(modbusAnswer(bytesOf(request), registers))).toBe(response);
    },
  );

  it.each(REQUESTS.filter(({ frame }) => !["03", "04"].includes(frame.slice(3, 5))))(
    "refuses whatever is no reading of registers: $meaning",
    ({ frame }) => {
      const pdu = bytesOf(frame).subarray(1, -2);
      expect([...modbusAnswer(pdu, registersOf(0, [1]))]).toEqual([(pdu[0] ?? 0) | 0x80, 1]);
    },
  );

  // biome-ignore format: a table reads in columns
  it.each([
    { request: "03 00 00 00 00", why: "no register",           exception: 3 },
    { request: "03 00 00 00 7E", why: "126 registers",         exception: 3 },
    { request: "03 00 00 00",    why: "half a question",       exception: 3 },
    { request: "04 FF FF 00 02", why: "beyond the last one",   exception: 2 },
    { request: "04 00 01 00 01", why: "one that is not there", exception: 2 },
  ])("refuses $why with exception $exception", ({ request, exception }) => {
    const pdu = bytesOf(request);
    expect([...modbusAnswer(pdu, registersOf(0, [1]))]).toEqual([(pdu[0] ?? 0) | 0x80, exception]);
  });
});

describe("a slave that hears Modbus/TCP", () => {
  // Worked by hand from the header: transaction 0x1234, protocol 0, six bytes follow, unit 1.
  const frame = bytesOf("12 34 00 00 00 06 01 04 00 00 00 01");

  it("finds a request with its transaction, also in pieces, also two at once", () => {
    const asked = { transaction: 0x1234, unit: 1, pdu: bytesOf("04 00 00 00 01") };
    expect(new TcpRequests().push(Buffer.concat([frame, frame]))).toEqual([asked, asked]);
    const requests = new TcpRequests();
    const found = [...frame].flatMap((byte) => requests.push(Buffer.from([byte])));
    expect(found).toEqual([asked]);
  });

  it("answers with the same transaction and unit, and no CRC", () => {
    expect(hexOf(tcpFrame(0x1234, 1, bytesOf("04 02 25 85")))).toBe("12 34 00 00 00 05 01 04 02 25 85");
  });

  it("drops what is no header, and hears the next one", () => {
    const requests = new TcpRequests();
    expect(requests.push(bytesOf("12 34 00 01 00 06 01 04 00 00 00 01"))).toEqual([]);
    expect(requests.push(bytesOf("12 34 00 00 FF FF 01 04 00 00 00 01"))).toEqual([]);
    expect(requests.push(frame)).toHaveLength(1);
  });
});

function registersOf(address: number, words: readonly number[]): Registers {
  return new Map(words.map((word, index) => [address + index, word]));
}

function bytesOf(hex: string): Buffer {
  return Buffer.from(hex.replaceAll(" ", ""), "hex");
}

function hexOf(bytes: Buffer): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0").toUpperCase()).join(" ");
}
