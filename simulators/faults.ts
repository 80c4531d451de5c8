import { PROBE_FAULTS, type ProbeFault } from "#simulators/probe-faults";
import { type RandomStream, randomStream } from "#simulators/random";

/**
 * What goes wrong between the adapter and whoever listens. It spoils lines that come by themselves and
 * answers to questions alike.
 *
 *     mute        nothing comes
 *     garbage     lines of readable nonsense
 *     flood       binary bytes without end
 *     overlong    lines of 6,000 characters
 *     half-lines  lines and answers break off in the middle and the next goes on behind
 *     vanish      the port goes away, and comes back under its stable name
 *     slow        everything comes 0.3 s after it should
 *     late        everything comes 1.5 s after it should, when nobody waits any more
 *     other-unit  answers belong to somebody else: of another unit, to another question; a line that comes
 *                 by itself names nobody and stays as it is
 *     noise       some odd bytes before every third line or answer
 *     lost-bytes  one byte in thirty is missing
 */
export const LINE_FAULTS = [
  "mute",
  "garbage",
  "flood",
  "overlong",
  "half-lines",
  "vanish",
  "slow",
  "late",
  "other-unit",
  "noise",
  "lost-bytes",
] as const;
export type LineFault = (typeof LINE_FAULTS)[number];

/** What can go wrong, to practise with: on the line, or with the probe. */
export const FAULTS = ["none", ...LINE_FAULTS, ...PROBE_FAULTS] as const;
export type Fault = (typeof FAULTS)[number];

const OVERLONG_CHARACTERS = 6000;

const FLOOD_BYTES = 2048;

const SLOW_MILLISECONDS = 300;
const LATE_MILLISECONDS = 1500;

const NOISE_FRACTION = 1 / 3;
const MOST_NOISE_BYTES = 12;
const LOST_FRACTION = 1 / 30;

/** True for what is wrong with the probe. */
export function isProbeFault(fault: Fault): fault is ProbeFault {
  return (PROBE_FAULTS as readonly Fault[]).includes(fault);
}

/** Spoils what goes out, with whatever fault the line has at the moment. */
export class FaultyLine {
  readonly #random: RandomStream;
  #fault: LineFault | null = null;

  constructor(seed: number) {
    this.#random = randomStream(seed, "faults");
  }

  get fault(): LineFault | null {
    return this.#fault;
  }

  /** Breaks it in a way, or mends it. */
  setFault(fault: LineFault | null): void {
    this.#fault = fault;
  }

  /** How much later than it should everything comes, ms of the wall. */
  get delayMilliseconds(): number {
    if (this.#fault === "slow") return SLOW_MILLISECONDS;
    return this.#fault === "late" ? LATE_MILLISECONDS : 0;
  }

  /** What goes out of a line or an answer; nothing while it is mute or vanished. */
  spoiled(whole: Buffer): Buffer {
    switch (this.#fault) {
      case null:
      case "slow":
      case "late":
      case "other-unit":
        return whole;
      case "mute":
      case "vanish":
        return Buffer.alloc(0);
      case "garbage":
        return Buffer.from(`?? ${this.#letters(12)} =;= ${this.#letters(5)}\r\n`);
      case "flood":
        return this.#oddBytes(FLOOD_BYTES);
      case "overlong":
        return Buffer.from(`${this.#letters(OVERLONG_CHARACTERS)}\r\n`);
      case "half-lines":
        return whole.subarray(0, Math.ceil(whole.length / 2));
      case "noise": {
        const isNoisy = this.#random.uniform() < NOISE_FRACTION;
        const count = 1 + Math.floor(this.#random.uniform() * MOST_NOISE_BYTES);
        return isNoisy ? Buffer.concat([this.#oddBytes(count), whole]) : whole;
      }
      case "lost-bytes":
        return Buffer.from([...whole].filter(() => this.#random.uniform() >= LOST_FRACTION));
    }
  }

  #oddBytes(count: number): Buffer {
    return Buffer.from(Array.from({ length: count }, () => this.#random.uniform() * 256));
  }

  #letters(count: number): string {
    return Array.from({ length: count }, () => this.#letter()).join("");
  }

  #letter(): string {
    return String.fromCharCode(97 + Math.floor(this.#random.uniform() * 26));
  }
}
