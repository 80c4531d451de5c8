import {
  FIELD_WORDS,
  type FieldWord,
  fieldsFault,
  isFieldWord,
  strictNumber,
} from "#daemon/link/formats/fields";
import {
  DEFAULT_POLLING,
  entriesOf,
  isScale,
  namedEntry,
  type Polling,
  pollingEntries,
  pollingOption,
} from "#daemon/link/formats/polling";

/** Input registers are read by function 4, holding registers by function 3. */
export type RegisterTable = "input" | "holding";

/** How registers are a number. */
export type RegisterType = "int16" | "uint16" | "int32" | "uint32" | "float32";

/** How the four bytes of two registers come in, `a` the most significant. */
export type ByteOrder = "abcd" | "cdab" | "badc" | "dcba";

/** One value of an instrument: where it stands, how it is written, and what it means. */
export interface ModbusValue {
  /** The unit on the bus. */
  readonly unit: number;
  readonly table: RegisterTable;
  /** As on the wire: the first register is 0. */
  readonly address: number;
  readonly type: RegisterType;
  readonly order: ByteOrder;
  /** The number times this, then the offset added, is the value in the field's unit. */
  readonly scale: number;
  readonly offset: number;
  readonly field: FieldWord;
}

/** Registers that are asked for: by RTU frames, or by the frames of Modbus/TCP. */
export interface ModbusFormat extends Polling {
  readonly kind: "modbus" | "modbus-tcp";
  readonly values: readonly ModbusValue[];
}

/** The largest unit number of a serial line. */
export const LARGEST_UNIT = 247;
const LARGEST_ADDRESS = 65_535;
const types: readonly RegisterType[] = ["int16", "uint16", "int32", "uint32", "float32"];
const orders: readonly ByteOrder[] = ["abcd", "cdab", "badc", "dcba"];
const wholeNumber = /^\d{1,5}$/;
const form = "write it as `input 0 int16 *0.1=celsius`";

/** Registers that a number of this type takes. */
export function registerCount(type: RegisterType): 1 | 2 {
  return type === "int16" || type === "uint16" ? 1 : 2;
}

/** A format from the text behind `modbus:`, or what is wrong with it. */
export function parseModbusFormat(kind: ModbusFormat["kind"], text: string): ModbusFormat | string {
  let unit = 1;
  let polling = DEFAULT_POLLING.modbus;
  const values: ModbusValue[] = [];
  for (const entry of entriesOf(text)) {
    const named = namedEntry(entry);
    if (!named) return `"${entry.slice(0, 60)}" is no register; ${form}`;
    const [name, meaning] = named;
    const option = pollingOption(name, meaning);
    if (typeof option === "string") return option;
    if (option) polling = { ...polling, ...option };
    else if (name === "unit") {
      if (!isUnit(kind, meaning)) return `"${meaning.slice(0, 40)}" is no unit; ${unitWords(kind)}`;
      unit = Number(meaning);
    } else {
      const value = parseValue(unit, name, meaning);
      if (typeof value === "string") return value;
      values.push(value);
    }
  }
  return fieldsFault(values.map(({ field }) => field)) ?? { kind, values, ...polling };
}

/** The text behind `modbus:`; `parseModbusFormat` reads it back. */
export function modbusFormatText(format: ModbusFormat): string {
  let unit: number | null = null;
  const entries = format.values.flatMap((value) => {
    const entry = valueText(value);
    if (value.unit === unit) return [entry];
    unit = value.unit;
    return [`unit=${unit}`, entry];
  });
  return [...entries, ...pollingEntries(format, DEFAULT_POLLING.modbus)].join(";");
}

function parseValue(unit: number, where: string, field: string): ModbusValue | string {
  const [table, address = "", type, ...rest] = where.split(/\s+/);
  const shown = `"${where.slice(0, 60)}"`;
  if (table !== "input" && table !== "holding")
    return `${shown} begins with neither input nor holding; ${form}`;
  const known = types.find((name) => name === type);
  if (!known) return `${shown} says no type; use ${types.join(", ")}`;
  const last = LARGEST_ADDRESS + 1 - registerCount(known);
  if (!wholeNumber.test(address) || Number(address) > last)
    return `${shown} says no register; use 0 to ${last}, the first register being 0`;
  if (!isFieldWord(field) || field === "skip")
    return `"${field.slice(0, 40)}" is no field; use one of ${FIELD_WORDS.filter((word) => word !== "skip").join(", ")}`;
  const reading = parseReading(known, rest);
  if (typeof reading === "string") return `${shown}: ${reading}`;
  return { unit, table, address: Number(address), type: known, ...reading, field };
}

/** Order, scale and offset, each of which may be missing. */
function parseReading(
  type: RegisterType,
  words: readonly string[],
): Pick<ModbusValue, "order" | "scale" | "offset"> | string {
  const left = [...words];
  const order = orders.find((name) => name === left[0]);
  if (order) left.shift();
  if (order && registerCount(type) === 1) return `${order} is for types of two registers`;
  const scale = left[0]?.startsWith("*") ? strictNumber(left.shift()?.slice(1) ?? "") : 1;
  const offset = /^[+-]/.test(left[0] ?? "") ? strictNumber(left.shift() ?? "") : 0;
  if (left.length > 0) return `"${left[0]?.slice(0, 20)}" is not understood; ${form}`;
  if (scale === null || !isScale(scale)) return "the scale is a number such as *0.1";
  if (offset === null || (offset !== 0 && !isScale(offset))) return "the offset is a number such as +10";
  return { order: order ?? "abcd", scale, offset: offset + 0 };
}

function valueText({ table, address, type, order, scale, offset, field }: ModbusValue): string {
  const words: string[] = [table, String(address), type];
  if (order !== "abcd") words.push(order);
  if (scale !== 1) words.push(`*${scale}`);
  if (offset !== 0) words.push(offset > 0 ? `+${offset}` : `${offset}`);
  return `${words.join(" ")}=${field}`;
}

/** A device that is itself on the network often has the number 255 or 0; on a serial line 0 speaks to all. */
function isUnit(kind: ModbusFormat["kind"], text: string): boolean {
  const unit = wholeNumber.test(text) ? Number(text) : Number.NaN;
  if (kind === "modbus-tcp" && (unit === 0 || unit === 255)) return true;
  return unit >= 1 && unit <= LARGEST_UNIT;
}

function unitWords(kind: ModbusFormat["kind"]): string {
  return `use 1 to ${LARGEST_UNIT}${kind === "modbus-tcp" ? ", 0 or 255" : ""}`;
}
