import type { ThermocoupleType } from "#shared/probe";
import type { BenchReading } from "#simulators/bench-furnace";
import {
  emfBetween,
  healthySensor,
  type InstrumentReading,
  instrumentReading,
  readAs,
  type SensorReading,
  wordReading,
} from "#simulators/instrument-reading";
import { type RandomStream, randomStream } from "#simulators/random";

/**
 * What goes wrong with a thermocouple and its adapter, reckoned in EMF as it happens.
 *
 *     frozen        time goes on, the adapter repeats what it had
 *     open-circuit  a word in place of the temperature and of the EMF
 *     reversed      leads swapped: the EMF changes its sign, the reading falls as the furnace heats
 *     short         no EMF: the reading is the cold junction
 *     wrong-type    the element is of another type than the adapter is set for
 *     spikes        lone wild readings, about one a minute
 *     intermittent  a loose contact: away and back many times a minute, worse when hot
 *     drop-outs     readings missing, and some without a value
 *     cold-stuck    the adapter takes its cold junction for what it was when the fault came
 *     cold-wild     the adapter takes its cold junction for 85 °C
 *     over-range    a word that says above the range
 */
export const PROBE_FAULTS = [
  "frozen",
  "open-circuit",
  "reversed",
  "short",
  "wrong-type",
  "spikes",
  "intermittent",
  "drop-outs",
  "cold-stuck",
  "cold-wild",
  "over-range",
] as const;
export type ProbeFault = (typeof PROBE_FAULTS)[number];

/** The element of a `wrong-type` fault, unless the adapter is set for just that. */
const OTHER_ELEMENT: ThermocoupleType = "S";

/** A cold junction that nobody believes, °C. */
const WILD_COLD_CELSIUS = 85;

/** A reading of `spikes` is wild once in so many (invented); it lies off by between these. */
const READINGS_PER_SPIKE = 60;
const SPIKE_KELVIN = { from: 60, to: 400 };

/** A reading of `drop-outs` is missing, or without a value, as often as this (invented). */
const MISSING_FRACTION = 0.25;
const NO_VALUE_FRACTION = 0.1;

/** A loose contact lets go so often when warm, and so much oftener at 1000 K above that; it is back soon (invented). */
const LETS_GO_PER_SECOND = 0.02;
const LETS_GO_PER_SECOND_PER_KELVIN = 0.00025;
const STAYS_GOOD_BELOW_CELSIUS = 200;
const COMES_BACK_PER_SECOND = 0.4;
/** Then it gives so little of its EMF, and now and then none that could be measured (invented). */
const LOOSE_EMF_FRACTION = { from: 0.2, to: 0.9 };
const LOOSE_IS_OPEN_FRACTION = 0.15;

/** A loose contact at this moment; null while it holds. */
type Loose = { readonly emfFraction: number } | null;

/** How an adapter is set, and what hangs on it. */
export interface AdapterSettings {
  /** The type that it is set for, and that a healthy probe is of. */
  readonly type: ThermocoupleType;
  /** The element of a `wrong-type` fault. */
  readonly wrongElement?: ThermocoupleType | undefined;
  /** Step of the temperature that it says, K. */
  readonly resolutionKelvin: number;
  readonly seed: number;
}

/** What an adapter says of a moment, and whether its fault shows in that. */
export interface Said {
  /** Null when it says nothing at all. */
  readonly reading: InstrumentReading | null;
  /** True when a healthy one would have said something else. */
  readonly isTouched: boolean;
}

/** A thermocouple on its adapter, with whatever fault it has at the moment. */
export class FaultyAdapter {
  readonly #settings: AdapterSettings;
  readonly #random: RandomStream;
  #fault: ProbeFault | null = null;
  #kept: SensorReading | null = null;
  #stuckCelsius: number | null = null;
  #loose: Loose = null;
  #lastSeconds: number | null = null;

  constructor(settings: AdapterSettings) {
    this.#settings = settings;
    this.#random = randomStream(settings.seed, "probe-faults");
  }

  get fault(): ProbeFault | null {
    return this.#fault;
  }

  /** Breaks it in a way, or mends it. */
  setFault(fault: ProbeFault | null): void {
    this.#fault = fault;
    this.#kept = null;
    this.#stuckCelsius = null;
    this.#loose = null;
    this.#lastSeconds = null;
  }

