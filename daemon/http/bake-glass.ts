import { glassOutcome } from "#core/heat/glass-outcome";
import { usualWare, wareTrace } from "#core/heat/ware";
import { gaps, type Trace } from "#core/trace/trace";
import { judgedTrace } from "#daemon/recording/judged-trace";
import type { BakeDetail } from "#shared/bake";
import { type BakeGlass, bakeGlassSchema } from "#shared/glass";
import type { MaterialRevision } from "#shared/material";

/** What a bake's trace alone would have done to a well-built layer, by the chamber and by the usual ware of its case. */
export function bakeGlass({ bake, plan }: BakeDetail, samples: Trace, material: MaterialRevision): BakeGlass {
  const chamber = judgedTrace(samples, plan?.plan ?? null);
  const outcomeOf = (trace: Trace) => glassOutcome(trace, material.material, { silences: gaps(chamber) });
  const ware = bake.case && usualWare(bake.case);
  return bakeGlassSchema.parse({
    material,
    chamber: outcomeOf(chamber),
    ware: ware && { ware, outcome: outcomeOf(withCelsius(chamber, wareTrace(chamber, ware))) },
  });
}

/** The pressure is the chamber's whatever the ware's temperature. */
function withCelsius(chamber: Trace, ware: readonly { readonly celsius: number }[]): Trace {
  return chamber.map((sample, index) => ({ ...sample, celsius: ware[index]?.celsius ?? sample.celsius }));
}
