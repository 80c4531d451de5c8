import { heatWorkSide } from "#kiosk-ui/components/kiosk-heat-work-bar";
import type { BakeSummary } from "#shared/bake";

/**
 * A verdict in a word, for the list: the heat work against the plan alone. Whether that is short, right or excess
 * for the layers of its job is said on the bake's page, where they are known.
 */
export type VerdictWord = "waiting" | "running" | "no-plan" | "gap" | "short" | "right" | "excess";

/** A bake with more than this share of its length unmeasured is not judged by its heat work. */
const GAP_FRACTION = 0.05;

/** The word for a bake. */
export function verdictWord(bake: BakeSummary): VerdictWord {
  if (bake.state !== "finished") return bake.state;
  if (bake.heatWorkRatio === null) return "no-plan";
  if (bake.gapSeconds > GAP_FRACTION * bake.lengthSeconds) return "gap";
  return heatWorkSide(bake.heatWorkRatio);
}
