import type { GradedBake } from "#core/heat/material-fit";
import type { Trace } from "#core/trace/trace";
import { judgedTrace } from "#daemon/recording/judged-trace";
import type { Store } from "#daemon/store/store";
import type { BakeDetail } from "#shared/bake";
import type { Finding } from "#shared/comparison";

/** A fit that looks at more would hold up the readings. */
const MOST_BAKES = 200;

/** Samples closer together add nothing to the heat work of a fit but time, s. */
const STEP_SECONDS = 2;

/** These keep air in a layer. A late release does not, and a pressure that nobody measured says nothing. */
const AIR_KEPT: readonly Finding["code"][] = [
  "vacuum-absent",
  "vacuum-late",
  "vacuum-weak",
  "vacuum-released-early",
  "vacuum-leaked",
];

/**
 * The newest graded bakes that were the first of a layer of a material, any revision of it: those before which it
 * was put on, and those of a card for it where nobody said what was put on.
 */
export async function gradedBakes(
  { bakes }: Pick<Store, "bakes">,
  materialId: number,
): Promise<GradedBake[]> {
  const graded: GradedBake[] = [];
  for (const id of await bakes.find({ kind: "graded-of-material", materialId }, MOST_BAKES)) {
    const detail = await bakes.detail(id);
    const grade = detail?.bake.grade;
    if (!detail || !grade || !isFirstOfLayer(detail, materialId)) continue;
    const trace = judgedTrace(await bakes.samples(id), detail.plan?.plan ?? null);
    const hadVacuumFault = detail.comparison?.findings.some(({ code }) => AIR_KEPT.includes(code)) ?? false;
    graded.push({ trace: thinned(trace), grade, hadVacuumFault });
  }
  return graded;
}

/** What a layer had in bakes before would count for this one. */
function isFirstOfLayer({ bake, layers }: BakeDetail, materialId: number): boolean {
  if (layers.length > 0) return layers.some(({ material }) => material.materialId === materialId);
  return bake.case === null || bake.case.bake === "first";
}

/** Every sample of a slow instrument, some of a fast one; the last is always there. */
function thinned(trace: Trace): Trace {
  let keptAtSeconds = Number.NEGATIVE_INFINITY;
  return trace.filter(({ atSeconds }, index) => {
    const isKept = atSeconds - keptAtSeconds >= STEP_SECONDS || index === trace.length - 1;
    if (isKept) keptAtSeconds = atSeconds;
    return isKept;
  });
}
