import type * as z from "zod";
import type { BakeLibrary } from "#kiosk-ui/screens/past-bakes/bake-library";
import type { BakeDetail, BakeSummary } from "#shared/bake";
import { type BakeFilter, type BakePatch, bakeFilterSchema, type GradeRequest } from "#shared/requests";
import type { SensorFault } from "#shared/sensor-fault";
import { madeUpBakePlan, madeUpComparison, madeUpPlans, madeUpTrace } from "#tests/helpers/made-up-bakes";
import {
  fittedPlan,
  MADE_UP_CASE,
  MADE_UP_LAYERS,
  madeUpGlass,
  madeUpLedger,
} from "#tests/helpers/made-up-outlook";

/** A finished bake of the first made-up plan, with what a test cares about changed. */
export function bake(change: Partial<BakeSummary> = {}): BakeSummary {
  return {
    id: 1,
    furnaceId: "furnace-1",
    furnaceName: "Furnace 1",
    planId: 1,
    planRevision: 1,
    planName: "Sample layer, high",
    jobNumber: "4417",
    state: "finished",
    startedAtEpochMilliseconds: Date.UTC(2026, 10, 24, 12),
    lengthSeconds: 1200,
    sampleCount: 4800,
    peakCelsius: 761,
    heatWorkRatio: 1,
    equivalentOffsetKelvin: 0,
    gapSeconds: 0,
    grade: null,
    isDemonstration: true,
    case: null,
    ...change,
  };
}

/** A library in memory: it answers as the daemon does, and keeps what it was asked. */
export class MemoryLibrary implements BakeLibrary {
  readonly asked: BakeFilter[] = [];
  readonly patches: BakePatch[] = [];
  readonly graded: GradeRequest[] = [];
  /** When set, the next question is refused with this line. */
  refusal: string | null = null;
  #bakes: readonly BakeSummary[];

  constructor(bakes: readonly BakeSummary[]) {
    this.#bakes = bakes;
  }

  /** What every bake had wrong with its probe. */
  sensorFaults: SensorFault[] = [];

  async bakes(filter: BakeFilter = {}) {
    this.#refuse();
    this.asked.push(filter);
    const { furnaceId, planId, grade, job, limit, offset } = bakeFilterSchema.parse(filter);
    const found = this.#bakes.filter(
      (bake) =>
        (furnaceId === undefined || bake.furnaceId === furnaceId) &&
        (planId === undefined || bake.planId === planId) &&
        (grade === undefined || (bake.grade ?? "none") === grade) &&
        (job === undefined || (bake.jobNumber ?? "").includes(job)),
    );
    return { bakes: found.slice(offset, offset + limit), total: found.length };
  }

  async bake(bakeId: number): Promise<BakeDetail> {
    this.#refuse();
    const found = this.#bakes.find(({ id }) => id === bakeId);
    if (!found) throw new Error(`No bake ${bakeId}. Look in Past bakes.`);
    const revision = madeUpPlans().find(({ planId }) => planId === found.planId) ?? null;
    const comparison = revision && madeUpComparison(revision.plan, this.#samples(found), true);
    return {
      bake: this.isCaseKnown ? { ...found, case: MADE_UP_CASE } : found,
      plan: revision && (this.isCaseKnown ? fittedPlan(madeUpBakePlan(revision)) : madeUpBakePlan(revision)),
      comparison,
      grades: [],
      note: null,
      probe: null,
      sensorFaults: this.sensorFaults,
      layers: this.isCaseKnown ? MADE_UP_LAYERS.slice(1) : [],
    };
  }

  async bakeSamples(bakeId: number) {
    const found = this.#bakes.find(({ id }) => id === bakeId);
    return found ? this.#samples(found) : [];
  }

  async changeBake(bakeId: number, patch: BakePatch) {
    this.#refuse();
    this.patches.push(patch);
    return this.#changed(bakeId, {
      ...(patch.jobNumber === undefined ? {} : { jobNumber: patch.jobNumber }),
      ...(patch.planId === undefined ? {} : { planId: patch.planId }),
    });
  }

  async gradeBake(bakeId: number, request: GradeRequest) {
    this.#refuse();
    this.graded.push(request);
    return this.#changed(bakeId, { grade: request.grade });
  }

  /** Whether every bake has the made-up case, layers and sources. */
  isCaseKnown = false;
  /** When set, every other question is refused with this line. */
  otherRefusal: string | null = null;
  /** Other questions, in the order in which they were asked. */
  readonly questions: string[] = [];

  async ask<Answer>(path: string, schema: z.ZodType<Answer>): Promise<Answer> {
    this.questions.push(path);
    if (this.otherRefusal !== null) throw new Error(this.otherRefusal);
    const [, glassOf] = path.match(/^\/api\/bakes\/(\d+)\/glass$/) ?? [];
    const [, jobNumber] = path.match(/^\/api\/jobs\/(.+)$/) ?? [];
    if (glassOf) return schema.parse(madeUpGlass());
    const bakeId = this.#bakes.find((bake) => bake.jobNumber === jobNumber)?.id;
    if (!jobNumber || bakeId === undefined) throw new Error(`Nothing at ${path}.`);
    return schema.parse(madeUpLedger([bakeId + 1000, bakeId], decodeURIComponent(jobNumber)));
  }

  #changed(bakeId: number, change: Partial<BakeSummary>) {
    this.#bakes = this.#bakes.map((bake) => (bake.id === bakeId ? { ...bake, ...change } : bake));
    return this.bake(bakeId);
  }

  #samples({ id, planId }: BakeSummary) {
    const plan = madeUpPlans().find((revision) => revision.planId === (planId ?? 1))?.plan ?? null;
    return madeUpTrace(plan, { seed: id, slowness: 1, overshootKelvin: 1 });
  }

  #refuse() {
    if (this.refusal === null) return;
    const line = this.refusal;
    this.refusal = null;
    throw new Error(line);
  }
}
