import type { LayerAccount } from "#core/heat/layer-ledger";
import type { KioskRequests } from "#kiosk-ui/kiosk-client";
import type { BakeCase } from "#shared/bake-case";
import { type JobLedger, jobLedgerSchema } from "#shared/layer";

/** What Begin asks of the daemon. */
export type BeginDesk = Pick<KioskRequests, "ask" | "bakes">;

/** A layer of a job from an earlier bake, and which kept material it is of. */
export interface JobLayer extends LayerAccount {
  readonly materialId: number;
}

/** What a job has had before the bake in question; without bakes it is new here. */
export interface JobHistory {
  readonly jobNumber: string;
  readonly bakeCount: number;
  /** Of the newest bake of which it was told. */
  readonly lastCase: BakeCase | null;
  readonly lastPlanId: number | null;
  readonly layers: readonly JobLayer[];
}

/** As many bakes as one answer holds: those of jobs whose number only contains this one are among them. */
const MOST_BAKES = 200;

/**
 * Fetches what a job has had. Its ledger is asked for only where it has bakes: a new job is nothing amiss.
 * @param exceptBakeId the open bake that is being given its plan, which is no earlier bake; null for a new one
 * @throws Error with the daemon's one line
 */
export async function fetchJobHistory(
  desk: BeginDesk,
  jobNumber: string,
  exceptBakeId: number | null,
): Promise<JobHistory> {
  const { bakes } = await desk.bakes({ job: jobNumber, limit: MOST_BAKES });
  const earlier = bakes.filter((bake) => bake.jobNumber === jobNumber && bake.id !== exceptBakeId);
  const ledger =
    earlier.length > 0 ? await desk.ask(`/api/jobs/${encodeURIComponent(jobNumber)}`, jobLedgerSchema) : null;
  return {
    jobNumber,
    bakeCount: earlier.length,
    lastCase: earlier.find((bake) => bake.case !== null)?.case ?? null,
    lastPlanId: earlier.find((bake) => bake.planId !== null)?.planId ?? null,
    layers: ledger ? layersBefore(ledger, exceptBakeId) : [],
  };
}

/** The layers that were there before a bake, without what they collect in it. */
function layersBefore(ledger: JobLedger, exceptBakeId: number | null): JobLayer[] {
  return ledger.layers
    .map(({ name, material, portions }) => ({
      name,
      material: material.material,
      materialId: material.materialId,
      portions: portions.filter(({ bakeId }) => bakeId !== exceptBakeId),
    }))
    .filter(({ portions }) => exceptBakeId === null || portions.length > 0);
}
