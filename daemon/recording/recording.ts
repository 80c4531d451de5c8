import { isDeepStrictEqual } from "node:util";
import { gaps, type Sample } from "#core/trace/trace";
import {
  countedFaults,
  ended,
  type FaultCount,
  faultCountAfter,
  nextFaultCount,
} from "#daemon/measuring/fault-count";
import { heardAt, type MeasuredMoment } from "#daemon/measuring/measured-moment";
import { withWrongType } from "#daemon/measuring/wrong-type";
import { LiveEstimate } from "#daemon/recording/live-estimates";
import type { BakeChange, BakeResult, Interruption, RecordedSample } from "#daemon/store/bake-store";
import { keptSample } from "#daemon/store/sample-chunks";
import type { BakeSummary } from "#shared/bake";
import type { Comparison } from "#shared/comparison";
import type { BakeLayer } from "#shared/layer";
import type { BakePlan } from "#shared/plan";
import type { Probe } from "#shared/probe";
import type { SensorFault } from "#shared/sensor-fault";
import type { OpenBake } from "#shared/status";

/** What a recording begins with. */
export interface RecordingStart {
  readonly furnaceId: string;
  readonly plan: BakePlan | null;
  readonly layers: readonly BakeLayer[];
  readonly jobNumber: string | null;
  readonly note: string | null;
  readonly state: "waiting" | "running";
  readonly isBegunByHand: boolean;
  readonly startedAtEpochMilliseconds: number;
  readonly restCelsius: number | null;
  /** The probe that it is measured with; null is that of before probes were kept. */
  readonly probe: Probe | null;
}

/** One bake while it is open: what has been measured, and how much of it the store has. */
export class Recording {
  readonly start: RecordingStart;
  /** Null until the store has made it. */
  id: number | null = null;
  furnaceName = "";
  isDemonstration = false;
  plan: BakePlan | null;
  layers: readonly BakeLayer[];
  jobNumber: string | null;
  note: string | null;
  state: "waiting" | "running";
  /** Fixed from the first sample on, so that the trace has no step. */
  probe: Probe | null;
  comparison: Comparison | null = null;
  readonly samples: Sample[] = [];
  /** Measured, but not in the store yet: the last of `samples`. */
  unsaved: RecordedSample[] = [];
  /** Samples that pages have been told of. */
  announcedCount = 0;
  /** Changes that the store does not have yet. */
  change: BakeChange = {};
  interruption: Interruption | null = null;
  isClosing = false;
  /** Something changed since pages were last told. */
  isChanged = true;
  comparedAtSeconds = Number.NEGATIVE_INFINITY;
  compareCostSeconds = 0;
  /** Another type of thermocouple than the one that was set would explain the bake. */
  wrongType: SensorFault | null = null;
  wrongTypeSoughtAtSeconds = Number.NEGATIVE_INFINITY;
  /** Its ware, where it is going, and the window of its heat work. */
  readonly live = new LiveEstimate();
  /** Set while taken up again, until the first new sample tells how long the gap was. */
  resumed: { readonly atEpochMilliseconds: number; readonly isBounded: boolean } | null = null;
  /** Where the bake's zero stands on the stream; null before the first sample. */
  #zeroSeconds: number | null = null;
  #peakCelsius: number | null = null;
  #faults: FaultCount = faultCountAfter([]);
  /** What the store has of them. */
  #savedFaults: readonly SensorFault[] = [];

  constructor(start: RecordingStart) {
    this.start = start;
    this.plan = start.plan;
    this.layers = start.layers;
    this.jobNumber = start.jobNumber;
    this.note = start.note;
    this.state = start.state;
    this.probe = start.probe;
  }

  /** Takes what the store has of an interrupted bake; the stream then goes on in the bake's own time. */
  restore(samples: readonly Sample[], sensorFaults: readonly SensorFault[]): void {
    // That of another type is told anew by every comparison.
    this.#faults = faultCountAfter(withWrongType(sensorFaults, null));
    this.#savedFaults = sensorFaults;
    for (const sample of samples) this.#push(sample);
    if (samples.length > 0) this.#zeroSeconds = 0;
    this.announcedCount = samples.length;
  }

  /**
   * Takes a moment that was measured with its probe: counts what is wrong with it, and adds its temperature
   * at the resolution that is kept. The first moment, measured or not, is the bake's zero.
   * @returns false when it has a temperature whose time does not rise by 1 ms or more; that is left out
   */
  take(moment: MeasuredMoment): boolean {
    this.#zeroSeconds ??= moment.streamSeconds;
    const atSeconds = moment.streamSeconds - this.#zeroSeconds;
    this.#watch(moment, atSeconds);
    const sample = recordedSample(moment, atSeconds);
    const last = this.samples.at(-1);
    if (!sample) return true;
    if (last && sample.atSeconds <= last.atSeconds) return false;
    const { instrumentSeconds: _, receivedAtEpochMilliseconds: __, ...kept } = sample;
    this.#push(kept);
    this.unsaved.push(sample);
    this.isChanged = true;
    return true;
  }

