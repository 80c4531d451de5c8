import type { Plan } from "#core/plan/plan";
import type { Sample } from "#core/trace/trace";
import type { ThermocoupleType } from "#shared/probe";
import type { SensorWord } from "#shared/sensor-fault";
import {
  BenchFurnace,
  type BenchReading,
  type BenchTruth,
  type PhaseChange,
  STEPS_PER_SECOND,
} from "#simulators/bench-furnace";
import type { FurnaceCharacter } from "#simulators/furnace";
import type { InstrumentReading } from "#simulators/instrument-reading";
import type { Load } from "#simulators/load";
import { FIXED_POINT_CELSIUS, type WireMetal } from "#simulators/melting-wire";
import type { ProbeCharacter } from "#simulators/probe";
import { FaultyAdapter, type ProbeFault } from "#simulators/probe-faults";

/** One bake on a bench furnace, from rest to rest. */
export interface SimulationOptions {
  readonly plan: Plan;
  readonly seed: number;
  /** Standard deviation of one reading. */
  readonly noiseKelvin?: number | undefined;
  /** Time between two samples, s; a multiple of 0.1. */
  readonly stepSeconds?: number | undefined;
  readonly restBeforeSeconds?: number | undefined;
  readonly restAfterSeconds?: number | undefined;
  /** Changes to the furnace that the seed gives. */
  readonly furnace?: Partial<FurnaceCharacter> | undefined;
  readonly probe?: Partial<ProbeCharacter> | undefined;
  readonly load?: Load | undefined;
  /** What the adapter is set for, and a healthy probe is of; K when nobody says. */
  readonly type?: ThermocoupleType | undefined;
  /** The adapter also says its EMF and its cold junction. */
  readonly saysMillivolts?: boolean | undefined;
  /** The adapter also says its cold junction. */
  readonly saysColdJunction?: boolean | undefined;
  /** What is wrong with the probe, and when. */
  readonly fault?: PlannedFault | undefined;
  /** A wire that hangs beside the probe from the beginning. */
  readonly wire?: WireMetal | undefined;
}

/** A fault of the probe from a moment on, up to another, s on the time of the samples. */
export interface PlannedFault {
  readonly kind: ProbeFault;
  readonly fromSeconds: number;
  readonly toSeconds: number;
  /** The element of a `wrong-type` fault; S when nobody says. */
  readonly wrongElement?: ThermocoupleType | undefined;
}

/** What an instrument said at a moment: with a word in place of what it could not measure. */
export interface HeardReading {
  readonly atSeconds: number;
  /** Null when it said a word instead. */
  readonly celsius: number | null;
  readonly sensorWord?: SensorWord | undefined;
  readonly millivolts?: number | undefined;
  readonly coldJunctionCelsius?: number | undefined;
  readonly hectopascals: number;
  readonly heaterDutyFraction: number;
}

/** What was wrong with the probe, as nobody at the line can know. */
export interface FaultTruth extends PlannedFault {
  /** Moments at which a healthy probe would have said something else, also where nothing was said. */
  readonly touchedSeconds: readonly number[];
}

/** When the wire beside the probe melted. */
export interface MeltTruth {
  readonly metal: WireMetal;
  /** Where it melts by the ITS-90, °C; the probe's own offset is not in it. */
  readonly fixedPointCelsius: number;
  readonly fromSeconds: number;
  /** Null when it did not melt to the end. */
  readonly toSeconds: number | null;
}

/** When the furnace's own programme did what, s on the time of the samples. One entry per climb. */
export interface ProgrammeEvents {
  readonly startSeconds: number;
  readonly closedSeconds: number;
  readonly climbStartSeconds: readonly number[];
  /** The set point arrived at the hold's temperature. */
  readonly holdReachedSeconds: readonly number[];
  /** The controller began to count the hold. */
  readonly holdCountedFromSeconds: readonly number[];
  readonly holdEndSeconds: readonly number[];
  readonly coolingStartSeconds: number;
  /** Back at rest. */
  readonly restSeconds: number;
}

/** What a simulated bake printed, and what was really so. */
export interface SimulatedBake {
  /** What has a temperature of all that was heard. */
  readonly samples: readonly Sample[];
  /** All that was heard, also without a temperature. */
  readonly heard: readonly HeardReading[];
  /** Five a second. */
  readonly truth: readonly BenchTruth[];
  readonly events: ProgrammeEvents;
  /** Null for a healthy probe. */
  readonly fault: FaultTruth | null;
  /** Null without a wire, or when it did not melt. */
  readonly melt: MeltTruth | null;
}

const STEPS_PER_TRUTH = 2;

/** No bake lasts longer: a furnace that never cools is a mistake in the call. */
const LONGEST_BAKE_SECONDS = 12 * 3600;

/**
 * Simulates a whole bake. The same options give the same bake, to the last digit; neither noise nor a fault
 * of the probe changes what the furnace does.
 * @throws RangeError when the bake does not end within 12 hours
 */
