import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { type MeasurementResult, measuredCelsius } from "#core/thermocouple/measurement";
import type { Heard } from "#core/thermocouple/sensor-faults";
import type { Sample, Trace } from "#core/trace/trace";
import { cellNumber, cells, printable, type Separator, separatorOf } from "#daemon/command/cells";
import { type HeardRow, heardRows } from "#daemon/command/heard-rows";
import { type Column, type Columns, type SignalChoice, traceColumns } from "#daemon/command/trace-columns";
import { DaemonError } from "#daemon/errors";
import { fileText } from "#daemon/input";
import { sensorWordOf } from "#daemon/link/formats/sensor-words";
import { UNKNOWN_PROBE } from "#shared/probe";
import type { SensorWord } from "#shared/sensor-fault";

/** Files larger than this are refused, bytes. */
export const MOST_TRACE_BYTES = 64 * 1024 * 1024;

/** What a trace file cannot say itself. */
export interface TraceSettings {
  /** Of the thermocouple: needed where the column is in mV. */
  readonly type: ThermocoupleType | null;
  /** Of a cold junction that has no column, or where its cell is empty, °C. */
  readonly coldJunctionCelsius: number | null;
  readonly signal: SignalChoice;
}

/** A recorded trace, and the rows of its file that said no temperature. */
export interface TraceFile {
  readonly trace: Trace;
  /** Everything that was heard of the probe, in rising time: also that there was no reading. */
  readonly heard: readonly Heard[];
  /** What the temperatures come of. */
  readonly signal: "celsius" | "millivolts";
  /** True where there is a column of the other kind, too, which was not used. */
  readonly hasOtherSignal: boolean;
  /** Rows without a time or a temperature: the cell is empty, says so in a word, or no thermocouple can. */
  readonly missingReadings: { readonly count: number; readonly firstLine: number | null };
}

const NOTHING_SAID: TraceSettings = { type: null, coldJunctionCelsius: null, signal: null };

/** Outside of this nothing is that a thermocouple's instrument shows, faults and full scale included, °C. */
const PLAUSIBLE_CELSIUS = { from: -270, to: 2500 };
const PLAUSIBLE_MILLIVOLTS = { from: -10_000, to: 10_000 };
const PLAUSIBLE_HECTOPASCALS = { from: 0, to: 20_000 };
const PLAUSIBLE_SECONDS = { from: -1e12, to: 1e12 };
const PLAUSIBLE_DUTY = { from: -0.01, to: 1.01 };

/** A cold junction in a row of its own counts for so long, s: it drifts by a kelvin in minutes. */
const COLD_JUNCTION_SECONDS = 60;

/**
 * A trace from a CSV file; the columns are described at `parseTrace`.
 * @throws DaemonError in one line when it cannot be read or is no trace
 */
export async function readTraceFile(
  path: string,
  settings: TraceSettings = NOTHING_SAID,
): Promise<TraceFile> {
  return parseTrace(await fileText(path, MOST_TRACE_BYTES), path, settings);
}

/**
 * A trace from CSV text. The first line that is not blank and does not begin with `#` names the columns:
 * `seconds,celsius[,hectopascals]` in any order, other columns are passed over. `minutes`, `fahrenheit`,
 * `kelvin`, `kilopascals`, `mmhg`, `inhg`, `torr` and the usual signs of all of them are converted. A name
 * that ends in a unit (`temperature_celsius`, `Time [s]`) counts where no column is named by the unit alone.
 * Cells are parted by `,` `;` or tab; with the last two a comma may stand in numbers.
 *
 * In place of a temperature there may be the EMF (`millivolts`, `emf_mv`, `[µV]`), with the cold junction
 * beside it (`cold_junction_celsius`, `cj_c`, `ambient [°C]`: never taken for the chamber) or in the settings.
 * Where there is a temperature, too, that is read unless the settings ask for the EMF.
 * @param name of the file, for the refusal
 * @throws DaemonError `input-refused`, one line with the line number
 * @example parseTrace("seconds,celsius\n0,500\n1,501\n", "t.csv").trace // [{ atSeconds: 0, celsius: 500 }, { atSeconds: 1, celsius: 501 }]
 */
