import type { Writable } from "node:stream";
import { cellNumber, cells, printable, type Separator, separatorOf } from "#daemon/command/cells";
import { type ColumnUnit, trailingUnit, wholeNameUnit } from "#daemon/command/column-units";
import {
  type Conversion,
  converted,
  type Given,
  type Junctions,
  type RangeFault,
  rangeSentence,
} from "#daemon/command/conversion";
import { type InputLine, inputLines, LONGEST_INPUT_LINE } from "#daemon/command/input-lines";
import { wrongCall } from "#daemon/command/options";
import { GOOD, SAYS_NO, write } from "#daemon/command/output";
import { sensorWordOf } from "#daemon/link/formats/sensor-words";

/** What is to be done with a column. */
export interface ColumnCall {
  readonly given: Given;
  readonly junctions: Junctions;
  /** One JSON object a line instead of one number. */
  readonly isJson: boolean;
}

/** How a column is written, as its first line shows. */
interface Shape {
  /** Null where a line is one cell. */
  readonly separator: Separator | null;
  readonly hasDecimalComma: boolean;
  readonly toCanonical: (value: number) => number;
}

/** Why a line has no result. */
type Refusal = "too-long" | "no-reading" | "no-number" | RangeFault;

/** Lines refused for one reason. */
interface Refused {
  readonly firstLine: number;
  readonly firstText: string;
  readonly firstValue: number | null;
  count: number;
}

type Cell =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly refusal: Refusal; readonly text: string };

/** `6,743` and no more: a number, or two. */
const ONE_NUMBER_OR_TWO = /^[+-]?\d+,\d+(?:,|$)/;

/** `1,200` °C may be 1200 as well as 1.2; no thermocouple gives 1200 mV. */
const MAY_BE_THOUSANDS = /^[+-]?[1-9]\d{0,2},\d{3}$/;

/** A name, not a number with its unit behind it. */
const NAME = /^[^\d+.,-].*\p{L}|^\p{L}/u;

/**
 * Converts a column, in flat memory: the first cell of each line, one result a line in the same order.
 *
 *     # remark      passed over, like blank lines and one header line
 *     6.743     →   744.358
 *     OPEN      →   an empty line; said at the end, once for each kind
 *
 * The first line says how cells are parted; with `;`, tab, or one cell a line, a comma may stand in numbers.
 * @returns the exit code; null when no line came
 * @throws DaemonError `input-refused` when the first line can be read in more than one way
 */
export async function convertColumn(
  call: ColumnCall,
  input: AsyncIterable<Uint8Array | string>,
  out: Writable,
  notes: Writable,
): Promise<number | null> {
  const column = new Column(call);
  for await (const lines of inputLines(input)) {
    const text = lines.map((line) => column.answer(line)).join("");
    if (text !== "") await write(out, text);
  }
  if (column.values === 0) return null;
  for (const remark of column.remarks()) await write(notes, `bakeside convert: ${remark}\n`);
  return column.remarks().length > 0 ? SAYS_NO : GOOD;
}

/** A column on its way through. */
class Column {
  /** Lines that hold a value, or its place. */
  values = 0;
  readonly #call: ColumnCall;
  readonly #refused = new Map<Refusal, Refused>();
  #shape: Shape | null = null;
  #lineNumber = 0;

  constructor(call: ColumnCall) {
    this.#call = call;
  }

