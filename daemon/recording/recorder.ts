import { isDeepStrictEqual } from "node:util";
import type { comparison } from "#core/compare/comparison";
import { topCelsius } from "#core/plan/plan";
import { planLengthSeconds } from "#core/plan/setpoint";
import { SHORTEST_GAP_SECONDS, type Trace } from "#core/trace/trace";
import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import type { Reading } from "#daemon/link/reading";
import {
  type ColdJunction,
  nextColdJunction,
  withColdJunction,
} from "#daemon/measuring/cold-junction-memory";
import { ended } from "#daemon/measuring/fault-count";
import { type LineWatch, NEW_LINE_WATCH, nextLineWatch } from "#daemon/measuring/line-watch";
import { isOfProbe, type MeasuredMoment, measuredMoment } from "#daemon/measuring/measured-moment";
import { type ProbeHealth, settingMessage, WELL } from "#daemon/measuring/probe-health";
import { withWrongType, wrongTypeFault } from "#daemon/measuring/wrong-type";
import {
  type BakeBounds,
  begunBounds,
  closedBounds,
  isReadyForNext,
  LONGEST_BEFORE_CLIMB_SECONDS,
  nextBounds,
  type PlanBounds,
  plannedBounds,
  resumedBounds,
  unknownBounds,
} from "#daemon/recording/bake-bounds";
import { endsInJump } from "#daemon/recording/ends-in-jump";
import { appliedLayers, fittedPlan, newestCard, planToBegin } from "#daemon/recording/fitted-plan";
import { loadBackground } from "#daemon/recording/live-background";
import { type LookingAhead, NO_OUTLOOK } from "#daemon/recording/live-estimates";
import { Recording, resultOf } from "#daemon/recording/recording";
import { HIGHEST_SPEED, nextStreamTime, type StreamTime } from "#daemon/recording/stream-time";
import type { BakeChange, InterruptedBake, RecordedSample } from "#daemon/store/bake-store";
import type { Store } from "#daemon/store/store";
import type { BakeDetail, BakeSummary } from "#shared/bake";
import { type Comparison, comparisonSchema } from "#shared/comparison";
import type { BakePlan, PlanRevision } from "#shared/plan";
import { type Probe, UNKNOWN_PROBE } from "#shared/probe";
import {
  type BakePatch,
  type BeginRequest,
  bakePatchSchema,
  beginRequestSchema,
  type GradeRequest,
  gradeRequestSchema,
} from "#shared/requests";
import type { Sample, SampleBatch } from "#shared/sample";
import type { OpenBake } from "#shared/status";

/** What was measured is in the store after this at the latest, when the disk does its part, ms. */
const FLUSH_MILLISECONDS = 250;
const COMPARE_SECONDS = 0.35;
/** A long bake is compared less often, so that comparing takes a fifth of the time at most. */
const COMPARE_COSTS = 5;
/** Whether another type of thermocouple explains a bake is asked no more often while it cools, s. */
const WRONG_TYPE_SECONDS = 5;
/** What waits in memory while the store fails: half a day of one furnace at 4 Hz. */
const MOST_UNSAVED_SAMPLES = 200_000;
const MOST_BAKE_SAMPLES = 1_000_000;
const MOST_BEFORE_CLIMB_SAMPLES = 10_000;
/** What is larger is no measurement, and no time of any clock. */
const LARGEST_VALUE = 1e11;
const LARGEST_TIME = 1e13;
/** A bake that was interrupted for longer is over, whatever comes, s. */
const LONGEST_INTERRUPTION_SECONDS = 6 * 3600;

/** What a recorder works with, and whom it tells. */
export interface RecorderOptions {
  readonly store: Store;
  readonly clock: Clock;
  /** `comparison` of `core/compare`. */
  readonly compare: typeof comparison;
  readonly activationEnergyJoulesPerMole: number;
  /** The probe of a furnace as somebody set it; one that nobody knows unless this is given. */
  readonly probeOf?: (furnaceId: string) => Probe | undefined;
  /** How open bakes are looked ahead of; not at all unless it is given. */
  readonly ahead?: LookingAhead<unknown>;
  /** What only a log should know. */
  readonly onTrouble?: (message: string, error: unknown) => void;
  /** An open bake, its plan or its comparison changed; at most three times a second for each. */
  readonly onOpenBake: (openBake: OpenBake) => void;
  /** New samples of an open bake, numbered without holes. */
  readonly onSamples: (batch: SampleBatch) => void;
  /** A bake was closed and is saved with its verdict. */
  readonly onFinished: (bake: BakeSummary) => void;
  /** What an operator should know: what, and how to mend. The same is said once until it is mended. */
  readonly onProblem: (message: string) => void;
  /** What was wrong with saving is mended: everything that waited is saved. */
  readonly onMended: () => void;
}

