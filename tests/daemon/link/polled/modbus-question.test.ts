import { describe, expect, it } from "vitest";
import { parseFormat } from "#daemon/link/formats/formats";
import type { ModbusFormat, ModbusValue } from "#daemon/link/formats/modbus-format";
import { crc16, hasGoodCrc } from "#daemon/link/polled/crc16";
import { modbusQuestion } from "#daemon/link/polled/modbus-question";
import { type ModbusRead, modbusReads, valueText } from "#daemon/link/polled/modbus-reads";
import { answerChannels } from "#daemon/link/polled/round-values";
import { crcBytes, rtuFrame } from "#tests/helpers/modbus-slave";
import { hexBytes as bytes, serialVectors as vectors } from "#tests/helpers/serial-vectors";

const { published, invalid, constructed, float_orders: floatOrders } = vectors.modbus_rtu;

/** A read of raw registers. */
function read(unit: number, code: number, address: number, count: number): ModbusRead {
  const table = code === 3 ? ("holding" as const) : ("input" as const);
  const values = Array.from({ length: count }, (_, index) => raw({ unit, table, address: address + index }));
  return { unit, table, address, count, values };
}

function raw(given: Partial<ModbusValue>): ModbusValue {
  return {
    unit: 1,
    table: "input",
    address: 0,
    type: "uint16",
    order: "abcd",
    scale: 1,
    offset: 0,
    field: "celsius",
    ...given,
  };
}

function reads(spec: string): ModbusRead[] {
  const parsed = parseFormat(spec);
  if (!parsed.ok || !parsed.format.kind.startsWith("modbus"))
    throw new RangeError(`${spec} is no such format`);
  return modbusReads(parsed.format as ModbusFormat);
}

/** What a read hears of these bytes. */
function heard(asked: ModbusRead, ...chunks: readonly Uint8Array[]) {
  const hearing = modbusQuestion("modbus", asked, 1).begin();
  const answers = chunks.map((chunk) => hearing.push(chunk)).filter((answer) => answer !== null);
  return { answer: answers[0] ?? null, noise: Buffer.from(hearing.takeNoise(true)) };
}

function texts(answer: ReturnType<typeof heard>["answer"]): string[] | undefined {
  return answer?.kind === "values" ? answer.fields.map(({ text }) => text) : undefined;
}

describe("the Modbus CRC", () => {
  it("has the catalogue's check value", () => {
    expect(crc16(Buffer.from(vectors.modbus_rtu.crc.check_input_ascii))).toBe(0x4b37);
  });
  it.each([...published, ...constructed].map(({ frame }) => frame))("is right on %s", (frame) => {
    expect(hasGoodCrc(bytes(frame))).toBe(true);
    expect(crcBytes(bytes(frame).subarray(0, -2))).toEqual(bytes(frame).subarray(-2));
  });
  it.each(invalid)("is wrong on $frame: $why", ({ frame }) => {
    expect(hasGoodCrc(bytes(frame))).toBe(false);
  });
});

