import type { Sample, Trace } from "#core/trace/trace";
import {
  celsiusFromFahrenheit,
  celsiusFromKelvin,
  hectopascalsFromInchesOfMercury,
  hectopascalsFromKilopascals,
  hectopascalsFromMillimetresOfMercury,
  hectopascalsFromTorr,
} from "#core/units";
import { DaemonError } from "#daemon/errors";
import { fileText } from "#daemon/input";

/** Files larger than this are refused, bytes. */
export const MOST_TRACE_BYTES = 64 * 1024 * 1024;

/** A recorded trace, and the rows of its file that said no temperature. */
export interface TraceFile {
  readonly trace: Trace;
  /** Rows whose time or temperature is empty, or says `nan`, `na`, `n/a` or `null`. */
  readonly missingReadings: { readonly count: number; readonly firstLine: number | null };
}

type Quantity = "time" | "temperature" | "pressure";

interface Unit {
  readonly quantity: Quantity;
  /** True for the unit of the house: such a column wins over others of its quantity. */
  readonly isCanonical?: true;
  readonly convert: (value: number) => number;
}

const same = (value: number) => value;

const seconds: Unit = { quantity: "time", isCanonical: true, convert: same };
const minutes: Unit = { quantity: "time", convert: (value) => value * 60 };
const celsius: Unit = { quantity: "temperature", isCanonical: true, convert: same };
const hectopascals: Unit = { quantity: "pressure", isCanonical: true, convert: same };
const pascals: Unit = { quantity: "pressure", convert: (value) => value / 100 };
const bar: Unit = { quantity: "pressure", convert: (value) => value * 1000 };
const kilopascals: Unit = { quantity: "pressure", convert: hectopascalsFromKilopascals };

/** Units by the words and signs that a header may use for them, in small letters. */
const UNITS = new Map<string, Unit>([
  ["seconds", seconds],
  ["s", seconds],
  ["sec", seconds],
  ["minutes", minutes],
  ["min", minutes],
  ["celsius", celsius],
  ["°c", celsius],
  ["c", celsius],
  ["fahrenheit", { quantity: "temperature", convert: celsiusFromFahrenheit }],
  ["°f", { quantity: "temperature", convert: celsiusFromFahrenheit }],
  ["f", { quantity: "temperature", convert: celsiusFromFahrenheit }],
  ["kelvin", { quantity: "temperature", convert: celsiusFromKelvin }],
  ["k", { quantity: "temperature", convert: celsiusFromKelvin }],
  ["hectopascals", hectopascals],
  ["hpa", hectopascals],
  ["mbar", hectopascals],
  ["millibar", hectopascals],
  ["pascals", pascals],
  ["pa", pascals],
  ["bar", bar],
  ["kilopascals", kilopascals],
  ["kpa", kilopascals],
  ["mmhg", { quantity: "pressure", convert: hectopascalsFromMillimetresOfMercury }],
  ["inhg", { quantity: "pressure", convert: hectopascalsFromInchesOfMercury }],
  ["torr", { quantity: "pressure", convert: hectopascalsFromTorr }],
]);

/** Outside of this no chamber is, °C: an instrument that says so means a fault. */
const PLAUSIBLE_CELSIUS = { from: -90, to: 2000 };
const PLAUSIBLE_HECTOPASCALS = { from: 0, to: 20_000 };

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/i;
const NO_READING = /^(?:|nan|na|n\/a|null)$/i;

interface Column {
  readonly name: string;
  readonly index: number;
  readonly unit: Unit;
}

interface Columns {
  readonly time: Column;
  readonly temperature: Column;
  readonly pressure: Column | undefined;
}

/**
 * A trace from a CSV file; the columns are described at `parseTrace`.
 * @throws DaemonError in one line when it cannot be read or is no trace
 */
export async function readTraceFile(path: string): Promise<TraceFile> {
  return parseTrace(await fileText(path, MOST_TRACE_BYTES), path);
}

/**
 * A trace from CSV text. The first line that is not blank and does not begin with `#` names the columns:
 * `seconds,celsius[,hectopascals]` in any order, other columns are passed over. `minutes`, `fahrenheit`,
 * `kelvin`, `kilopascals`, `mmhg`, `inhg`, `torr` and the usual signs of all of them are converted. A name
 * that ends in a unit (`temperature_celsius`, `Time [s]`) counts where no column is named by the unit alone.
 * Cells are parted by `,` `;` or tab; with the last two a comma may stand in numbers.
 * @param name of the file, for the refusal
 * @throws DaemonError `input-refused`, one line with the line number
 * @example parseTrace("seconds,celsius\n0,500\n1,501\n", "t.csv").trace // [{ atSeconds: 0, celsius: 500 }, { atSeconds: 1, celsius: 501 }]
 */
