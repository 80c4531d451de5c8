import type { BenchReading } from "#simulators/bench-furnace";
import { type LineFormat, printedLine } from "#simulators/line-printer";
import { type RandomStream, randomStream } from "#simulators/random";

/**
 * What can go wrong on the line, to practise with.
 *
 *     mute          nothing comes
 *     garbage       lines of readable nonsense
 *     flood         binary bytes without end
 *     overlong      lines of 6,000 characters
 *     half-lines    lines break off in the middle and the next goes on behind
 *     frozen        time goes on, the temperature stays as it was
 *     open-circuit  a word in place of the temperature
 *     vanish        the port goes away, and comes back under its stable name
 */
export const FAULTS = [
  "none",
  "mute",
  "garbage",
  "flood",
  "overlong",
  "half-lines",
  "frozen",
  "open-circuit",
  "vanish",
] as const;
export type Fault = (typeof FAULTS)[number];

const OVERLONG_CHARACTERS = 6000;

const FLOOD_BYTES = 2048;

/** Prints the readings of one adapter, with whatever fault it has at the moment. */
export class FaultyPrinter {
  readonly #format: LineFormat;
  readonly #random: RandomStream;
  #fault: Fault = "none";
  #frozenCelsius: number | null = null;

  constructor(format: LineFormat, seed: number) {
    this.#format = format;
    this.#random = randomStream(seed, "faults");
  }

  get fault(): Fault {
    return this.#fault;
  }

  setFault(fault: Fault): void {
    this.#fault = fault;
    this.#frozenCelsius = null;
  }

  /** The bytes that go out for a reading; none while it is mute or vanished. */
  bytes(reading: BenchReading): Buffer {
    switch (this.#fault) {
      case "none":
        return this.#line(reading);
      case "mute":
      case "vanish":
        return Buffer.alloc(0);
      case "garbage":
        return Buffer.from(`?? ${this.#letters(12)} =;= ${this.#letters(5)}\r\n`);
      case "flood":
        return Buffer.from(Array.from({ length: FLOOD_BYTES }, () => this.#random.uniform() * 256));
      case "overlong":
        return Buffer.from(`${this.#letters(OVERLONG_CHARACTERS)}\r\n`);
      case "half-lines": {
        const whole = this.#line(reading);
        return whole.subarray(0, Math.ceil(whole.length / 2));
      }
      case "frozen":
        this.#frozenCelsius ??= reading.celsius;
        return this.#line({ ...reading, celsius: this.#frozenCelsius });
      case "open-circuit":
        return Buffer.from(printedLine({ ...reading, celsius: null }, this.#format));
    }
  }

  #line(reading: BenchReading): Buffer {
    return Buffer.from(printedLine(reading, this.#format));
  }

  #letters(count: number): string {
    return Array.from({ length: count }, () => this.#letter()).join("");
  }

  #letter(): string {
    return String.fromCharCode(97 + Math.floor(this.#random.uniform() * 26));
  }
}