describe("a question for registers", () => {
  const readRequests = [...published, ...constructed].flatMap((vector) =>
    [3, 4].includes(vector.function ?? 0) && vector.address !== undefined && vector.quantity !== undefined
      ? [
          {
            frame: vector.frame,
            unit: vector.unit ?? 0,
            code: vector.function ?? 0,
            address: vector.address,
            quantity: vector.quantity,
          },
        ]
      : [],
  );
  it("has vectors of its request", () => {
    expect(readRequests.length).toBeGreaterThanOrEqual(8);
  });
  it.each(readRequests)("is sent as $frame", ({ frame, unit, code, address, quantity }) => {
    const question = modbusQuestion("modbus", read(unit, code, address, quantity), 1);
    expect(Buffer.from(question.begin().request)).toEqual(bytes(frame));
  });

  const replies = [...published, ...constructed].flatMap(({ frame, ...vector }) => {
    const [unit = 0, code = 0, count = 0] = bytes(frame);
    const isReply = (code === 3 || code === 4) && frame.length / 3 > 6 && count === bytes(frame).length - 5;
    return isReply ? [{ frame, unit, code, count: count / 2, registers: vector.registers }] : [];
  });
  it("has vectors of its reply", () => {
    expect(replies.length).toBeGreaterThanOrEqual(12);
  });
  it.each(replies)("takes the reply $frame", ({ frame, unit, code, count, registers }) => {
    const { answer, noise } = heard(read(unit, code, 0, count), bytes(frame));
    expect(noise).toHaveLength(0);
    const data = bytes(frame).subarray(3, -2);
    const expected = registers ?? Array.from({ length: count }, (_, at) => data.readUInt16BE(2 * at));
    expect(texts(answer)).toEqual(expected.map(String));
  });
  it.each(replies)("takes the reply $frame byte by byte", ({ frame, unit, code, count }) => {
    const single = [...bytes(frame)].map((byte) => Uint8Array.of(byte));
    expect(heard(read(unit, code, 0, count), ...single).answer?.kind).toBe("values");
  });

  it.each(invalid)("takes $frame for nothing: $why", ({ frame }) => {
    for (const unit of [1, 17])
      for (const count of [1, 2, 3]) {
        const { answer, noise } = heard(read(unit, 3, 107, count), bytes(frame));
        expect(answer).toBeNull();
        expect(noise).toEqual(bytes(frame));
      }
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { frame: "01 83 02 C0 F1", code: 3, why: "unit 1 says illegal data address (2)", isBusy: false },
    { frame: "01 84 02 C2 C1", code: 4, why: "unit 1 says illegal data address (2)", isBusy: false },
    { frame: "01 84 06 C3 02", code: 4, why: "unit 1 says device busy (6)",          isBusy: true },
  ])("tells the exception $frame in words", ({ frame, code, why, isBusy }) => {
    expect(heard(read(1, code, 0, 2), bytes(frame)).answer).toMatchObject({ kind: "refusal", why, isSaid: true, isBusy });
  });

  const right = rtuFrame("01 04 02 25 85");
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "another unit",          first: rtuFrame("02 04 02 11 11") },
    { what: "another function",      first: rtuFrame("01 03 02 11 11") },
    { what: "another length",        first: rtuFrame("01 04 04 11 11 22 22") },
    { what: "another unit's exception", first: rtuFrame("02 84 02") },
    { what: "a wrong CRC",           first: bytes("01 04 02 11 11 00 00") },
    { what: "noise",                 first: bytes("00 FF 01 04 02 01 04") },
    { what: "half of the same frame", first: right.subarray(0, 4) },
  ])("passes over $what before the reply, and keeps it to be shown", ({ first }) => {
    const { answer, noise } = heard(read(1, 4, 0, 1), first, right);
    expect(texts(answer)).toEqual(["9605"]);
    expect(noise).toEqual(first);
    expect(heard(read(1, 4, 0, 1), first).answer).toBeNull();
  });

  it("is not answered by its own echo, as an adapter with two wires gives it back", () => {
    const { answer, noise } = heard(read(1, 4, 0, 1), bytes("01 04 00 00 00 01 31 CA"), right);
    expect(texts(answer)).toEqual(["9605"]);
    expect(noise).toHaveLength(0);
  });

  it("keeps no more than a frame of endless noise", () => {
    const hearing = modbusQuestion("modbus", read(1, 4, 0, 1), 1).begin();
    for (let sent = 0; sent < 200; sent++) expect(hearing.push(Buffer.alloc(5000, 1))).toBeNull();
    expect(hearing.push(right)).toMatchObject({ kind: "values" });
    expect(hearing.takeNoise(true).length).toBeLessThanOrEqual(32);
  });
});

describe("a question over Modbus/TCP", () => {
  const asked = read(1, 4, 0, 1);
  it("has the frame of its kind: a number, protocol 0, the length, and no CRC", () => {
    const { request } = modbusQuestion("modbus-tcp", asked, 1).begin();
    expect(Buffer.from(request.subarray(2)).toString("hex")).toBe("00000006010400000001");
    const next = modbusQuestion("modbus-tcp", asked, 1).begin().request;
    expect([...next.subarray(0, 2)]).not.toEqual([...request.subarray(0, 2)]);
  });

  it("is answered by the frame with its own number only", () => {
    const hearing = modbusQuestion("modbus-tcp", asked, 1).begin();
    const number = Buffer.from(hearing.request.subarray(0, 2));
    const before = Buffer.from(number);
    before.writeUInt16BE((number.readUInt16BE(0) + 0xffff) % 0x1_0000);
    const late = Buffer.concat([before, bytes("00 00 00 05 01 04 02 11 11")]);
    const mine = Buffer.concat([number, bytes("00 00 00 05 01 04 02 25 85")]);
    expect(hearing.push(late)).toBeNull();
    expect(texts(hearing.push(mine))).toEqual(["9605"]);
    expect(Buffer.from(hearing.takeNoise(true))).toEqual(late);
  });

  it("tells a gateway that reaches nobody in words", () => {
    const hearing = modbusQuestion("modbus-tcp", asked, 1).begin();
    const answer = hearing.push(
      Buffer.concat([hearing.request.subarray(0, 2), bytes("00 00 00 03 01 84 0B")]),
    );
    expect(answer).toMatchObject({ why: "unit 1 says gateway target failed to respond (11)", isBusy: true });
  });
});

