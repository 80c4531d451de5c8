import { printable } from "#daemon/command/cells";
import { type ColumnUnit, type Quantity, trailingUnit, wholeNameUnit } from "#daemon/command/column-units";

/** A column of a trace file. */
export interface Column {
  readonly name: string;
  readonly index: number;
  readonly unit: ColumnUnit;
}

/** Which columns of a trace file are read. */
export interface Columns {
  readonly time: Column;
  /** What the chamber's temperature comes of: a column in °C, or one in mV. */
  readonly signal: Column;
  /** Also in °C mode, where they are kept beside the temperature. */
  readonly emf: Column | undefined;
  readonly coldJunction: Column | undefined;
  readonly pressure: Column | undefined;
  readonly heaterDuty: Column | undefined;
}

/** Which signal is asked for; null takes °C where there are any, else mV. */
export type SignalChoice = "celsius" | "millivolts" | null;

/**
 * The columns of a trace file by their names.
 * @param names of the header, from left to right
 * @param refuse makes the error for a header that will not do
 */
export function traceColumns(
  names: readonly string[],
  choice: SignalChoice,
  refuse: (why: string) => Error,
): Columns {
  const needed = (quantity: Quantity) => columnFor(quantity, names, refuse);
  const beside = (quantity: Quantity) => columnFor(quantity, names, () => null);
  const time = needed("time");
  if (!time) throw refuse(`no column for the time: name it seconds or minutes, found ${listed(names)}`);
  const signal = signalColumn(names, choice, needed, refuse);
  return {
    time,
    signal,
    emf: signal.unit.quantity === "emf" ? signal : beside("emf"),
    coldJunction: signal.unit.quantity === "emf" ? needed("cold junction") : beside("cold junction"),
    pressure: needed("pressure"),
    heaterDuty: beside("heater duty"),
  };
}

function signalColumn(
  names: readonly string[],
  choice: SignalChoice,
  needed: (quantity: Quantity) => Column | undefined,
  refuse: (why: string) => Error,
): Column {
  const temperature = choice === "millivolts" ? undefined : needed("temperature");
  const signal = temperature ?? (choice === "celsius" ? undefined : needed("emf"));
  if (signal) return signal;
  const mend =
    choice === "millivolts"
      ? "no column in mV: name it millivolts"
      : choice === "celsius"
        ? "no column for the temperature: name it celsius, fahrenheit or kelvin"
        : "no column for the temperature: name it celsius, fahrenheit, kelvin or millivolts";
  throw refuse(`${mend}, found ${listed(names)}`);
}

/** @param refuse null from it passes over columns that cannot be told apart */
function columnFor(
  quantity: Quantity,
  names: readonly string[],
  refuse: (why: string) => Error | null,
): Column | undefined {
  const found = (unitOf: (name: string) => ColumnUnit | undefined) =>
    names.flatMap((name, index) => {
      const unit = unitOf(name);
      return unit?.quantity === quantity ? [{ name, index, unit }] : [];
    });
  const exact = found(wholeNameUnit);
  const trailing = found(trailingUnit);
  const isSure = exact.length > 0 && !(trailing.length > 0 && exact.every(({ name }) => isLowest(name)));
  const candidates = isSure ? exact : trailing.length > 0 ? trailing : exact;
  const canonical = candidates.filter((column) => column.unit.isCanonical);
  const [column, rival] = canonical.length > 0 ? canonical : candidates;
  if (!column || !rival) return column;
  const error = refuse(
    `columns ${column.name} and ${rival.name} could both be the ${quantity}: leave one, or rename the other`,
  );
  if (error) throw error;
  return undefined;
}

/** A column `min` beside `time_s` is a lowest value, not minutes. */
function isLowest(name: string): boolean {
  return name.toLowerCase() === "min";
}

function listed(names: readonly string[]): string {
  return printable(names.join(", ")) || "none";
}
