import type { FittingHolds, LayerForecast } from "#core/heat/layer-ledger";
import type { Plan } from "#core/plan/plan";

/**
 * Why the next bake holds as long as it does, in numbers: one to three short sentences; empty when there is
 * nothing to say.
 */
export function ledgerSentences(
  _forecasts: readonly LayerForecast[],
  _holds: FittingHolds | null,
  _plan: Plan,
): string[] {
  throw new Error("not written yet");
}
