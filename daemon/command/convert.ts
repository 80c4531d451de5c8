import type { Writable } from "node:stream";
import { referenceRangeCelsius } from "#core/thermocouple/emf";
import { PUBLISHED_TYPES, type ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { type ToleranceClass, toleranceClasses, toleranceKelvin } from "#core/thermocouple/tolerance";
import {
  type Conversion,
  converted,
  type Given,
  type Junctions,
  rangeSentence,
} from "#daemon/command/conversion";
import { convertColumn } from "#daemon/command/convert-column";
import { callOptions, numberOption, wrongCall } from "#daemon/command/options";
import { columns, GOOD, SAYS_NO, type Verb, write, writeJson } from "#daemon/command/output";
import { ANY_NUMBER, coldJunctionOption, typeOption } from "#daemon/command/thermocouple-options";

const OPTIONS = {
  type: { type: "string" },
  mv: { type: "string" },
  celsius: { type: "string" },
  cold: { type: "string" },
  from: { type: "string" },
  json: { type: "boolean" },
} as const;

const NEITHER = "give --mv or --celsius, or a column of numbers on standard input";

/**
 * `bakeside convert --type S (--mv 6.743 | --celsius 800) [--cold 24] [--json]`, or with a column of mV (of °C
 * with `--from celsius`) on standard input. Exit code 1 when a value has no conversion.
 */
export const run: Verb = (args, out, notes) => {
  // A terminal would wait for somebody to type a column.
  const input = process.stdin.isTTY ? null : process.stdin;
  return runConvert(args, input, out, notes);
};

/**
 * The same with the standard input given.
 * @param input null when nobody sends anything
 */
export async function runConvert(
  args: readonly string[],
  input: AsyncIterable<Uint8Array | string> | null,
  out: Writable,
  notes: Writable,
): Promise<number> {
  const { values } = callOptions("convert", args, OPTIONS);
  if (values.type === undefined)
    throw wrongCall("convert", "--type is missing: the letter of the thermocouple");
  const type = typeOption("convert", values.type);
  const junctions = { type, coldJunctionCelsius: coldJunctionOption("convert", type, values.cold ?? "0") };
  const isJson = values.json ?? false;
  if (values.mv !== undefined && values.celsius !== undefined)
    throw wrongCall("convert", "choose --mv or --celsius");
  const text = values.mv ?? values.celsius;
  if (text !== undefined) {
    if (values.from !== undefined) throw wrongCall("convert", "--from is for a column on standard input");
    const given: Given = values.mv === undefined ? "celsius" : "millivolts";
    const value = numberOption("convert", values.mv === undefined ? "celsius" : "mv", text, ANY_NUMBER);
    return convertOne(given, value, junctions, isJson, out, notes);
  }
  const given = fromOption(values.from);
  if (!input) throw wrongCall("convert", NEITHER);
  const code = await convertColumn({ given, junctions, isJson }, input, out, notes);
  if (code === null) throw wrongCall("convert", `nothing came on standard input: ${NEITHER}`);
  return code;
}

function fromOption(text = "mv"): Given {
  if (text === "mv" || text === "millivolts") return "millivolts";
  if (text === "celsius") return "celsius";
  throw wrongCall("convert", `--from takes mv or celsius, not "${text.slice(0, 40)}"`);
}

async function convertOne(
  given: Given,
  value: number,
  junctions: Junctions,
  isJson: boolean,
  out: Writable,
  notes: Writable,
): Promise<number> {
  const result = converted(given, value, junctions);
  if (!result.ok) {
    const sentence = rangeSentence(given, value, result.fault, junctions);
    await write(notes, `bakeside convert: ${sentence}\n`);
    return SAYS_NO;
  }
  if (isJson) await writeJson(out, answerJson(result.conversion));
  else await write(out, answerText(given, result.conversion));
  return GOOD;
}

function answerJson(conversion: Conversion): object {
  const { type, celsius } = conversion;
  const { from, to } = referenceRangeCelsius(type);
  return {
    ...conversion,
    range: { fromCelsius: from, toCelsius: to },
    toleranceKelvin: Object.fromEntries(tolerances(type, celsius)),
  };
}

function answerText(given: Given, conversion: Conversion): string {
  const { type, celsius, millivolts, coldJunctionCelsius } = conversion;
  const { from, to } = referenceRangeCelsius(type);
  const temperature = given === "celsius" ? `${celsius} °C` : `${celsius.toFixed(2)} °C`;
  const emf = given === "celsius" ? `${millivolts.toFixed(4)} mV` : `${millivolts} mV`;
  return [
    given === "celsius" ? `${temperature} gives ${emf}\n` : `${emf} is ${temperature}\n`,
    "\n",
    columns([
      ["thermocouple", `type ${type}, ${PUBLISHED_TYPES[type].conductors}`],
      ["cold junction", `${coldJunctionCelsius} °C`],
      ["Seebeck coefficient there", `${conversion.seebeckMicrovoltsPerKelvin.toFixed(3)} µV/K`],
      ["reference range", `${from} to ${to} °C`],
      ...tolerances(type, celsius).map(([name, kelvin]) => [
        `new, ${name}`,
        kelvin === null ? "says nothing here" : `± ${kelvin.toFixed(2)} K`,
      ]),
    ]),
  ].join("");
}

/** Of a new thermocouple at a temperature, ± K, by class; null where the class says nothing. */
function tolerances(type: ThermocoupleType, celsius: number): [ToleranceClass, number | null][] {
  return toleranceClasses(type).map((name) => [name, toleranceKelvin(type, name, celsius)]);
}