  /** What was wrong with the probe so far. */
  get sensorFaults(): readonly SensorFault[] {
    return withWrongType(countedFaults(this.#faults), this.wrongType);
  }

  /** The faults that the store is to have; undefined when it has them. */
  faultsToSave(): readonly SensorFault[] | undefined {
    const faults = this.sensorFaults;
    return isDeepStrictEqual(faults, this.#savedFaults) ? undefined : faults;
  }

  /** The store has these. */
  faultsSaved(faults: readonly SensorFault[]): void {
    this.#savedFaults = faults;
  }

  /** The first sequence that the store does not have. */
  get savedCount(): number {
    return this.samples.length - this.unsaved.length;
  }

  /** The bake as the store is to keep it on closing. */
  result(): BakeResult {
    const result = resultOf(this.samples, this.comparison, this.#peakCelsius);
    return { ...result, sensorFaults: ended(this.sensorFaults) };
  }

  /** The bake as pages see it, once it has an id. */
  openBake(): OpenBake | null {
    if (this.id === null) return null;
    return {
      bake: this.#summary(this.id),
      plan: this.plan,
      comparison: this.comparison,
      probe: this.probe,
      sensorFaults: [...this.sensorFaults],
      layers: [...this.layers],
      ...this.live.shown(),
    };
  }

  #summary(id: number): BakeSummary {
    return {
      id,
      furnaceId: this.start.furnaceId,
      furnaceName: this.furnaceName,
      planId: this.plan?.planId ?? null,
      planRevision: this.plan?.revision ?? null,
      planName: this.plan?.plan.name ?? null,
      jobNumber: this.jobNumber,
      state: this.state,
      startedAtEpochMilliseconds: this.start.startedAtEpochMilliseconds,
      lengthSeconds: this.samples.at(-1)?.atSeconds ?? 0,
      sampleCount: this.samples.length,
      peakCelsius: this.comparison?.peakCelsius ?? this.#peakCelsius,
      heatWorkRatio: this.comparison?.heatWork.ratio ?? null,
      equivalentOffsetKelvin: this.comparison?.heatWork.equivalentOffsetKelvin ?? null,
      gapSeconds: sumOfGaps(this.comparison?.gaps ?? []),
      grade: null,
      isDemonstration: this.isDemonstration,
      case: this.plan?.case ?? null,
    };
  }

  #watch(moment: MeasuredMoment, atSeconds: number): void {
    const heard = heardAt(moment, atSeconds);
    if (!heard) return;
    const before = this.#faults;
    this.#faults = nextFaultCount(before, heard, this.probe?.type ?? null);
    if (this.#faults.watch.faults !== before.watch.faults) this.isChanged = true;
  }

  #push(sample: Sample): void {
    this.samples.push(sample);
    const [before, between] = [this.samples.at(-3), this.samples.at(-2)];
    if (!before || !between) return;
    const middle = middleOf(before.celsius, between.celsius, sample.celsius);
    this.#peakCelsius = Math.max(this.#peakCelsius ?? middle, middle);
  }
}

/** A moment as a sample of the bake; null when it has no temperature. */
function recordedSample({ said, celsius }: MeasuredMoment, atSeconds: number): RecordedSample | null {
  if (celsius === null) return null;
  const { millivolts, hectopascals, coldJunctionCelsius, heaterDutyFraction } = said;
  const channels = { millivolts, hectopascals, coldJunctionCelsius, heaterDutyFraction };
  return {
    ...keptSample({ ...channels, atSeconds, celsius }),
    instrumentSeconds: said.instrumentSeconds,
    receivedAtEpochMilliseconds: said.receivedAtEpochMilliseconds,
  };
}

/** What the samples of a bake come to, for the store. */
export function resultOf(
  samples: readonly Sample[],
  comparison: Comparison | null,
  peakCelsius = peakOf(samples),
): BakeResult {
  return {
    lengthSeconds: samples.at(-1)?.atSeconds ?? 0,
    peakCelsius: comparison?.peakCelsius ?? peakCelsius,
    gapSeconds: sumOfGaps(gaps(samples)),
    comparison,
  };
}

/** The highest temperature that is not a lone spike: of every three in a row the middle one counts. */
function peakOf(samples: readonly Sample[]): number | null {
  let peak: number | null = null;
  for (let index = 2; index < samples.length; index += 1) {
    const [a, b, c] = samples.slice(index - 2, index + 1);
    if (a && b && c) {
      const middle = middleOf(a.celsius, b.celsius, c.celsius);
      peak = Math.max(peak ?? middle, middle);
    }
  }
  return peak;
}

function middleOf(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}

function sumOfGaps(found: readonly { readonly fromSeconds: number; readonly toSeconds: number }[]): number {
  return found.reduce((sum, gap) => sum + gap.toSeconds - gap.fromSeconds, 0);
}