export function parseTrace(text: string, name: string): TraceFile {
  const refuse = (line: number, why: string) =>
    new DaemonError("input-refused", `${name} line ${line}: ${why}`);
  const lines = text.replace(/^\uFEFF/, "").split(/\r\n|\n|\r/);
  const isPassedOver = (line: string) => line.trim() === "" || line.startsWith("#");
  const headerIndex = lines.findIndex((line) => !isPassedOver(line));
  const header = lines[headerIndex];
  if (header === undefined)
    throw new DaemonError(
      "input-refused",
      `${name} is empty: it needs a header seconds,celsius and readings`,
    );

  const separator = header.includes(";") ? ";" : header.includes("\t") ? "\t" : ",";
  const names = cells(header, separator);
  const columns = columnsOf(names, (why) => refuse(headerIndex + 1, why));
  const trace: Sample[] = [];
  const missing = { count: 0, firstLine: null as number | null };
  for (let index = headerIndex + 1; index < lines.length; index++) {
    const line = lines[index] ?? "";
    if (isPassedOver(line)) continue;
    const row = cells(line, separator);
    if (row.slice(names.length).some((cell) => cell !== ""))
      throw refuse(
        index + 1,
        `${row.length} cells under a header of ${names.length}. Part cells by ; where a comma stands in numbers`,
      );
    const read = rowReader(row, separator, (why) => refuse(index + 1, why));
    const sample = sampleOf(columns, read);
    if (!sample) {
      missing.count++;
      missing.firstLine ??= index + 1;
      continue;
    }
    const before = trace.at(-1)?.atSeconds ?? Number.NEGATIVE_INFINITY;
    if (sample.atSeconds <= before)
      throw refuse(
        index + 1,
        `time does not rise: ${round(sample.atSeconds)} s after ${round(before)} s. Put the rows in order, one per moment`,
      );
    trace.push(sample);
  }
  if (trace.length < 2)
    throw new DaemonError(
      "input-refused",
      `${name} has ${trace.length} reading(s): a trace needs at least 2 rows under its header`,
    );
  return { trace, missingReadings: missing };
}

function columnsOf(names: readonly string[], refuse: (why: string) => DaemonError): Columns {
  const pick = (quantity: Quantity) => columnFor(quantity, names, refuse);
  const time = pick("time");
  const temperature = pick("temperature");
  if (!time) throw refuse(`no column for the time: name it seconds or minutes, found ${listed(names)}`);
  if (!temperature)
    throw refuse(
      `no column for the temperature: name it celsius, fahrenheit or kelvin, found ${listed(names)}`,
    );
  return { time, temperature, pressure: pick("pressure") };
}

function columnFor(
  quantity: Quantity,
  names: readonly string[],
  refuse: (why: string) => DaemonError,
): Column | undefined {
  const found = (unitOf: (name: string) => string) =>
    names.flatMap((name, index) => {
      const unit = UNITS.get(unitOf(name.toLowerCase()));
      return unit?.quantity === quantity ? [{ name, index, unit }] : [];
    });
  const exact = found((name) => name);
  const trailing = found(trailingUnit);
  const isSure = exact.length > 0 && !(trailing.length > 0 && exact.every(({ name }) => isLowest(name)));
  const candidates = isSure ? exact : trailing.length > 0 ? trailing : exact;
  const canonical = candidates.filter((column) => column.unit.isCanonical);
  const [column, rival] = canonical.length > 0 ? canonical : candidates;
  if (column && rival)
    throw refuse(
      `columns ${column.name} and ${rival.name} could both be the ${quantity}: leave one, or rename the other`,
    );
  return column;
}

/** A column `min` beside `time_s` is a lowest value, not minutes. */
function isLowest(name: string): boolean {
  return name.toLowerCase() === "min";
}

/**
 * `temperature_celsius` → `celsius`, `time [s]` → `s`, `temp_K` → `k`. What ends in `_min` may be a lowest
 * temperature as well as minutes, so it counts in brackets only.
 */
function trailingUnit(name: string): string {
  const units =
    /[[(]\s*([^\])]+?)\s*[\])]$|[_ ](°?[cfk]|s|sec)$|(\p{L}{4,}|[hk]pa|[_ ](?:pa|bar))$/u.exec(name) ?? [];
  return (units[1] ?? units[2] ?? units[3] ?? "").replace(/^[_ ]/, "");
}

/** Reads one cell of a row; null when it is empty or says that there is no reading. */
type ReadCell = (column: Column, range: { readonly from: number; readonly to: number }) => number | null;

function rowReader(
  row: readonly string[],
  separator: string,
  refuse: (why: string) => DaemonError,
): ReadCell {
  return (column, range) => {
    const cell = row[column.index] ?? "";
    if (NO_READING.test(cell)) return null;
    const text = separator !== "," && !cell.includes(".") ? cell.replace(",", ".") : cell;
    if (!NUMBER.test(text)) throw refuse(`"${printable(cell)}" in column ${column.name} is no number`);
    const value = column.unit.convert(Number(text));
    if (!(value >= range.from && value <= range.to))
      throw refuse(
        `${printable(cell)} in column ${column.name} cannot be. Empty the cell if there was no reading`,
      );
    return value;
  };
}

function sampleOf(columns: Columns, read: ReadCell): Sample | null {
  const celsius = read(columns.temperature, PLAUSIBLE_CELSIUS);
  const atSeconds = read(columns.time, { from: -1e12, to: 1e12 });
  const pressure = columns.pressure ? read(columns.pressure, PLAUSIBLE_HECTOPASCALS) : null;
  if (celsius === null || atSeconds === null) return null;
  return pressure === null ? { atSeconds, celsius } : { atSeconds, celsius, hectopascals: pressure };
}

/** The cells of a line, trimmed, without the quotation marks around them. */
function cells(line: string, separator: string): string[] {
  if (!line.includes('"')) return line.split(separator).map((cell) => cell.trim());
  const found: string[] = [];
  let cell = "";
  let isQuoted = false;
  for (const character of line) {
    if (character === '"') isQuoted = !isQuoted;
    else if (character === separator && !isQuoted) {
      found.push(cell.trim());
      cell = "";
    } else cell += character;
  }
  return [...found, cell.trim()];
}

function listed(names: readonly string[]): string {
  return printable(names.join(", ")) || "none";
}

function printable(text: string): string {
  return text.replace(/[^\p{L}\p{N}\p{P}\p{S} ]/gu, "?").slice(0, 80);
}

function round(value: number): number {
  return Math.round(value * 1000) / 1000;
}