  /** What one line becomes, with its line end; nothing for a line that is passed over. */
  answer(line: InputLine): string {
    this.#lineNumber++;
    if (line !== null && (line.trim() === "" || line.startsWith("#"))) return "";
    if (line !== null && this.#shape === null) {
      const first = firstLine(line, this.#lineNumber, this.#call.given);
      this.#shape = first.shape;
      if (first.isHeader) return "";
    }
    this.values++;
    return `${this.#result(cellOf(line, this.#shape, this.#call.given))}\n`;
  }

  /** One line for each reason that lines were refused for. */
  remarks(): string[] {
    return [...this.#refused].map(([refusal, refused]) => {
      const more = refused.count === 1 ? "" : ` (and ${refused.count - 1} more such)`;
      const why = refusalWords(refusal, refused, this.#call);
      return `line ${refused.firstLine}: ${why}${more}. Its place is kept empty`;
    });
  }

  #result(cell: Cell): string {
    if (!cell.ok) return this.#refuse(cell.refusal, cell.text);
    const { given, junctions, isJson } = this.#call;
    const result = converted(given, cell.value, junctions);
    if (!result.ok) return this.#refuse(result.fault, "", cell.value);
    if (isJson) return JSON.stringify({ line: this.#lineNumber, ...result.conversion });
    return plainNumber(given, result.conversion);
  }

  #refuse(refusal: Refusal, firstText: string, value: number | null = null): string {
    const refused = this.#refused.get(refusal);
    if (refused) refused.count++;
    else this.#refused.set(refusal, { firstLine: this.#lineNumber, firstText, firstValue: value, count: 1 });
    if (!this.#call.isJson) return "";
    const { given, junctions } = this.#call;
    return JSON.stringify({
      line: this.#lineNumber,
      type: junctions.type,
      celsius: given === "celsius" ? value : null,
      millivolts: given === "millivolts" ? value : null,
      coldJunctionCelsius: junctions.coldJunctionCelsius,
      seebeckMicrovoltsPerKelvin: null,
      refusal,
    });
  }
}

function firstLine(line: string, lineNumber: number, given: Given): { shape: Shape; isHeader: boolean } {
  const refuse = (why: string) => wrongCall("convert", `standard input line ${lineNumber}: ${why}`);
  if (line.includes("\0")) throw refuse("this is not text: save it as UTF-8 text and try again");
  const separator = separatorOf(line);
  const isOneCell = separator === "," && !line.includes(",");
  const [first = ""] = cells(line, separator);
  const isHeader = NAME.test(first) && sensorWordOf(first) === null;
  if (!isHeader && ONE_NUMBER_OR_TWO.test(line.trim()) && separator === ",")
    throw refuse(
      `"${printable(line.trim())}" could be one number or two. Write a decimal point, part cells by ; or begin with a header line`,
    );
  const unit = isHeader ? headerUnit(first, given, refuse) : undefined;
  return {
    isHeader,
    shape: {
      separator: isOneCell ? null : separator,
      hasDecimalComma: isOneCell || separator !== ",",
      toCanonical: unit?.convert ?? ((value) => value),
    },
  };
}

/** The unit that a header gives its column; a letter alone is rather the thermocouple's than a unit. */
function headerUnit(name: string, given: Given, refuse: (why: string) => Error): ColumnUnit | undefined {
  const unit = name.length > 1 ? (wholeNameUnit(name) ?? trailingUnit(name)) : undefined;
  const wanted = given === "millivolts" ? "emf" : "temperature";
  if (!unit || unit.quantity === wanted) return unit;
  const said = `the first column, ${printable(name)}, is the ${unit.quantity}`;
  if (given === "millivolts" && unit.quantity === "temperature") throw refuse(`${said}: say --from celsius`);
  if (given === "celsius" && unit.quantity === "emf") throw refuse(`${said}: say --from mv`);
  throw refuse(`${said}: put the ${wanted} first`);
}

function cellOf(line: InputLine, shape: Shape | null, given: Given): Cell {
  if (line === null || shape === null) return { ok: false, refusal: "too-long", text: "" };
  const text = shape.separator === null ? line.trim() : (cells(line, shape.separator)[0] ?? "");
  if (sensorWordOf(text) !== null) return { ok: false, refusal: "no-reading", text };
  const mayBeThousands = given === "celsius" && MAY_BE_THOUSANDS.test(text);
  const number = mayBeThousands ? null : cellNumber(text, shape.hasDecimalComma);
  if (number === null) return { ok: false, refusal: "no-number", text };
  return { ok: true, value: shape.toCanonical(number) };
}

function refusalWords(
  refusal: Refusal,
  { firstText, firstValue }: Refused,
  { given, junctions }: ColumnCall,
): string {
  switch (refusal) {
    case "too-long":
      return `longer than ${LONGEST_INPUT_LINE} characters`;
    case "no-reading":
      return firstText === "" ? "no value" : `no value, "${printable(firstText)}"`;
    case "no-number":
      return `"${printable(firstText)}" is no clear number`;
    default:
      return rangeSentence(given, firstValue ?? Number.NaN, refusal, junctions);
  }
}

/** °C to 0.001 K, mV to 0.1 µV. */
function plainNumber(given: Given, { celsius, millivolts }: Conversion): string {
  const text = given === "celsius" ? millivolts.toFixed(4) : celsius.toFixed(3);
  return text.replace(/^-(0\.0+)$/, "$1");
}