/** Samples as `samples-after` answers them. */
export interface SamplesAnswer extends SampleBatch {
  readonly isLast: boolean;
}

/** What a comparison needs to know of a bake beside its plan and its samples. */
interface JudgedBake {
  readonly isFinished: boolean;
  readonly isBegunByHand: boolean;
  readonly probe: Probe | null;
}

interface FurnaceStream {
  readonly furnaceId: string;
  time: StreamTime | null;
  bounds: BakeBounds;
  /** While no bake is open: what a bake that opens by itself begins with. */
  beforeClimb: MeasuredMoment[];
  /** Other channels heard since the last temperature. */
  channels: Partial<Pick<Reading, "hectopascals" | "coldJunctionCelsius" | "heaterDutyFraction">>;
  coldJunction: ColdJunction | null;
  /** Over the probe, bake or none. */
  lineWatch: LineWatch;
  /** What was last heard of the probe. */
  newest: MeasuredMoment | null;
  recording: Recording | null;
  droppedReadings: number;
}

/**
 * Readings to bakes: opens them, fills them, takes them up again after a restart, closes and judges them.
 * Readings are taken at once and never refused; a flush some moments later makes them durable. While the
 * store fails they wait in memory and are tried again.
 */
export class Recorder {
  readonly #options: RecorderOptions;
  readonly #streams = new Map<string, FurnaceStream>();
  /** Bakes that are over but not saved yet, oldest first. */
  #closing: Recording[] = [];
  #flushing: Promise<void> = Promise.resolve();
  readonly #loading = new Set<Promise<void>>();
  #timer: NodeJS.Timeout | null = null;
  #problem: string | null = null;
  #comparisonProblem: string | null = null;
  #isClosed = false;

  constructor(options: RecorderOptions) {
    this.#options = options;
  }

  /** Takes up the bakes that were open when the program ended. Call it before the first reading. */
  async resume(): Promise<void> {
    for (const interrupted of await this.#options.store.bakes.open()) {
      const stream = this.#stream(interrupted.bake.furnaceId);
      if (stream.recording) this.#finish(stream);
      this.#takeUp(stream, interrupted);
    }
    await this.flush();
  }