export function simulateBake(options: SimulationOptions): SimulatedBake {
  const { plan, seed, stepSeconds = 1, restBeforeSeconds = 60, restAfterSeconds = 120 } = options;
  const furnace = new BenchFurnace({
    seed,
    furnace: options.furnace,
    probe: { ...options.probe, noiseKelvin: options.noiseKelvin ?? options.probe?.noiseKelvin ?? 0.3 },
    restCelsius: plan.lowCelsius,
  });
  if (options.wire) furnace.hangWire(options.wire);
  const changes: PhaseChange[] = [];
  furnace.onPhase((change) => changes.push(change));
  const listener = new Listener(options, furnace.probe.resolutionKelvin);
  const truth: BenchTruth[] = [];
  const stepsPerSample = Math.max(1, Math.round(stepSeconds * STEPS_PER_SECOND));
  let step = 0;
  const goOn = (isOver: () => boolean) => {
    for (; !isOver(); step += 1) {
      if (step > LONGEST_BAKE_SECONDS * STEPS_PER_SECOND)
        throw new RangeError(`simulateBake requires a bake of 12 h at most, ${plan.name} has not ended`);
      furnace.advance(step / STEPS_PER_SECOND);
      if (step % STEPS_PER_TRUTH === 0) truth.push(furnace.truth());
      if (step % stepsPerSample === 0) listener.hear(furnace.read());
    }
  };
  const untilSeconds = (seconds: number) => goOn(() => step > seconds * STEPS_PER_SECOND);
  untilSeconds(restBeforeSeconds);
  furnace.start(plan, options.load);
  goOn(() => !furnace.isBaking);
  untilSeconds(furnace.atSeconds + restAfterSeconds);
  const { heard, fault } = listener;
  return {
    samples: samplesOf(heard),
    heard,
    truth,
    events: eventsOf(changes),
    fault,
    melt: meltOf(furnace),
  };
}

/** Somebody who writes down what the adapter says, with the faults that come and go. */
class Listener {
  readonly heard: HeardReading[] = [];
  readonly #options: SimulationOptions;
  readonly #adapter: FaultyAdapter;
  readonly #touchedSeconds: number[] = [];

  constructor(options: SimulationOptions, resolutionKelvin: number) {
    const { type = "K", seed, fault } = options;
    this.#options = options;
    this.#adapter = new FaultyAdapter({ type, wrongElement: fault?.wrongElement, resolutionKelvin, seed });
  }

  get fault(): FaultTruth | null {
    const { fault } = this.#options;
    return fault ? { ...fault, touchedSeconds: this.#touchedSeconds } : null;
  }

  hear(bench: BenchReading): void {
    const atSeconds = bench.elapsedSeconds;
    const { fault } = this.#options;
    const isFaulty = fault !== undefined && atSeconds >= fault.fromSeconds && atSeconds < fault.toSeconds;
    const wanted = isFaulty ? fault.kind : null;
    if (wanted !== this.#adapter.fault) this.#adapter.setFault(wanted);
    const { reading, isTouched } = this.#adapter.say(bench);
    if (isTouched) this.#touchedSeconds.push(atSeconds);
    if (reading) this.heard.push(heardReading(reading, this.#options));
  }
}

function heardReading(
  reading: InstrumentReading,
  { saysMillivolts = false, saysColdJunction = saysMillivolts }: SimulationOptions,
): HeardReading {
  const { elapsedSeconds, celsius, sensorWord, millivolts, coldJunctionCelsius } = reading;
  return {
    atSeconds: elapsedSeconds,
    celsius,
    ...(sensorWord === null ? {} : { sensorWord }),
    ...(saysMillivolts && millivolts !== null ? { millivolts } : {}),
    ...(saysColdJunction ? { coldJunctionCelsius } : {}),
    hectopascals: reading.hectopascals,
    heaterDutyFraction: reading.heaterDutyFraction,
  };
}

function samplesOf(heard: readonly HeardReading[]): Sample[] {
  return heard.flatMap(({ atSeconds, celsius, sensorWord: _, ...others }) =>
    celsius === null ? [] : [{ atSeconds, celsius, ...others }],
  );
}

function meltOf({ wire }: BenchFurnace): MeltTruth | null {
  if (!wire || wire.meltingSinceSeconds === null) return null;
  return {
    metal: wire.metal,
    fixedPointCelsius: FIXED_POINT_CELSIUS[wire.metal],
    fromSeconds: wire.meltingSinceSeconds,
    toSeconds: wire.meltedAtSeconds,
  };
}

function eventsOf(changes: readonly PhaseChange[]): ProgrammeEvents {
  const all = (kind: PhaseChange["phase"]["kind"]) =>
    changes.filter(({ phase }) => phase.kind === kind).map(({ atSeconds }) => atSeconds);
  const first = (kind: PhaseChange["phase"]["kind"]) => all(kind)[0] ?? Number.NaN;
  const holds = all("hold");
  const climbs = all("climb");
  const coolings = [...all("led-cooling"), ...all("shut-cooling"), ...all("open-cooling")];
  const coolingStartSeconds = Math.min(...coolings);
  return {
    startSeconds: first("drying"),
    closedSeconds: first("low-hold"),
    climbStartSeconds: climbs,
    holdReachedSeconds: all("waiting"),
    holdCountedFromSeconds: holds,
    holdEndSeconds: [...climbs.slice(1), coolingStartSeconds],
    coolingStartSeconds,
    restSeconds: first("rest"),
  };
}
