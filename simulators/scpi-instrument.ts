import type { InstrumentReading } from "#simulators/instrument-reading";
import { ScpiErrors } from "#simulators/scpi-errors";
import { isHeader, pathOf, rootedHeader } from "#simulators/scpi-headers";

/** Maker, model, serial number, firmware, as IEEE 488.2, 10.14 wants them; all of it is invented. */
export const SCPI_IDENTITY = "INVENTED BENCH,PRACTICE THERMOMETER,0,1.0";

/** A question longer than this overruns the instrument's input (invented). */
const LONGEST_MESSAGE_BYTES = 256;

/** In place of a number: not a number, and beyond either end (SCPI-1999, volume 1; infinity from memory). */
const NOT_A_NUMBER = 9.91e37;
const INFINITY = 9.9e37;

/** What may stand behind a measurement, without spaces. */
const PARAMETERS = /^(?:TC(?:,(?=\()|$))?(?:\(@(\d{1,4}(?:,\d{1,4})*)\))?$/i;

/** The reading of a channel: null while it has none to say, undefined where there is no such channel. */
export type ChannelReading = (channel: number) => InstrumentReading | null | undefined;

/** What a unit of a message comes to: an answer, nothing to say, or silence for the whole message. */
type Outcome = string | null | typeof SILENT;
const SILENT = Symbol("nothing comes");

/**
 * The questions that it understands; it has nothing that could be set.
 *
 *     *IDN?  *OPC?  *ESR?  *CLS                       as in IEEE 488.2
 *     SYSTem:ERRor[:NEXT]?  SYSTem:VERSion?
 *     UNIT:TEMPerature?                                CEL
 *     MEASure[:SCALar]:TEMPerature? [(@n)]             °C
 *     MEASure[:SCALar]:VOLTage[:DC]? [(@n)]            EMF, V
 *     SENSe:CJUNction[:TEMPerature]? [(@n)]            cold junction, °C
 *     MEASure[:SCALar]:PRESsure? [(@n)]                hPa
 *     MEASure[:SCALar]:TIME? [(@n)]                    its own elapsed time, s
 *
 * The channel list is one or several numbers, `(@1,3)`; without it channel 1 answers. `TC` may stand before it:
 * what is measured is a thermocouple anyhow.
 */
const MEASUREMENTS: readonly (readonly [pattern: string, value: (reading: InstrumentReading) => number])[] = [
  ["MEASure[:SCALar]:TEMPerature?", ({ celsius, sensorWord }) => celsius ?? overflow(sensorWord)],
  [
    "MEASure[:SCALar]:VOLTage[:DC]?",
    ({ millivolts, sensorWord }) => volts(millivolts) ?? overflow(sensorWord),
  ],
  ["[:SENSe]:CJUNction[:TEMPerature]?", ({ coldJunctionCelsius }) => coldJunctionCelsius],
  ["MEASure[:SCALar]:PRESsure?", ({ hectopascals }) => hectopascals],
  ["MEASure[:SCALar]:TIME?", ({ elapsedSeconds }) => elapsedSeconds],
];

/** An instrument that answers SCPI questions, and queues an error for what it does not understand. */
export class ScpiInstrument {
  readonly #read: ChannelReading;
  readonly #errors = new ScpiErrors();

  constructor(read: ChannelReading) {
    this.#read = read;
  }

  /**
   * What it answers to a message: the answers of its units, joined by semicolons.
   * @param message without its ending
   * @returns null when nothing comes
   */
  answer(message: string): string | null {
    if (message.length > LONGEST_MESSAGE_BYTES) return this.#complain(-363);
    if (!/^[\t\x20-\x7e]*$/.test(message)) return this.#complain(-101);
    const answers: string[] = [];
    let path = "";
    for (const unit of message.split(";").map((text) => text.trim())) {
      if (unit === "") continue;
      const [written = ""] = unit.split(/\s/, 1);
      const header = rootedHeader(written, path);
      if (!header.startsWith("*")) path = pathOf(header);
      const outcome = this.#outcome(header, unit.slice(written.length).trim());
      if (outcome === SILENT) return null;
      if (outcome !== null) answers.push(outcome);
    }
    return answers.length > 0 ? answers.join(";") : null;
  }

  #outcome(header: string, parameters: string): Outcome {
    const measurement = MEASUREMENTS.find(([pattern]) => isHeader(pattern, header));
    if (measurement) return this.#measured(measurement[1], parameters);
    const answered = this.#plain(header);
    if (answered === undefined) return this.#complain(-113);
    return parameters === "" ? answered() : this.#complain(-108);
  }

  /** What is asked without a parameter. */
  #plain(header: string): (() => string | null) | undefined {
    const questions: readonly (readonly [string, () => string | null])[] = [
      ["*IDN?", () => SCPI_IDENTITY],
      ["*OPC?", () => "1"],
      ["*ESR?", () => String(this.#errors.takenEvents())],
      ["*CLS", () => this.#cleared()],
      ["SYSTem:ERRor[:NEXT]?", () => this.#errors.next()],
      ["SYSTem:VERSion?", () => "1999.0"],
      ["UNIT:TEMPerature?", () => "CEL"],
    ];
    return questions.find(([pattern]) => isHeader(pattern, header))?.[1];
  }

  #measured(value: (reading: InstrumentReading) => number, parameters: string): Outcome {
    const list = PARAMETERS.exec(parameters.replace(/\s/g, ""));
    if (!list) return this.#complain(-104);
    const readings = (list[1] ?? "1").split(",").map((channel) => this.#read(Number(channel)));
    if (readings.includes(undefined)) return this.#complain(-222);
    const heard = readings.flatMap((reading) => (reading ? [scpiNumber(value(reading))] : []));
    return heard.length === readings.length ? heard.join(",") : SILENT;
  }

  #complain(error: Parameters<ScpiErrors["push"]>[0]): null {
    this.#errors.push(error);
    return null;
  }

  #cleared(): null {
    this.#errors.clear();
    return null;
  }
}

/** Finds the messages in what comes in; each ends with a line feed. What is too long comes out cut, to be refused. */
export class ScpiMessages {
  #rest = "";

  push(bytes: Buffer): string[] {
    const [first = "", ...others] = bytes.toString("latin1").split("\n");
    const lines = [this.#rest + first, ...others];
    this.#rest = (lines.pop() ?? "").slice(0, LONGEST_MESSAGE_BYTES + 1);
    return lines.map((line) => line.replace(/\r$/, ""));
  }
}

/**
 * A number as such instruments write it: sign, one digit before the point, two or more of the exponent.
 * @example scpiNumber(512.4) // "+5.12400E+02"
 */
export function scpiNumber(value: number): string {
  const [digits = "", exponent = ""] = Math.abs(value).toExponential(5).split("e");
  const power = Math.abs(Number(exponent)).toString().padStart(2, "0");
  return `${value < 0 ? "-" : "+"}${digits}E${exponent.startsWith("-") ? "-" : "+"}${power}`;
}

function volts(millivolts: number | null): number | null {
  return millivolts === null ? null : millivolts / 1000;
}

function overflow(word: InstrumentReading["sensorWord"]): number {
  if (word === "above-range") return INFINITY;
  return word === "below-range" ? -INFINITY : NOT_A_NUMBER;
}
