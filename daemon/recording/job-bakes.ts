import { type AppliedLayer, type LayerAccount, layerAccounts } from "#core/heat/layer-ledger";
import { usualWare } from "#core/heat/ware";
import type { Trace } from "#core/trace/trace";
import { judgedTrace } from "#daemon/recording/judged-trace";
import type { BakeStore } from "#daemon/store/bake-store";
import type { BakeDetail } from "#shared/bake";
import type { BakeLayer } from "#shared/layer";

/** A job of more bakes is told by its newest. */
export const MOST_JOB_BAKES = 20;

/** A bake of a job with what was measured in it. */
export interface JobBake {
  readonly detail: BakeDetail;
  readonly samples: Trace;
}

/** The bakes of a job as they are saved, oldest first, open ones too; of many the newest. */
export async function jobBakes(bakes: BakeStore, jobNumber: string): Promise<JobBake[]> {
  const ids = await bakes.find({ kind: "of-job", jobNumber }, MOST_JOB_BAKES);
  const found: JobBake[] = [];
  for (const id of ids.reverse()) {
    const detail = await bakes.detail(id);
    if (detail) found.push({ detail, samples: await bakes.samples(id) });
  }
  return found;
}

/** The layers of a job's bakes with what each collected, in the order of `layersOf`. */
export function accountsOf(bakes: readonly JobBake[]): LayerAccount[] {
  const applied = bakes.flatMap(({ detail }) =>
    detail.layers.map(
      ({ name, material }): AppliedLayer => ({
        name,
        material: material.material,
        firstBakeId: detail.bake.id,
      }),
    ),
  );
  return layerAccounts(
    applied,
    bakes.map(({ detail, samples }) => ({
      bakeId: detail.bake.id,
      trace: judgedTrace(samples, detail.plan?.plan ?? null),
      ware: detail.bake.case && usualWare(detail.bake.case),
    })),
  );
}

/** The layers that were put on before a job's bakes, oldest first. */
export function layersOf(bakes: readonly JobBake[]): BakeLayer[] {
  return bakes.flatMap(({ detail }) => detail.layers);
}
