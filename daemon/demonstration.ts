import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { type Comparison, comparison } from "#core/compare/comparison";
import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { gaps } from "#core/trace/trace";
import {
  type BenchPort,
  BenchProcess,
  type BenchSettings,
  type PastBake,
  pastBakes,
} from "#daemon/bench-process";
import type { Clock } from "#daemon/clock";
import { writeDemoChecks } from "#daemon/demo-checks";
import { cardsToBeginWith } from "#daemon/first-plans";
import type { FurnaceLines } from "#daemon/furnace-lines";
import type { Log } from "#daemon/log";
import { fittedPlan } from "#daemon/recording/fitted-plan";
import type { Recorder } from "#daemon/recording/recorder";
import { openStore, type Store } from "#daemon/store/store";
import { comparisonSchema } from "#shared/comparison";
import type { Furnace } from "#shared/furnace";
import type { GradeWord } from "#shared/grade";
import type { Plan, PlanRevision } from "#shared/plan";
import type { Probe } from "#shared/probe";

/** Invented bakes of earlier days in a new demonstration. */
const PAST_BAKES = 8;

/** A piece is looked at when it is cool. */
const MILLISECONDS_UNTIL_GRADED = 12 * 60_000;

/** The bench's lines, by the page of line formats. */
const BENCH_FORMAT = "pairs:s=seconds,T=celsius,P=hectopascals,D=duty-fraction";

/** An invented probe: a thermocouple as bought on an ordinary adapter, no check of it accepted. */
const DEMO_PROBE: Probe = {
  type: "K",
  toleranceClass: "iec-2",
  instrumentAccuracyKelvin: 1,
  instrumentResolutionKelvin: 0.1,
  coldJunctionAccuracyKelvin: 0.5,
  positionKelvin: 2,
  correction: null,
};

/** On this furnace somebody presses start without being asked, so that something is alive at once. */
const BUSY_FURNACE = "furnace-2";
const BUSY_AFTER_MILLISECONDS = 4_000;

/** What a demonstration plays on. */
export interface Stage {
  readonly store: Store;
  readonly lines: FurnaceLines;
  readonly recorder: Recorder;
  readonly plans: readonly PlanRevision[];
}

/** The wall clock of an invented day. */
interface Label {
  epochMilliseconds: number;
}

/** A lab of simulated furnaces to practise on; everything in it is invented and marked as a demonstration. */
export class Demonstration {
  readonly #settings: BenchSettings;
  readonly #linksFolder: string;
  readonly #log: Log;
  #bench: BenchProcess | null = null;
  #busy: NodeJS.Timeout | null = null;

  constructor(dataFolder: string, settings: BenchSettings, log: Log) {
    this.#settings = settings;
    this.#linksFolder = join(dataFolder, "demo-links");
    this.#log = log;
  }

  /** Opens the bench's lines and listens to them. */
  async start(stage: Stage): Promise<void> {
    await mkdir(this.#linksFolder, { recursive: true });
    await putAsideFurnaces(stage, this.#settings.furnaces);
    const opened: Promise<void>[] = [];
    this.#bench = new BenchProcess(this.#settings, this.#linksFolder, this.#log, (port) => {
      opened.push(openLine(stage, port));
    });
    await this.#bench.start();
    await Promise.all(opened);
    this.#startWaiting(stage);
    this.#busy = setInterval(() => void this.#makeBusy(stage), BUSY_AFTER_MILLISECONDS);
  }

  /** Somebody presses start on a simulated furnace. */
  pressStart(furnaceId: string, plan: Plan): void {
    this.#bench?.pressStart(furnaceId, plan);
  }

  async close(): Promise<void> {
    if (this.#busy) clearInterval(this.#busy);
    await this.#bench?.close();
  }

  /** A bake that was begun before this start still waits for somebody to press start. */
  #startWaiting({ recorder }: Stage): void {
    for (const { bake, plan } of recorder.openBakes())
      if (bake.state === "waiting" && plan) this.pressStart(bake.furnaceId, plan.plan);
  }

  /** Starts one bake where nobody has begun any, once that furnace is heard and at rest. */
  async #makeBusy({ lines, recorder, plans }: Stage): Promise<void> {
    const status = lines.status(BUSY_FURNACE);
    const plan = plans[0];
    if (status?.latest === null || status?.openBakeId) return;
    if (this.#busy) clearInterval(this.#busy);
    if (!status || !plan) return;
    try {
      await recorder.begin(BUSY_FURNACE, { planId: plan.planId, jobNumber: "DEMO-LIVE" });
      this.pressStart(BUSY_FURNACE, plan.plan);
    } catch (error) {
      this.#log.warn({ err: error }, "the demonstration could not begin a bake by itself");
    }
  }
}

/** A bench with fewer furnaces than last time leaves the others without a line. */
async function putAsideFurnaces({ store, lines }: Stage, count: number): Promise<void> {
  for (const furnace of await store.furnaces.list()) {
    if (Number(furnace.id.replace("furnace-", "")) <= count) continue;
    await store.furnaces.save({ ...furnace, port: null });
    await lines.set({ ...furnace, port: null });
  }
}

