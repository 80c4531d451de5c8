import { gaps, type Sample } from "#core/trace/trace";
import type { BakeChange, BakeResult, Interruption, RecordedSample } from "#daemon/store/bake-store";
import { keptSample } from "#daemon/store/sample-chunks";
import type { BakeSummary } from "#shared/bake";
import type { Comparison } from "#shared/comparison";
import type { PlanRevision } from "#shared/plan";
import type { OpenBake } from "#shared/status";

/** What a recording begins with. */
export interface RecordingStart {
  readonly furnaceId: string;
  readonly plan: PlanRevision | null;
  readonly jobNumber: string | null;
  readonly note: string | null;
  readonly state: "waiting" | "running";
  readonly isBegunByHand: boolean;
  readonly startedAtEpochMilliseconds: number;
  readonly restCelsius: number | null;
}

/** A reading on the furnace's stream of time, before it belongs to a bake. */
export interface StreamSample {
  readonly streamSeconds: number;
  readonly sample: Omit<RecordedSample, "atSeconds">;
}

/** One bake while it is open: what has been measured, and how much of it the store has. */
export class Recording {
  readonly start: RecordingStart;
  /** Null until the store has made it. */
  id: number | null = null;
  furnaceName = "";
  isDemonstration = false;
  plan: PlanRevision | null;
  jobNumber: string | null;
  note: string | null;
  state: "waiting" | "running";
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
  /** Set while taken up again, until the first new sample tells how long the gap was. */
  resumed: { readonly atEpochMilliseconds: number; readonly isBounded: boolean } | null = null;
  /** Where the bake's zero stands on the stream; null before the first sample. */
  #zeroSeconds: number | null = null;
  #peakCelsius: number | null = null;

  constructor(start: RecordingStart) {
    this.start = start;
    this.plan = start.plan;
    this.jobNumber = start.jobNumber;
    this.note = start.note;
    this.state = start.state;
  }

  /** Takes what the store has of an interrupted bake; the stream then goes on in the bake's own time. */
  restore(samples: readonly Sample[]): void {
    for (const sample of samples) this.#push(sample);
    if (samples.length > 0) this.#zeroSeconds = 0;
    this.announcedCount = samples.length;
  }

  /**
   * Adds a sample at the resolution that is kept.
   * @returns false when its time does not rise by 1 ms or more; it is then left out
   */
  add({ streamSeconds, sample }: StreamSample): boolean {
    this.#zeroSeconds ??= streamSeconds;
    const kept = keptSample({ ...sample, atSeconds: streamSeconds - this.#zeroSeconds });
    const last = this.samples.at(-1);
    if (last && kept.atSeconds <= last.atSeconds) return false;
    this.#push(kept);
    const { instrumentSeconds, receivedAtEpochMilliseconds } = sample;
    this.unsaved.push({ ...kept, instrumentSeconds, receivedAtEpochMilliseconds });
    this.isChanged = true;
    return true;
  }

  /** The first sequence that the store does not have. */
  get savedCount(): number {
    return this.samples.length - this.unsaved.length;
  }

  /** The bake as the store is to keep it on closing. */
  result(): BakeResult {
    const { comparison } = this;
    return resultOf(this.samples, comparison, this.#peakCelsius);
  }

  /** The bake as pages see it, once it has an id. */
  openBake(): OpenBake | null {
    if (this.id === null) return null;
    return {
      bake: this.#summary(this.id),
      plan: this.plan,
      comparison: this.comparison,
      probe: null,
      sensorFaults: [],
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
    };
  }

  #push(sample: Sample): void {
    this.samples.push(sample);
    const [before, between] = [this.samples.at(-3), this.samples.at(-2)];
    if (!before || !between) return;
    const middle = middleOf(before.celsius, between.celsius, sample.celsius);
    this.#peakCelsius = Math.max(this.#peakCelsius ?? middle, middle);
  }
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
