import { BenchFurnace, STEPS_PER_SECOND } from "#simulators/bench-furnace";
import { type Fault, FaultyLine, isProbeFault } from "#simulators/faults";
import type { InstrumentReading } from "#simulators/instrument-reading";
import type { BenchOptions } from "#simulators/options";
import { FaultyAdapter } from "#simulators/probe-faults";

/** A furnace of the bench with its probe and adapter, and what is wrong with them. */
export class Stand {
  readonly furnace: BenchFurnace;
  /** What is wrong between the adapter and whoever listens. */
  readonly line: FaultyLine;
  readonly #adapter: FaultyAdapter;
  readonly #hertz: number;
  #fault: Fault = "none";
  /** Readings taken since the start. */
  #takenReadings = 0;
  #hasRead = false;
  #latest: InstrumentReading | null = null;

  constructor(seed: number, { noise, type, hertz, "wrong-type": wrongElement }: BenchOptions) {
    this.furnace = new BenchFurnace({ seed, probe: { noiseKelvin: noise } });
    this.line = new FaultyLine(seed);
    const { resolutionKelvin } = this.furnace.probe;
    this.#adapter = new FaultyAdapter({ type, wrongElement, resolutionKelvin, seed });
    this.#hertz = hertz;
  }

  /** What its instrument has to say since its last reading; null when that was left out. */
  get latest(): InstrumentReading | null {
    if (!this.#hasRead) this.#read();
    return this.#latest;
  }

  get fault(): Fault {
    return this.#fault;
  }

  /** Breaks it in a way, and in no other, or mends it. */
  setFault(fault: Fault): void {
    this.#fault = fault;
    const isProbe = isProbeFault(fault);
    this.#adapter.setFault(isProbe ? fault : null);
    this.line.setFault(isProbe || fault === "none" ? null : fault);
  }

  /**
   * Lets its time pass.
   * @returns the readings that came due meanwhile, without those that were left out
   */
  advance(toSeconds: number): InstrumentReading[] {
    const readings: InstrumentReading[] = [];
    for (let due = this.#dueSeconds(); due <= toSeconds; due = this.#dueSeconds()) {
      this.furnace.advance(due);
      const reading = this.#read();
      if (reading) readings.push(reading);
      this.#takenReadings += 1;
    }
    this.furnace.advance(toSeconds);
    return readings;
  }

  #read(): InstrumentReading | null {
    this.#hasRead = true;
    this.#latest = this.#adapter.say(this.furnace.read()).reading;
    return this.#latest;
  }

  /** When the next reading is due, on a whole step. */
  #dueSeconds(): number {
    return Math.round(((this.#takenReadings + 1) / this.#hertz) * STEPS_PER_SECOND) / STEPS_PER_SECOND;
  }
}