  /**
   * Takes a reading; never throws, never waits. What is no number, or repeats a moment, is counted.
   * @returns the reading as it is measured: °C with the correction of the probe in use, or none
   */
  take(reading: Reading): Reading {
    const stream = this.#stream(reading.furnaceId);
    if (!isUsable(reading)) {
      stream.droppedReadings += 1;
      return { ...reading, celsius: undefined, millivolts: undefined };
    }
    const { hectopascals, coldJunctionCelsius, heaterDutyFraction } = reading;
    stream.coldJunction = nextColdJunction(stream.coldJunction, reading);
    stream.channels = {
      ...stream.channels,
      ...(hectopascals !== undefined && { hectopascals }),
      ...(coldJunctionCelsius !== undefined && { coldJunctionCelsius }),
      ...(heaterDutyFraction !== undefined && { heaterDutyFraction }),
    };
    if (!isOfProbe(reading)) return reading;
    const said = withColdJunction({ ...reading, ...stream.channels }, stream.coldJunction);
    return { ...reading, celsius: this.#takeOfProbe(stream, said) ?? undefined };
  }

  /** How a furnace's probe is now, bake or none. */
  probeHealth(furnaceId: string): ProbeHealth {
    const stream = this.#streams.get(furnaceId);
    if (!stream?.newest) return WELL;
    return {
      faults: stream.lineWatch.watch.faults.filter(({ isActive }) => isActive),
      message: settingMessage(stream.newest),
    };
  }

  /** How many readings of a furnace were left out: no numbers, or no new moment. */
  droppedReadings(furnaceId: string): number {
    return this.#streams.get(furnaceId)?.droppedReadings ?? 0;
  }

  /**
   * Begins a bake by hand, before its drying: the newest revision of its card, fitted to its case and this
   * furnace. A warm-up, or a bake that is back at rest, makes way for it.
   * @throws DaemonError `not-found` for an unknown furnace, plan or material; `conflict` while a bake is running
   * there, and when the card is retired, was changed since it was seen, or gives no plan for the case
   */
  async begin(furnaceId: string, request: BeginRequest): Promise<BakeDetail> {
    const { store, clock } = this.#options;
    const asked = beginRequestSchema.parse(request);
    const furnace = await store.furnaces.get(furnaceId);
    if (!furnace) throw new DaemonError("not-found", `There is no furnace ${furnaceId}. Add it first.`);
    const plan = await planToBegin(store, asked, furnaceId);
    const layers = await appliedLayers(store, asked.layers);
    const stream = this.#stream(furnaceId);
    if (stream.recording && !isReadyForNext(stream.bounds))
      throw new DaemonError(
        "conflict",
        `A bake is running on ${furnace.name} already${stream.recording.id === null ? "" : ` (bake ${stream.recording.id})`}. Give that bake this plan, or close it first.`,
      );
    if (stream.recording) this.#finish(stream);
    const recording = this.#open(stream, {
      furnaceId,
      plan,
      layers,
      jobNumber: asked.jobNumber,
      note: null,
      state: "waiting",
      isBegunByHand: true,
      startedAtEpochMilliseconds: Math.round(clock.epochMilliseconds()),
      restCelsius: stream.bounds.restCelsius,
      probe: this.#options.probeOf?.(furnaceId) ?? furnace.probe,
    });
    stream.bounds = begunBounds(stream.bounds, planBounds(plan));
    await this.flush();
    return this.#savedDetail(recording);
  }

  /**
   * Gives a bake its plan, case, layers, job number or note: during the bake, or afterwards, when it is judged
   * again. A plan is fitted to the case that is given with it, else to the one that is known; a case alone
   * fits the revision that the bake has, and its material stays as it was.
   * @throws DaemonError `not-found` for an unknown bake, plan or material; `conflict` when the card gives no
   * plan for the case, or there is a case and no plan
   */
  async assign(bakeId: number, patch: BakePatch): Promise<BakeDetail> {
    const asked = bakePatchSchema.parse(patch);
    const plan = await this.#planAsked(bakeId, asked);
    const layers =
      asked.layers &&
      (await appliedLayers(this.#options.store, asked.layers, (await this.detail(bakeId)).layers));
    if (this.#closing.some(({ id }) => id === bakeId)) await this.flush();
    const change: BakeChange = {
      ...(plan !== undefined && { plan }),
      ...(layers !== undefined && { layers }),
      ...(asked.jobNumber !== undefined && { jobNumber: asked.jobNumber }),
      ...(asked.note !== undefined && { note: asked.note }),
    };
    const stream = this.#streamOf(bakeId);
    if (stream?.recording) await this.#assignOpen(stream, stream.recording, change);
    else {
      await this.#assignFinished(bakeId, change);
      this.#askBackgroundsAgain();
    }
    return this.detail(bakeId);
  }

  /**
   * Closes an open bake by hand.
   * @throws DaemonError `not-found` or `conflict` when it is not open
   */
  async closeBake(bakeId: number): Promise<BakeDetail> {
    const stream = this.#streamOf(bakeId);
    if (!stream?.recording) {
      await this.detail(bakeId);
      throw new DaemonError("conflict", `Bake ${bakeId} is closed already.`);
    }
    const { recording } = stream;
    stream.bounds = closedBounds(stream.bounds);
    this.#finish(stream);
    await this.flush();
    return this.#savedDetail(recording);
  }

  /**
   * Adds a grade to a bake, open or finished.
   * @throws DaemonError `not-found` when there is no such bake
   */
  async grade(bakeId: number, request: GradeRequest): Promise<BakeDetail> {
    await this.#options.store.bakes.addGrade(bakeId, gradeRequestSchema.parse(request));
    return this.detail(bakeId);
  }

  /**
   * A bake with everything but its samples; an open one as it stands now.
   * @throws DaemonError `not-found` when there is no such bake
   */
  async detail(bakeId: number): Promise<BakeDetail> {
    const saved = await this.#options.store.bakes.detail(bakeId);
    if (!saved) throw new DaemonError("not-found", `There is no bake ${bakeId}.`);
    const open = this.#streamOf(bakeId)?.recording?.openBake();
    return open ? { ...saved, ...open, bake: { ...open.bake, grade: saved.bake.grade } } : saved;
  }

  /** What is wrong with saving at the moment, in words for an operator; null when all is well. */
  get problem(): string | null {
    return this.#problem;
  }

  /** The bakes that are open now. */
  openBakes(): OpenBake[] {
    return [...this.#streams.values()]
      .map(({ recording }) => recording?.openBake() ?? null)
      .filter((open) => open !== null);
  }

  /** Samples of a bake after a sequence number (−1 for all), open or finished. */
  async samplesAfter(bakeId: number, afterSequence: number, limit: number): Promise<SamplesAnswer> {
    const fromSequence = afterSequence + 1;
    const recording = this.#recording(bakeId);
    const found: readonly Sample[] = recording
      ? recording.samples.slice(fromSequence, fromSequence + limit + 1)
      : await this.#options.store.bakes.samples(bakeId, afterSequence, limit + 1);
    return { bakeId, fromSequence, samples: found.slice(0, limit), isLast: found.length <= limit };
  }

  /** Makes durable what has been taken so far, as far as the store works; never rejects. */
  flush(): Promise<void> {
    this.#flushing = this.#flushing.then(() => this.#flushAll());
    return this.#flushing;
  }

  /** Makes everything durable and stops; open bakes stay open and are taken up at the next start. */
  async close(): Promise<void> {
    this.#isClosed = true;
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    await this.flush();
    await Promise.all(this.#loading);
  }

  /** @returns what is measured, °C; null when it is none */
  #takeOfProbe(stream: FurnaceStream, said: Reading): number | null {
    const probe = this.#probeInUse(stream);
    const time = nextStreamTime(stream.time, said);
    const moment = measuredMoment(time?.atSeconds ?? 0, said, probe);
    if (!time || moment.fault === "above-range" || moment.fault === "below-range")
      stream.droppedReadings += 1;
    if (time) this.#takeMoment(stream, moment, time, probe);
    return moment.celsius;
  }

  #takeMoment(stream: FurnaceStream, moment: MeasuredMoment, time: StreamTime, probe: Probe): void {
    const { celsius } = moment;
    const before = stream.bounds;
    stream.time = time;
    stream.newest = moment;
    stream.lineWatch = nextLineWatch(stream.lineWatch, moment, probe);
    if (celsius !== null) {
      stream.channels = {};
      stream.bounds = nextBounds(before, { atSeconds: time.atSeconds, celsius });
    }
    if (stream.recording) this.#record(stream, stream.recording, moment);
    else this.#keepBeforeClimb(stream, moment);
    this.#followBounds(stream, before);
    this.#schedule();
  }

  /** That of the open bake from its first sample on, else the furnace's own. */
  #probeInUse({ furnaceId, recording }: FurnaceStream): Probe {
    const ofFurnace = this.#options.probeOf?.(furnaceId) ?? UNKNOWN_PROBE;
    if (!recording) return ofFurnace;
    if (recording.samples.length === 0 && !isDeepStrictEqual(recording.probe, ofFurnace)) {
      recording.probe = ofFurnace;
      recording.change = { ...recording.change, probe: ofFurnace };
      recording.isChanged = true;
    }
    return recording.probe ?? UNKNOWN_PROBE;
  }

  #record(stream: FurnaceStream, recording: Recording, moment: MeasuredMoment): void {
    if (recording.unsaved.length >= MOST_UNSAVED_SAMPLES) {
      stream.droppedReadings += 1;
      this.#say(
        `The memory for what cannot be saved is full: ${stream.furnaceId} is not recorded any more. Mend the disk.`,
      );
      return;
    }
    const last = recording.samples.at(-1);
    if (!recording.take(moment)) {
      stream.droppedReadings += 1;
      return;
    }
    const { resumed } = recording;
    const added = recording.samples.at(-1);
    if (!resumed || !added || added === last) return;
    const toldBy = stream.time?.toldBy === "instrument" ? "instrument" : "wall-clock";
    recording.resumed = null;
    recording.interruption = {
      sequence: recording.samples.length - 1,
      gapSeconds: added.atSeconds - (last?.atSeconds ?? added.atSeconds),
      toldBy: toldBy === "wall-clock" && resumed.isBounded ? "bounded" : toldBy,
      resumedAtEpochMilliseconds: resumed.atEpochMilliseconds,
    };
  }

  #keepBeforeClimb(stream: FurnaceStream, moment: MeasuredMoment): void {
    const { beforeClimb } = stream;
    beforeClimb.push(moment);
    const oldestSeconds = moment.streamSeconds - LONGEST_BEFORE_CLIMB_SECONDS;
    const isFull = beforeClimb.length > 2 * MOST_BEFORE_CLIMB_SAMPLES;
    // Thrown out in large pieces, so that most samples cost nothing.
    if (isFull || (beforeClimb[0]?.streamSeconds ?? 0) < oldestSeconds - LONGEST_BEFORE_CLIMB_SECONDS)
      stream.beforeClimb = beforeClimb
        .slice(-MOST_BEFORE_CLIMB_SAMPLES)
        .filter(({ streamSeconds }) => streamSeconds >= oldestSeconds);
  }

  #followBounds(stream: FurnaceStream, before: BakeBounds): void {
    const { bounds, recording } = stream;
    if (bounds.kind === "running" && before.kind === "resting")
      this.#openByClimb(stream, bounds.openedFromSeconds);
    if (bounds.kind === "running" && before.kind === "waiting" && recording) {
      recording.state = "running";
      recording.change = { ...recording.change, state: "running" };
    }
    if (recording && recording.samples.length >= MOST_BAKE_SAMPLES) {
      this.#say(`Bake ${recording.id ?? ""} is closed: it holds ${MOST_BAKE_SAMPLES} samples.`);
      stream.bounds = closedBounds(bounds);
    }
    if (recording && stream.bounds.kind === "resting") this.#finish(stream);
  }

  #openByClimb(stream: FurnaceStream, fromSeconds: number): void {
    const probe = this.#options.probeOf?.(stream.furnaceId) ?? UNKNOWN_PROBE;
    // Measured anew: the probe may have been changed since, and a trace has no step.
    const moments = stream.beforeClimb
      .filter(({ streamSeconds }) => streamSeconds >= fromSeconds)
      .map(({ streamSeconds, said }) => measuredMoment(streamSeconds, said, probe));
    const recording = this.#open(stream, {
      furnaceId: stream.furnaceId,
      plan: null,
      layers: [],
      jobNumber: null,
      note: null,
      state: "running",
      isBegunByHand: false,
      startedAtEpochMilliseconds:
        moments[0]?.said.receivedAtEpochMilliseconds ?? this.#options.clock.epochMilliseconds(),
      restCelsius: stream.bounds.restCelsius,
      probe,
    });
    for (const moment of moments) if (!recording.take(moment)) stream.droppedReadings += 1;
  }

  #open(stream: FurnaceStream, start: Recording["start"]): Recording {
    const recording = new Recording(start);
    stream.recording = recording;
    stream.beforeClimb = [];
    return recording;
  }

  #finish(stream: FurnaceStream): void {
    if (!stream.recording) return;
    stream.recording.isClosing = true;
    this.#closing.push(stream.recording);
    stream.recording = null;
    stream.beforeClimb = [];
    this.#schedule();
  }

  #takeUp(stream: FurnaceStream, interrupted: InterruptedBake): void {
    const { bake, plan, layers, probe, samples, sensorFaults } = interrupted;
    const recording = new Recording({
      furnaceId: bake.furnaceId,
      plan,
      layers,
      jobNumber: bake.jobNumber,
      note: interrupted.note,
      state: bake.state === "waiting" ? "waiting" : "running",
      isBegunByHand: interrupted.isBegunByHand,
      startedAtEpochMilliseconds: bake.startedAtEpochMilliseconds,
      restCelsius: interrupted.restCelsius,
      probe,
    });
    recording.id = bake.id;
    recording.furnaceName = bake.furnaceName;
    recording.isDemonstration = bake.isDemonstration;
    recording.restore(samples.map(measured), sensorFaults);
    stream.recording = recording;
    stream.bounds = boundsAfter(interrupted);
    const last = samples.at(-1);
    const nowEpochMilliseconds = this.#options.clock.epochMilliseconds();
    const wallSeconds = last ? (nowEpochMilliseconds - last.receivedAtEpochMilliseconds) / 1000 : 0;
    const isBounded = wallSeconds < 0;
    const gapSeconds = isBounded ? SHORTEST_GAP_SECONDS : wallSeconds;
    stream.time = streamTimeAfter(samples, this.#options.clock.monotonicSeconds() - gapSeconds);
    if (last) recording.resumed = { atEpochMilliseconds: nowEpochMilliseconds, isBounded };
    if (stream.bounds.kind === "resting" || gapSeconds > LONGEST_INTERRUPTION_SECONDS) {
      stream.bounds = unknownBounds;
      stream.time = null;
      this.#finish(stream);
    }
  }

  async #assignOpen(stream: FurnaceStream, recording: Recording, change: BakeChange): Promise<void> {
    if (change.plan !== undefined) {
      recording.plan = change.plan;
      recording.comparison = null;
      recording.wrongType = null;
      recording.wrongTypeSoughtAtSeconds = Number.NEGATIVE_INFINITY;
      stream.bounds = plannedBounds(stream.bounds, change.plan && planBounds(change.plan));
    }
    if (change.layers !== undefined) recording.layers = change.layers;
    if (change.jobNumber !== undefined) recording.jobNumber = change.jobNumber;
    recording.live.forget(change);
    if (change.note !== undefined) recording.note = change.note;
    recording.change = { ...recording.change, ...change };
    recording.isChanged = true;
    recording.comparedAtSeconds = Number.NEGATIVE_INFINITY;
    await this.flush();
    if (Object.keys(recording.change).length > 0)
      throw new DaemonError("store-failed", `It is taken over but not saved yet: ${this.#problem}`);
  }

  async #assignFinished(bakeId: number, change: BakeChange): Promise<void> {
    const { store } = this.#options;
    if (change.plan === undefined) return store.bakes.update(bakeId, change);
    const { probe, sensorFaults } = await this.detail(bakeId);
    const samples = await store.bakes.samples(bakeId);
    const isBegunByHand = await store.bakes.isBegunByHand(bakeId);
    const { plan } = change;
    const judged = plan && this.#compared(plan, samples, { isFinished: true, isBegunByHand, probe });
    const wrongType = plan && wrongTypeFault(plan.plan, samples, probe);
    const faults = ended(withWrongType(sensorFaults, wrongType));
    await store.bakes.update(bakeId, {
      ...change,
      result: { ...resultOf(samples, judged), sensorFaults: faults },
    });
  }

  async #flushAll(): Promise<void> {
    const open = [...this.#streams.values()].map(({ recording }) => recording);
    let problem: string | null = null;
    for (const recording of [...this.#closing, ...open]) {
      if (!recording) continue;
      try {
        await this.#save(recording);
      } catch (error) {
        problem = error instanceof Error ? error.message : String(error);
        // A page is to see the bake all the same.
        this.#announceSamples(recording, recording.samples.length);
      }
    }
    if (problem === null) this.#mended();
    else this.#say(problem);
    if (this.#hasMoreToDo()) this.#schedule();
  }

  async #save(recording: Recording): Promise<void> {
    const { bakes } = this.#options.store;
    const id = recording.id ?? (await this.#create(recording));
    await this.#saveChange(recording, id);
    const batch = [...recording.unsaved];
    const { interruption } = recording;
    if (batch.length > 0) {
      await bakes.appendSamples(id, recording.savedCount, batch, interruption);
      if (recording.interruption === interruption) recording.interruption = null;
    }
    recording.unsaved = recording.unsaved.slice(batch.length);
    this.#announceSamples(recording, recording.savedCount);
    if (recording.live.isBackgroundDue && !recording.isClosing) this.#loadBackground(recording, id);
    if (!recording.isClosing) this.#announceBake(recording);
    // What came while this was written, the bake's end perhaps, is saved by the next flush.
    else if (recording.unsaved.length === 0) await this.#saveFinished(recording, id);
  }

  async #create(recording: Recording): Promise<number> {
    const { store } = this.#options;
    const furnace = await store.furnaces.get(recording.start.furnaceId);
    const { start, probe } = recording;
    const id = await store.bakes.create({ ...start, probe });
    recording.id = id;
    recording.furnaceName = furnace?.name ?? recording.start.furnaceId;
    recording.isDemonstration = furnace?.isDemonstration ?? false;
    return id;
  }

  async #saveChange(recording: Recording, id: number): Promise<void> {
    const sensorFaults = recording.faultsToSave();
    const change = { ...recording.change, ...(sensorFaults && { sensorFaults }) };
    if (Object.keys(change).length === 0) return;
    recording.change = {};
    try {
      await this.#options.store.bakes.update(id, change);
      if (sensorFaults) recording.faultsSaved(sensorFaults);
    } catch (error) {
      recording.change = { ...change, ...recording.change };
      throw error;
    }
  }

  async #saveFinished(recording: Recording, id: number): Promise<void> {
    const { store, onFinished } = this.#options;
    this.#compare(recording);
    await store.bakes.close(id, recording.result());
    this.#closing = this.#closing.filter((closing) => closing !== recording);
    const detail = await store.bakes.detail(id);
    if (detail) onFinished(detail.bake);
    const { jobNumber } = recording;
    if (jobNumber !== null) this.#askBackgroundsAgain((open) => open.jobNumber === jobNumber);
  }

  /** An open bake may be of the job, or on the furnace, of one that is finished now or told otherwise than before. */
  #askBackgroundsAgain(mayHang: (open: Recording) => boolean = () => true): void {
    for (const { recording } of this.#streams.values())
      if (recording && mayHang(recording)) recording.live.isBackgroundDue = true;
    this.#schedule();
  }

  /** Reads what a bake's estimates stand on while the bake goes on; without it they are only vaguer. */
  #loadBackground(recording: Recording, id: number): void {
    const { store, ahead = NO_OUTLOOK, onTrouble } = this.#options;
    const { plan, jobNumber, layers, live } = recording;
    const { furnaceId } = recording.start;
    const take = live.awaitBackground();
    const loading = loadBackground(store, { id, furnaceId, plan, jobNumber, layers }, ahead)
      .then((background) => {
        if (!take(background)) return;
        recording.isChanged = true;
        this.#schedule();
      })
      .catch((error: unknown) => onTrouble?.(`What bake ${id} is estimated with could not be read`, error))
      .finally(() => this.#loading.delete(loading));
    this.#loading.add(loading);
  }

  #announceSamples(recording: Recording, upToSequence: number): void {
    const { id, announcedCount } = recording;
    const samples = recording.samples.slice(announcedCount, upToSequence);
    if (id === null || samples.length === 0) return;
    recording.announcedCount = upToSequence;
    this.#options.onSamples({ bakeId: id, fromSequence: announcedCount, samples });
  }

  #announceBake(recording: Recording): void {
    if (!recording.isChanged || !this.#isCompareDue(recording)) return;
    this.#compare(recording);
    const openBake = recording.openBake();
    if (openBake) this.#options.onOpenBake(openBake);
  }

  #isCompareDue({ comparedAtSeconds, compareCostSeconds }: Recording): boolean {
    const passedSeconds = this.#options.clock.monotonicSeconds() - comparedAtSeconds;
    return passedSeconds >= Math.max(COMPARE_SECONDS, COMPARE_COSTS * compareCostSeconds);
  }

  #compare(recording: Recording): void {
    const { clock } = this.#options;
    const { plan, samples, isClosing, start, probe } = recording;
    const startedAtSeconds = clock.monotonicSeconds();
    recording.isChanged = false;
    // A jump may be a lone spike, worth hours of heat work: the next reading tells.
    const told = !isClosing && endsInJump(samples) ? samples.slice(0, -1) : samples;
    recording.comparison =
      plan &&
      this.#compared(plan, told, { isFinished: isClosing, isBegunByHand: start.isBegunByHand, probe });
    this.#estimate(recording);
    this.#lookForWrongType(recording, startedAtSeconds);
    recording.comparedAtSeconds = clock.monotonicSeconds();
    recording.compareCostSeconds = recording.comparedAtSeconds - startedAtSeconds;
  }

  /** An estimate that fails takes nothing else along. */
  #estimate(recording: Recording): void {
    const { clock, ahead = NO_OUTLOOK, onTrouble } = this.#options;
    if (recording.isClosing) return;
    try {
      recording.live.update(recording, ahead, () => clock.monotonicSeconds());
    } catch (error) {
      onTrouble?.(`Bake ${recording.id} cannot be estimated`, error);
    }
  }

  /** Told at the end of a bake only, when both the low temperature and the top have been read. */
  #lookForWrongType(recording: Recording, nowSeconds: number): void {
    const { plan, comparison, samples, probe, isClosing, wrongTypeSoughtAtSeconds } = recording;
    const isDue = nowSeconds - wrongTypeSoughtAtSeconds >= WRONG_TYPE_SECONDS;
    const isCooling = comparison?.stage.kind === "cooling";
    if (!isClosing && !(isDue && isCooling)) return;
    recording.wrongTypeSoughtAtSeconds = nowSeconds;
    recording.wrongType = plan && wrongTypeFault(plan.plan, samples, probe);
  }

  /** Null when it cannot be compared: the bake is kept all the same. */
  #compared(
    plan: BakePlan,
    trace: Trace,
    { isFinished, isBegunByHand, probe }: JudgedBake,
  ): Comparison | null {
    const { compare, activationEnergyJoulesPerMole } = this.#options;
    if (trace.length < 2) return null;
    try {
      return comparisonSchema.parse(
        compare(plan.plan, trace, {
          activationEnergyJoulesPerMole:
            plan.material?.material.activationEnergyJoulesPerMole ?? activationEnergyJoulesPerMole,
          isFinished,
          startsWithDrying: isBegunByHand,
          probe,
        }),
      );
    } catch (error) {
      const problem = `This bake cannot be compared with ${plan.plan.name}: ${String(error)}. It is recorded.`;
      if (problem !== this.#comparisonProblem) this.#options.onProblem(problem);
      this.#comparisonProblem = problem;
      return null;
    }
  }

  #schedule(): void {
    if (this.#timer || this.#isClosed) return;
    this.#timer = setTimeout(() => {
      this.#timer = null;
      void this.flush();
    }, FLUSH_MILLISECONDS);
  }

  #hasMoreToDo(): boolean {
    if (this.#closing.length > 0) return true;
    return [...this.#streams.values()].some(
      ({ recording }) => recording && (recording.isChanged || recording.unsaved.length > 0),
    );
  }

  #mended(): void {
    const wasTold = this.#problem !== null;
    this.#problem = null;
    if (wasTold) this.#options.onMended();
  }

  #say(problem: string): void {
    const isNew = problem !== this.#problem;
    this.#problem = problem;
    if (isNew) this.#options.onProblem(problem);
  }

  /** The plan that a patch gives to a bake; undefined leaves what it has. */
  async #planAsked(
    bakeId: number,
    { planId, case: bakeCase }: Pick<BakePatch, "planId" | "case">,
  ): Promise<BakePlan | null | undefined> {
    if (planId === undefined && bakeCase === undefined) return undefined;
    const { store } = this.#options;
    const { bake, plan } = await this.detail(bakeId);
    if (planId === null && !bakeCase) return null;
    const card = planId ? await newestCard(store, planId) : plan && (await revisionOf(store, plan));
    if (!card || planId === null)
      throw new DaemonError("conflict", `Bake ${bakeId} has no plan to fit to a case. Give it both at once.`);
    const fitted = await fittedPlan(
      store,
      card,
      bakeCase === undefined ? bake.case : bakeCase,
      bake.furnaceId,
    );
    // Another case is no other material: that of the bake's plan stays as it was then.
    return planId === undefined && plan ? { ...fitted, material: plan.material } : fitted;
  }

  async #savedDetail(recording: Recording): Promise<BakeDetail> {
    if (recording.id === null || this.#closing.includes(recording))
      throw new DaemonError(
        "store-failed",
        `It is done and goes on in memory, but is not saved yet: ${this.#problem}`,
      );
    return this.detail(recording.id);
  }

  #recording(bakeId: number): Recording | null {
    const closing = this.#closing.find(({ id }) => id === bakeId);
    return closing ?? this.#streamOf(bakeId)?.recording ?? null;
  }

  #streamOf(bakeId: number): FurnaceStream | undefined {
    return [...this.#streams.values()].find(({ recording }) => recording?.id === bakeId);
  }

  #stream(furnaceId: string): FurnaceStream {
    const known = this.#streams.get(furnaceId);
    if (known) return known;
    const stream: FurnaceStream = {
      furnaceId,
      time: null,
      bounds: unknownBounds,
      beforeClimb: [],
      channels: {},
      coldJunction: null,
      lineWatch: NEW_LINE_WATCH,
      newest: null,
      recording: null,
      droppedReadings: 0,
    };
    this.#streams.set(furnaceId, stream);
    return stream;
  }
}

