import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { type BenchPort, BenchProcess, type BenchSettings } from "#daemon/bench-process";
import { demoFurnace } from "#daemon/demo-furnace";
import type { FurnaceLines } from "#daemon/furnace-lines";
import type { Log } from "#daemon/log";
import type { Recorder } from "#daemon/recording/recorder";
import type { Store } from "#daemon/store/store";
import type { BakeCase } from "#shared/bake-case";
import type { Plan, PlanRevision } from "#shared/plan";
import type { BeginRequest } from "#shared/requests";

/** On this furnace somebody presses start without being asked, so that something is alive at once. */
const BUSY_FURNACE = "furnace-2";
const BUSY_AFTER_MILLISECONDS = 4_000;
/** What is in it, invented: its card climbs a little slower for it. */
const BUSY_CASE: BakeCase = { framework: "zirconia", caseSize: "medium", bake: "first" };

/** What a demonstration plays on. */
export interface Stage {
  readonly store: Store;
  readonly lines: FurnaceLines;
  readonly recorder: Recorder;
  readonly plans: readonly PlanRevision[];
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
    const card = plans[0];
    if (status?.latest === null || status?.openBakeId) return;
    if (this.#busy) clearInterval(this.#busy);
    if (!status || !card) return;
    try {
      const { plan } = await recorder.begin(BUSY_FURNACE, busyBake(card));
      if (plan) this.pressStart(BUSY_FURNACE, plan.plan);
    } catch (error) {
      this.#log.warn({ err: error }, "the demonstration could not begin a bake by itself");
    }
  }
}

function busyBake({ planId, materialId }: PlanRevision): BeginRequest {
  const layers = materialId === null ? [] : [{ name: "Build-up", materialId }];
  return { planId, case: BUSY_CASE, jobNumber: "DEMO-LIVE", layers };
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