describe("the registers of a format", () => {
  it("are read in as few requests as they have neighbours", () => {
    const spec =
      "modbus:unit=1;input 3 int16=cold-celsius;input 0 float32=celsius;input 2 int16=hectopascals;holding 0 int16=duty-percent;unit=2;input 4 int16=millivolts";
    expect(reads(spec).map(({ unit, table, address, count }) => [unit, table, address, count])).toEqual([
      [1, "holding", 0, 1],
      [1, "input", 0, 4],
      [2, "input", 4, 1],
    ]);
  });
  it("that nobody asked for are not read", () => {
    expect(reads("modbus:input 0 int16=celsius;input 2 int16=cold-celsius")).toHaveLength(2);
  });

  // The specification's limit, from memory; two values 124 apart are still one request only if all between are asked for.
  it("are at most 125 in one request", () => {
    const values = Array.from({ length: 130 }, (_, address) => raw({ address }));
    const found = modbusReads({ kind: "modbus", values, everySeconds: 1, timeoutSeconds: 1 });
    expect(found.map(({ count }) => count)).toEqual([125, 5]);
  });
});

describe("a register as a number", () => {
  it.each(Object.entries(floatOrders.registers))("is the published float in the order %s", (order, words) => {
    const registers = words.map((word) => Number.parseInt(word, 16));
    const value = raw({ type: "float32", order: order.toLowerCase() as ModbusValue["order"] });
    expect(valueText(value, registers)).toBe(String(floatOrders.value));
  });

  const floats = constructed.flatMap(({ frame, ...vector }) =>
    vector.float32_exact ? [{ frame, order: vector.float_order ?? "", exact: vector.float32_exact }] : [],
  );
  it.each(floats)("is 961.78 in the order $order", ({ frame, order, exact }) => {
    const value = raw({ type: "float32", order: order.toLowerCase() as ModbusValue["order"] });
    const answer = heard({ ...read(1, 4, 0, 2), values: [value] }, bytes(frame)).answer;
    expect(answer && answerChannels(answer)).toEqual({ celsius: exact });
  });

  it("is the four recorded floats, low word first, as their source prints them", () => {
    const recorded = published.find((vector) => vector.floats_printed);
    if (!recorded?.floats_printed) throw new Error("the recorded floats are missing");
    const values = recorded.floats_printed.map((_, index) =>
      raw({ address: 2 * index, type: "float32", order: "cdab" }),
    );
    const { answer } = heard({ ...read(1, 4, 0, 8), values }, bytes(recorded.frame));
    // Printed with seven digits: half of the last one is the tolerance.
    for (const [index, text] of (texts(answer) ?? []).entries()) {
      const printed = recorded.floats_printed[index] ?? 0;
      expect(Math.abs(Number(text) - printed)).toBeLessThanOrEqual(printed > 1 ? 5e-4 : 5e-7);
    }
    expect(texts(answer)).toHaveLength(4);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { frame: "01 04 02 25 85 62 03", spec: "int16 *0.1",  channels: { celsius: 960.5 } },
    { frame: "01 04 02 FF 85 39 63", spec: "int16 *0.1",  channels: { celsius: -12.3 } },
    { frame: "01 04 02 80 00 D8 F0", spec: "int16 *0.1",  channels: { sensorWord: "open-circuit" } },
  ])("reads $frame as $spec", ({ frame, spec, channels }) => {
    const [asked] = reads(`modbus:input 0 ${spec}=celsius`);
    const answer = asked ? heard(asked, bytes(frame)).answer : null;
    expect(answer && answerChannels(answer)).toEqual(channels);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { type: "int16",   hex: "7FFF",     says: { sensorWord: "open-circuit" } },
    { type: "int16",   hex: "8000",     says: { sensorWord: "open-circuit" } },
    { type: "uint16",  hex: "FFFF",     says: { sensorWord: "open-circuit" } },
    { type: "int32",   hex: "7FFFFFFF", says: { sensorWord: "open-circuit" } },
    { type: "int32",   hex: "80000000", says: { sensorWord: "open-circuit" } },
    { type: "uint32",  hex: "FFFFFFFF", says: { sensorWord: "open-circuit" } },
    { type: "float32", hex: "7FC00000", says: { sensorWord: "open-circuit" } },
    { type: "float32", hex: "7F800000", says: { sensorWord: "above-range" } },
    { type: "float32", hex: "FF800000", says: { sensorWord: "below-range" } },
    { type: "float32", hex: "7F7FFFFF", says: null },
    { type: "int16",   hex: "7FFE",     says: null },
  ])("never makes a temperature of $type $hex", ({ type, hex, says }) => {
    for (const scale of type === "int16" ? [1] : [1, 0.1]) {
      const [asked] = reads(`modbus:input 0 ${type} *${scale}=celsius`);
      if (!asked) throw new Error("nothing is asked");
      const reply = rtuFrame(`01 04 0${hex.length / 2} ${hex}`);
      const { answer } = heard(asked, reply);
      expect(answer && answerChannels(answer)).toEqual(says);
    }
  });

  it("that is a code for a broken probe leaves another channel absent", () => {
    const [asked] = reads("modbus:input 0 int16 *0.1=celsius;input 1 int16 *0.1=hectopascals");
    if (!asked) throw new Error("nothing is asked");
    const { answer } = heard(asked, rtuFrame("01 04 04 25 85 7F FF"));
    expect(answer && answerChannels(answer)).toEqual({ celsius: 960.5 });
  });
});
