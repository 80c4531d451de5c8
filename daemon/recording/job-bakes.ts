import { type AppliedLayer, type LayerAccount, layerAccounts } from "#core/heat/layer-ledger";
import { usualWare } from "#core/heat/ware";
import type { Trace } from "#core/trace/trace";
import { judgedTrace } from "#daemon/recording/judged-trace";
import type { Recorder } from "#daemon/recording/recorder";
import type { Store } from "#daemon/store/store";
import type { BakeDetail } from "#shared/bake";
import { type JobLedger, layerPortionSchema } from "#shared/layer";

/** A job of more bakes is told by its newest. */
export const MOST_JOB_BAKES = 20;

/** Reads bakes: the recorder, where open ones count as they stand, or the store. */
export interface BakeReader {
  readonly detail: (bakeId: number) => Promise<BakeDetail | undefined>;
  readonly samples: (bakeId: number) => Promise<Trace>;
}

/** A bake of a job with what was measured in it. */
export interface JobBake {
  readonly detail: BakeDetail;
  readonly samples: Trace;
}

/** The bakes of a job, oldest first, open ones too; of many the newest. */
export async function jobBakes(
  { bakes }: Pick<Store, "bakes">,
  jobNumber: string,
  reader: BakeReader = {
    detail: (bakeId) => bakes.detail(bakeId),
    samples: (bakeId) => bakes.samples(bakeId),
  },
): Promise<JobBake[]> {
  const ids = await bakes.find({ kind: "of-job", jobNumber }, MOST_JOB_BAKES);
  const found: JobBake[] = [];
  for (const id of ids.reverse()) {
    const detail = await reader.detail(id);
    if (detail) found.push({ detail, samples: await reader.samples(id) });
  }
  return found;
}

/** What each layer of a job's bakes collected in them, in the order in which they were put on. */
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

/** The ledger of a job as it stands now; null when no bake has its number. */
export async function jobLedger(
  store: Pick<Store, "bakes">,
  recorder: Recorder,
  jobNumber: string,
): Promise<JobLedger | null> {
  const bakes = await jobBakes(store, jobNumber, {
    detail: (bakeId) => recorder.detail(bakeId),
    samples: async (bakeId) => (await recorder.samplesAfter(bakeId, -1, Number.MAX_SAFE_INTEGER)).samples,
  });
  if (bakes.length === 0) return null;
  const accounts = accountsOf(bakes);
  const layers = bakes.flatMap(({ detail }) => detail.layers);
  return {
    jobNumber,
    bakes: bakes.map(({ detail: { bake } }) => ({
      bakeId: bake.id,
      startedAtEpochMilliseconds: bake.startedAtEpochMilliseconds,
      isOpen: bake.state !== "finished",
      planName: bake.planName,
      furnaceName: bake.furnaceName,
      heatWorkRatio: bake.heatWorkRatio,
    })),
    layers: layers.map((layer, index) => ({
      ...layer,
      portions: layerPortionSchema.array().parse(accounts[index]?.portions ?? []),
    })),
  };
}