export function parseTrace(text: string, name: string, settings: TraceSettings = NOTHING_SAID): TraceFile {
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

  const separator = separatorOf(header);
  const names = cells(header, separator);
  const columns = traceColumns(names, settings.signal, (why) => refuse(headerIndex + 1, why));
  const isEmf = columns.signal.unit.quantity === "emf";
  const unsaid = isEmf ? whatIsUnsaid(columns, settings) : null;
  if (unsaid !== null) throw refuse(headerIndex + 1, unsaid);

  const trace: Sample[] = [];
  const heard: HeardRow[] = [];
  const missing: MissingRows = { count: 0, firstLine: null, beyondReach: 0, withoutColdJunction: 0 };
  const rowOf = rowReader(columns, settings);
  for (let index = headerIndex + 1; index < lines.length; index++) {
    const line = lines[index] ?? "";
    if (isPassedOver(line)) continue;
    const row = cells(line, separator);
    if (row.slice(names.length).some((cell) => cell !== ""))
      throw refuse(
        index + 1,
        `${row.length} cells under a header of ${names.length}. Part cells by ; where a comma stands in numbers`,
      );
    const { sample, said } = rowOf(cellReader(row, separator, (why) => refuse(index + 1, why)));
    const isEmpty = (row[columns.signal.index] ?? "") === "";
    if (said && said.atSeconds > (heard.at(-1)?.heard.atSeconds ?? Number.NEGATIVE_INFINITY))
      heard.push({ heard: said, isEmpty });
    if (!sample) {
      missing.count++;
      if (said?.sensorWord === "above-range" || said?.sensorWord === "below-range") missing.beyondReach++;
      if (isEmf && said === null && !isEmpty) missing.withoutColdJunction++;
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
      `${name} ${tooFewWords(trace.length, missing, columns, settings)}`,
    );
  return {
    trace,
    heard: heardRows(heard),
    signal: isEmf ? "millivolts" : "celsius",
    hasOtherSignal: !isEmf && columns.emf !== undefined,
    missingReadings: { count: missing.count, firstLine: missing.firstLine },
  };
}

/** What an EMF needs and nobody said, with how to mend it; null when nothing is missing. */
function whatIsUnsaid({ signal, coldJunction }: Columns, settings: TraceSettings): string | null {
  if (settings.type === null)
    return `column ${signal.name} is in mV: say the thermocouple with --type, one of B, E, J, K, N, R, S, T`;
  if (coldJunction || settings.coldJunctionCelsius !== null) return null;
  return `no column for the cold junction of ${signal.name}: name it cold_junction_celsius, or say it with --cold`;
}

/** Rows that came to no temperature, and why. */
interface MissingRows {
  count: number;
  firstLine: number | null;
  /** No EMF or temperature that the thermocouple can have. */
  beyondReach: number;
  withoutColdJunction: number;
}

/** Why a file is no trace when it has too few readings, with how to mend it. */
function tooFewWords(
  readings: number,
  { count, firstLine, beyondReach, withoutColdJunction }: MissingRows,
  { signal, coldJunction }: Columns,
  { type }: TraceSettings,
): string {
  const rows = readings + count;
  if (signal.unit.quantity === "emf" && beyondReach > 0)
    return `has ${beyondReach} of ${rows} rows whose EMF no type ${type} gives: see whether --type is right, and whether plus and minus are swapped`;
  if (coldJunction && withoutColdJunction > 0)
    return `has ${withoutColdJunction} of ${rows} rows without a cold junction in column ${coldJunction.name}: say it with --cold`;
  if (count > 0)
    return `has ${readings} reading(s) in ${rows} rows, line ${firstLine} has none: a trace needs at least 2 readings`;
  return `has ${readings} reading(s): a trace needs at least 2 rows under its header`;
}

interface Row {
  readonly sample: Sample | null;
  /** Null where the row says nothing of the probe at any moment. */
  readonly said: Heard | null;
}

/** Reads rows in their order: a cold junction counts for the rows behind it, too. */
function rowReader(columns: Columns, settings: TraceSettings): (read: ReadCells) => Row {
  const { signal } = columns;
  const coldJunctionAt = coldJunctionReader(columns, settings);
  const probe = { ...UNKNOWN_PROBE, type: settings.type };
  return (read) => {
    const atSeconds = read.number(columns.time, PLAUSIBLE_SECONDS);
    const isEmf = signal.unit.quantity === "emf";
    const value = read.number(signal, isEmf ? PLAUSIBLE_MILLIVOLTS : PLAUSIBLE_CELSIUS);
    const hectopascals = read.number(columns.pressure, PLAUSIBLE_HECTOPASCALS);
    if (atSeconds === null) return { sample: null, said: null };
    const millivolts = isEmf ? value : read.numberIfAny(columns.emf, PLAUSIBLE_MILLIVOLTS);
    const heaterDutyFraction = read.numberIfAny(columns.heaterDuty, PLAUSIBLE_DUTY);
    const cold = coldJunctionAt(atSeconds, read);
    const measured = measuredCelsius(
      isEmf
        ? { millivolts: millivolts ?? undefined, coldJunctionCelsius: cold.celsius ?? undefined }
        : { celsius: value ?? undefined },
      probe,
    );
    const channels = { millivolts, hectopascals, coldJunctionCelsius: cold.celsius, heaterDutyFraction };
    return {
      sample: measured.ok ? { atSeconds, celsius: measured.celsius, ...present(channels) } : null,
      said: said(atSeconds, measured, read.word(signal), {
        millivolts,
        coldJunctionCelsius: cold.isMeasured ? cold.celsius : null,
        heaterDutyFraction,
      }),
    };
  };
}

/** A cold junction, and whether an instrument said it: one that was told to us would be found standing still. */
interface ColdJunction {
  readonly celsius: number | null;
  readonly isMeasured: boolean;
}

/** The cold junction at each row: its own, for an EMF also that of a row shortly before, or as it was told. */
function coldJunctionReader(
  { signal, coldJunction }: Columns,
  settings: TraceSettings,
): (atSeconds: number, read: ReadCells) => ColdJunction {
  let known: { readonly celsius: number; readonly atSeconds: number } | null = null;
  if (signal.unit.quantity !== "emf")
    return (_, read) => ({
      celsius: read.numberIfAny(coldJunction, PLAUSIBLE_CELSIUS),
      isMeasured: true,
    });
  return (atSeconds, read) => {
    const celsius = read.number(coldJunction, PLAUSIBLE_CELSIUS);
    if (celsius !== null) known = { celsius, atSeconds };
    if (known !== null && atSeconds - known.atSeconds <= COLD_JUNCTION_SECONDS)
      return { celsius: known.celsius, isMeasured: true };
    return { celsius: settings.coldJunctionCelsius, isMeasured: false };
  };
}

/** What a watch over the probe hears in a row; null where only the cold junction is not known. */
function said(
  atSeconds: number,
  measured: MeasurementResult,
  word: SensorWord | null,
  beside: Readonly<Record<"millivolts" | "coldJunctionCelsius" | "heaterDutyFraction", number | null>>,
): Heard | null {
  const heard = { atSeconds, ...present(beside) };
  if (measured.ok) return { ...heard, celsius: measured.celsius };
  const { fault } = measured;
  if (fault === "cold-junction-unknown" && beside.coldJunctionCelsius === null) return null;
  const beyond = fault === "above-range" || fault === "below-range" ? fault : "no-value";
  return { ...heard, celsius: null, sensorWord: word ?? beyond };
}

/** The channels that were measured, in the order of a sample; absent ones are absent, never null. */
function present<Channel extends string>(
  channels: Readonly<Record<Channel, number | null>>,
): { readonly [name in Channel]?: number } {
  const found: { [name in Channel]?: number } = {};
  for (const name of Object.keys(channels) as Channel[]) {
    const value = channels[name];
    if (value !== null) found[name] = value;
  }
  return found;
}

/** Reads the cells of one row. */
interface ReadCells {
  /** Null when there is no such column, its cell is empty, or says in a word that there is no reading. */
  number(column: Column | undefined, range: { readonly from: number; readonly to: number }): number | null;
  /** The same for what is good to have: null also when it cannot be read. */
  numberIfAny(
    column: Column | undefined,
    range: { readonly from: number; readonly to: number },
  ): number | null;
  /** The word that stands in place of a number. */
  word(column: Column): SensorWord | null;
}

function cellReader(
  row: readonly string[],
  separator: Separator,
  refuse: (why: string) => DaemonError,
): ReadCells {
  const cellIn = (column: Column) => row[column.index] ?? "";
  const valueIn = (column: Column) => {
    const number = cellNumber(cellIn(column), separator !== ",");
    return number === null ? null : column.unit.convert(number);
  };
  return {
    word: (column) => sensorWordOf(cellIn(column)),
    numberIfAny(column, { from, to }) {
      const value = column ? valueIn(column) : null;
      return value !== null && value >= from && value <= to ? value : null;
    },
    number(column, { from, to }) {
      if (!column || sensorWordOf(cellIn(column)) !== null) return null;
      const value = valueIn(column);
      const cell = printable(cellIn(column));
      if (value === null) throw refuse(`"${cell}" in column ${column.name} is no number`);
      if (value >= from && value <= to) return value;
      throw refuse(`${cell} in column ${column.name} cannot be. Empty the cell if there was no reading`);
    },
  };
}

function round(value: number): number {
  return Math.round(value * 1000) / 1000;
}