/** Whether a reading has nothing but numbers that can be kept; wilder ones would not go into a chunk. */
function isUsable(reading: Reading): boolean {
  const { celsius = 0, millivolts = 0, hectopascals = 0 } = reading;
  const { coldJunctionCelsius = 0, heaterDutyFraction = 0, instrumentSeconds = 0 } = reading;
  const channels = [celsius, millivolts, hectopascals, coldJunctionCelsius, heaterDutyFraction];
  const times = [instrumentSeconds, reading.receivedAtSeconds, reading.receivedAtEpochMilliseconds];
  return (
    channels.every((value) => Number.isFinite(value) && Math.abs(value) < LARGEST_VALUE) &&
    times.every((value) => Number.isFinite(value) && Math.abs(value) < LARGEST_TIME)
  );
}

/** The card's revision that a bake has. */
async function revisionOf({ plans }: Store, { planId, revision }: BakePlan): Promise<PlanRevision | null> {
  return (await plans.get(planId, revision)) ?? null;
}

function planBounds({ plan }: BakePlan): PlanBounds {
  return {
    lowCelsius: plan.lowCelsius,
    topCelsius: topCelsius(plan),
    lengthSeconds: planLengthSeconds(plan),
  };
}

function measured(recorded: RecordedSample): Sample {
  const { instrumentSeconds: _, receivedAtEpochMilliseconds: __, ...sample } = recorded;
  return sample;
}