  /** What it says of a moment; ask in rising time. */
  say(bench: BenchReading): Said {
    const healthy = healthySensor(bench, this.#settings.type);
    const sensor = this.#fault === null ? healthy : this.#sensor(this.#fault, bench, healthy);
    return {
      reading: sensor && instrumentReading(bench, sensor),
      isTouched:
        sensor === null ||
        (Object.keys(healthy) as (keyof SensorReading)[]).some((key) => sensor[key] !== healthy[key]),
    };
  }

  /** Null for nothing at all. */
  #sensor(fault: ProbeFault, bench: BenchReading, healthy: SensorReading): SensorReading | null {
    const { type, resolutionKelvin } = this.#settings;
    const { sensedCelsius, coldJunctionCelsius } = bench;
    const read = (millivolts: number | null, coldCelsius = coldJunctionCelsius) =>
      millivolts === null
        ? wordReading("above-range", coldCelsius)
        : readAs(type, millivolts, coldCelsius, resolutionKelvin);
    const emf = emfBetween(type, sensedCelsius, coldJunctionCelsius);
    switch (fault) {
      case "frozen":
        this.#kept ??= healthy;
        return this.#kept;
      case "open-circuit":
      case "over-range":
        return wordReading(fault === "over-range" ? "above-range" : fault, coldJunctionCelsius);
      case "reversed":
        return read(emf === null ? null : -emf);
      case "short":
        return read(0);
      case "wrong-type":
        return read(emfBetween(this.#wrongElement(), sensedCelsius, coldJunctionCelsius));
      case "spikes":
        if (this.#random.uniform() * READINGS_PER_SPIKE >= 1) return healthy;
        return read(emfBetween(type, this.#wildCelsius(sensedCelsius), coldJunctionCelsius));
      case "intermittent":
        this.#loose = this.#nextLoose(bench);
        if (this.#loose === null) return healthy;
        if (this.#random.uniform() < LOOSE_IS_OPEN_FRACTION)
          return wordReading("open-circuit", coldJunctionCelsius);
        return read(emf === null ? null : emf * this.#loose.emfFraction);
      case "drop-outs": {
        const drawn = this.#random.uniform();
        if (drawn < MISSING_FRACTION) return null;
        return drawn < MISSING_FRACTION + NO_VALUE_FRACTION
          ? wordReading("no-value", coldJunctionCelsius)
          : healthy;
      }
      case "cold-stuck":
        this.#stuckCelsius ??= coldJunctionCelsius;
        return read(emf, this.#stuckCelsius);
      case "cold-wild":
        return read(emf, WILD_COLD_CELSIUS);
    }
  }

  #wrongElement(): ThermocoupleType {
    const { type, wrongElement = OTHER_ELEMENT } = this.#settings;
    if (wrongElement !== type) return wrongElement;
    return type === "K" ? "S" : "K";
  }

  #wildCelsius(celsius: number): number {
    const { from, to } = SPIKE_KELVIN;
    const kelvin = from + (to - from) * this.#random.uniform();
    return this.#random.uniform() < 0.5 ? celsius + kelvin : Math.max(0, celsius - kelvin);
  }

  /** The contact lets go and comes back, each with a chance that grows with the time since the last reading. */
  #nextLoose({ elapsedSeconds, sensedCelsius }: BenchReading): Loose {
    const seconds = elapsedSeconds - (this.#lastSeconds ?? elapsedSeconds);
    this.#lastSeconds = elapsedSeconds;
    const letsGo =
      LETS_GO_PER_SECOND +
      LETS_GO_PER_SECOND_PER_KELVIN * Math.max(0, sensedCelsius - STAYS_GOOD_BELOW_CELSIUS);
    const perSecond = this.#loose ? COMES_BACK_PER_SECOND : letsGo;
    const hasChanged = this.#random.uniform() < 1 - Math.exp(-perSecond * seconds);
    if (!hasChanged) return this.#loose;
    if (this.#loose) return null;
    const { from, to } = LOOSE_EMF_FRACTION;
    return { emfFraction: from + (to - from) * this.#random.uniform() };
  }
}
