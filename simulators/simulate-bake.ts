import type { Plan } from "#core/plan/plan";
import type { Sample } from "#core/trace/trace";
import { BenchFurnace, type BenchTruth, type PhaseChange, STEPS_PER_SECOND } from "#simulators/bench-furnace";
import type { FurnaceCharacter } from "#simulators/furnace";
import type { Load } from "#simulators/load";
import type { ProbeCharacter } from "#simulators/probe";

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
  readonly samples: readonly Sample[];
  /** Five a second. */
  readonly truth: readonly BenchTruth[];
  readonly events: ProgrammeEvents;
}

const STEPS_PER_TRUTH = 2;

/** No bake lasts longer: a furnace that never cools is a mistake in the call. */
const LONGEST_BAKE_SECONDS = 12 * 3600;

/**
 * Simulates a whole bake. The same options give the same bake, to the last digit; noise does not change
 * what the furnace does.
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
  const changes: PhaseChange[] = [];
  furnace.onPhase((change) => changes.push(change));
  const samples: Sample[] = [];
  const truth: BenchTruth[] = [];
  const stepsPerSample = Math.max(1, Math.round(stepSeconds * STEPS_PER_SECOND));
  let step = 0;
  const goOn = (isOver: () => boolean) => {
    for (; !isOver(); step += 1) {
      if (step > LONGEST_BAKE_SECONDS * STEPS_PER_SECOND)
        throw new RangeError(`simulateBake requires a bake of 12 h at most, ${plan.name} has not ended`);
      furnace.advance(step / STEPS_PER_SECOND);
      if (step % STEPS_PER_TRUTH === 0) truth.push(furnace.truth());
      if (step % stepsPerSample === 0) samples.push(sampleOf(furnace));
    }
  };
  const untilSeconds = (seconds: number) => goOn(() => step > seconds * STEPS_PER_SECOND);
  untilSeconds(restBeforeSeconds);
  furnace.start(plan, options.load);
  goOn(() => !furnace.isBaking);
  untilSeconds(furnace.atSeconds + restAfterSeconds);
  return { samples, truth, events: eventsOf(changes) };
}

function sampleOf(furnace: BenchFurnace): Sample {
  const { elapsedSeconds, celsius, hectopascals, heaterDutyFraction } = furnace.read();
  return { atSeconds: elapsedSeconds, celsius, hectopascals, heaterDutyFraction };
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