/** The line of a bench furnace, opened anew only where it speaks somewhere else than before. */
async function openLine({ store, lines }: Stage, { furnace: id, port }: BenchPort): Promise<void> {
  if (lines.status(id)?.furnace.port === port) return;
  const kept = await store.furnaces.get(id);
  const invented = demoFurnace(id);
  const furnace = await store.furnaces.save({
    ...invented,
    name: kept?.name ?? invented.name,
    probe: kept && kept.probe.type !== null ? kept.probe : invented.probe,
    checkDueEpochMilliseconds: kept?.checkDueEpochMilliseconds ?? null,
    port,
  });
  await lines.set(furnace);
}

function demoFurnace(id: string): Furnace {
  const name = `Demo furnace ${id.replace("furnace-", "")}`;
  return {
    id,
    name,
    port: null,
    baudRate: 9600,
    framing: "8N1",
    format: BENCH_FORMAT,
    probe: DEMO_PROBE,
    checkDueEpochMilliseconds: null,
    isDemonstration: true,
  };
}

/**
 * Gives a new demonstration some invented bakes of earlier days, graded, and checks of earlier months; one that has bakes is left as it is.
 * @param path  file of the store, not open yet
 */
export async function writePastBakes(path: string, settings: BenchSettings, clock: Clock): Promise<void> {
  const label: Label = { epochMilliseconds: clock.epochMilliseconds() };
  const store = await openStore(path, { ...clock, epochMilliseconds: () => label.epochMilliseconds });
  try {
    const { total } = await store.bakes.list({ limit: 1, offset: 0 });
    if (total > 0) return;
    const moments = pastMoments(clock.epochMilliseconds(), PAST_BAKES);
    label.epochMilliseconds = moments[0] ?? label.epochMilliseconds;
    const { plans } = await cardsToBeginWith(store);
    for (const [index, bake] of (await pastBakes(PAST_BAKES, settings)).entries()) {
      label.epochMilliseconds = moments[index] ?? label.epochMilliseconds;
      await writePastBake(store, plans, bake, index, label);
    }
    await writeDemoChecks(store, DEMO_PROBE, clock.epochMilliseconds(), (epochMilliseconds) => {
      label.epochMilliseconds = epochMilliseconds;
    });
  } finally {
    await store.close();
  }
}

async function writePastBake(
  store: Store,
  plans: readonly PlanRevision[],
  { furnace, plan, samples }: PastBake,
  index: number,
  label: Label,
): Promise<void> {
  const startedAtEpochMilliseconds = label.epochMilliseconds;
  if (!(await store.furnaces.get(furnace))) await store.furnaces.save(demoFurnace(furnace));
  const trace = samples.map(([atSeconds, celsius, hectopascals]) => ({ atSeconds, celsius, hectopascals }));
  const judged = comparison(plan, trace, {
    activationEnergyJoulesPerMole: DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE,
    isFinished: true,
    probe: DEMO_PROBE,
  });
  const card = plans.find((revision) => revision.plan.name === plan.name);
  const bakeId = await store.bakes.create({
    furnaceId: furnace,
    plan: card ? await fittedPlan(store, card, null, furnace) : null,
    jobNumber: `DEMO-${String(index + 1).padStart(3, "0")}`,
    state: "running",
    isBegunByHand: false,
    startedAtEpochMilliseconds,
    restCelsius: trace[0]?.celsius ?? null,
    probe: DEMO_PROBE,
  });
  await store.bakes.appendSamples(
    bakeId,
    0,
    trace.map((sample) => ({
      ...sample,
      receivedAtEpochMilliseconds: startedAtEpochMilliseconds + sample.atSeconds * 1000,
    })),
  );
  await store.bakes.close(bakeId, {
    lengthSeconds: trace.at(-1)?.atSeconds ?? 0,
    peakCelsius: judged.peakCelsius,
    gapSeconds: gaps(trace).reduce((sum, gap) => sum + gap.toSeconds - gap.fromSeconds, 0),
    comparison: comparisonSchema.parse(judged),
  });
  label.epochMilliseconds += (trace.at(-1)?.atSeconds ?? 0) * 1000 + MILLISECONDS_UNTIL_GRADED;
  // The newest is left for whoever tries the kiosk.
  if (index < PAST_BAKES - 1)
    await store.bakes.addGrade(bakeId, {
      grade: inventedGrade(judged),
      note: "Invented",
      by: "Demonstration",
    });
}

/** Two bakes a day up to yesterday, mid-morning and after lunch. */
function pastMoments(nowEpochMilliseconds: number, count: number): number[] {
  return Array.from({ length: count }, (_, index) => {
    const moment = new Date(nowEpochMilliseconds);
    moment.setDate(moment.getDate() - Math.ceil((count - index) / 2));
    moment.setHours(index % 2 === 0 ? 9 : 14, (index * 17) % 60, 0, 0);
    return moment.getTime();
  });
}

/** How such a piece might well have come out. */
function inventedGrade({ heatWork, findings }: Comparison): GradeWord {
  const offsetKelvin = heatWork.equivalentOffsetKelvin ?? 0;
  if (offsetKelvin < -20) return "raw";
  if (offsetKelvin < -6 || findings.some(({ code }) => code === "vacuum-weak")) return "milky";
  if (offsetKelvin > 20) return "slumped";
  return offsetKelvin > 6 ? "glassy" : "right";
}
