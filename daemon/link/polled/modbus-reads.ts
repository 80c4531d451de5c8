import type { FieldText } from "#daemon/link/formats/fields";
import {
  type ByteOrder,
  type ModbusFormat,
  type ModbusValue,
  type RegisterTable,
  registerCount,
} from "#daemon/link/formats/modbus-format";

/** The most registers of one request (MODBUS Application Protocol V1.1b3, 6.3 and 6.4; from memory). */
export const MOST_REGISTERS = 125;

/** Registers that follow each other, asked for at once, and the values that stand in them. */
export interface ModbusRead {
  readonly unit: number;
  readonly table: RegisterTable;
  readonly address: number;
  readonly count: number;
  readonly values: readonly ModbusValue[];
}

/** The requests that a format takes: neighbours in one, but no register that nobody asked for. */
export function modbusReads({ values }: ModbusFormat): ModbusRead[] {
  const reads: ModbusRead[] = [];
  for (const value of [...values].sort(byPlace)) {
    const last = reads.at(-1);
    const joined = last && joinedRead(last, value);
    if (joined) reads[reads.length - 1] = joined;
    else reads.push({ ...value, count: registerCount(value.type), values: [value] });
  }
  return reads.map(({ unit, table, address, count, values: read }) => ({
    unit,
    table,
    address,
    count,
    values: read,
  }));
}

/** What is read, in words. */
export function readWords({ table, address, count }: ModbusRead): string {
  return count === 1
    ? `${table} register ${address}`
    : `${table} registers ${address} to ${address + count - 1}`;
}

/** The values of a read as texts of their fields; `registers` are as many as were asked for. */
export function readFields(read: ModbusRead, registers: readonly number[]): FieldText[] {
  return read.values.map((value) => {
    const from = value.address - read.address;
    const words = registers.slice(from, from + registerCount(value.type));
    return {
      word: value.field,
      name: `${value.table} ${value.address}`,
      text: valueText(value, words),
    };
  });
}

/**
 * The number of a value as text, or the word for a code that is none: the ends of an integer type and the
 * floats that are no numbers are what instruments put in the place of a broken probe.
 */
export function valueText(
  { type, order, scale, offset }: Pick<ModbusValue, "type" | "order" | "scale" | "offset">,
  registers: readonly number[],
): string {
  const bytes = bytesOf(registers, order);
  const raw = rawNumber(type, bytes);
  if (Number.isNaN(raw) || breakCodes[type].includes(raw)) return "open";
  if (!Number.isFinite(raw)) return raw > 0 ? "over" : "under";
  if (scale === 1 && offset === 0) return String(raw);
  return String(Number((raw * scale + offset).toPrecision(12)));
}

const breakCodes: Readonly<Record<ModbusValue["type"], readonly number[]>> = {
  int16: [-32_768, 32_767],
  uint16: [65_535],
  int32: [-2_147_483_648, 2_147_483_647],
  uint32: [4_294_967_295],
  float32: [],
};

/** Where the bytes of each order stand among `abcd`. */
const places: Readonly<Record<ByteOrder, readonly number[]>> = {
  abcd: [0, 1, 2, 3],
  cdab: [2, 3, 0, 1],
  badc: [1, 0, 3, 2],
  dcba: [3, 2, 1, 0],
};

/** The most significant byte first. */
function bytesOf(registers: readonly number[], order: ByteOrder): DataView {
  const sent = registers.flatMap((register) => [register >> 8, register & 0xff]);
  const sorted = sent.length === 4 ? places[order].map((place) => sent[place] ?? 0) : sent;
  return new DataView(Uint8Array.from(sorted).buffer);
}

function rawNumber(type: ModbusValue["type"], bytes: DataView): number {
  switch (type) {
    case "int16":
      return bytes.getInt16(0);
    case "uint16":
      return bytes.getUint16(0);
    case "int32":
      return bytes.getInt32(0);
    case "uint32":
      return bytes.getUint32(0);
    case "float32":
      return bytes.getFloat32(0);
  }
}

function byPlace(a: ModbusValue, b: ModbusValue): number {
  return a.unit - b.unit || a.table.localeCompare(b.table) || a.address - b.address;
}

/** A read with a value more, where that is its neighbour; undefined where it is not. */
function joinedRead(read: ModbusRead, value: ModbusValue): ModbusRead | undefined {
  const end = read.address + read.count;
  if (read.unit !== value.unit || read.table !== value.table || value.address > end) return undefined;
  const count = Math.max(end, value.address + registerCount(value.type)) - read.address;
  return count > MOST_REGISTERS ? undefined : { ...read, count, values: [...read.values, value] };
}