/** Where the bounds stood when the program ended: the stored samples told them once more. */
function boundsAfter({ bake, plan, isBegunByHand, restCelsius, samples }: InterruptedBake): BakeBounds {
  const bounds = plan && planBounds(plan);
  const atRest = { ...unknownBounds, restCelsius, isRestSure: restCelsius !== null };
  let state: BakeBounds =
    isBegunByHand || bake.state === "waiting"
      ? begunBounds(atRest, bounds)
      : resumedBounds(restCelsius, bounds);
  for (const moment of samples) {
    state = nextBounds(state, moment);
    if (state.kind === "resting") return state;
  }
  return state;
}

/** The stream goes on in the bake's own time, as if the last sample had come at `receivedAtSeconds`. */
function streamTimeAfter(samples: readonly RecordedSample[], receivedAtSeconds: number): StreamTime | null {
  const last = samples.at(-1);
  if (!last) return null;
  const { atSeconds, instrumentSeconds } = last;
  const earlier = samples.at(-200) ?? samples[0] ?? last;
  const wallSeconds = (last.receivedAtEpochMilliseconds - earlier.receivedAtEpochMilliseconds) / 1000;
  return {
    atSeconds,
    receivedAtSeconds,
    instrument:
      instrumentSeconds === undefined
        ? null
        : { seconds: instrumentSeconds, offsetSeconds: atSeconds - instrumentSeconds },
    toldBy: "received",
    speed: {
      secondsPerSecond: wallSeconds >= 1 ? (atSeconds - earlier.atSeconds) / wallSeconds : HIGHEST_SPEED,
      sinceSeconds: atSeconds,
      sinceReceivedSeconds: receivedAtSeconds,
    },
  };
}
