import { median } from "#core/statistics/median";
import type { Probe } from "#core/thermocouple/probe";
import { COVERAGE_FACTOR, probeBudget } from "#core/thermocouple/uncertainty";
import type { Trace } from "#core/trace/trace";

/** How sure the numbers of a comparison are, from the probe it ran with. All expanded by `coverageFactor`. */
export interface ComparisonUncertainty {
  readonly coverageFactor: number;
  /** What the probe's part rests on: an accepted check, its class when new, or nothing that anybody said. */
  readonly basis: "check" | "class" | "none";
  /** Of a temperature at the plan's top, ± K: of the peak, of over- and undershoot there. */
  readonly topKelvin: number;
  /** Of the mean of each hold, ± K. */
  readonly holds: readonly { readonly index: number; readonly expandedKelvin: number }[];
  /** The heat-work ratio if the chamber was so much colder, and so much hotter, than it read. */
  readonly heatWorkRatio: { readonly low: number; readonly high: number } | null;
  /** What 5 K would do to this bake's heat work, as a share. */
  readonly fiveKelvinFraction: number | null;
}

/** What of a comparison its uncertainty is reckoned from. */
export interface Judged {
  readonly trace: Trace;
  readonly topCelsius: number;
  readonly holds: readonly { readonly index: number; readonly celsius: number }[];
  /** Heat work over planned, had every reading been so many kelvins higher. */
  readonly ratioIfHotter: (kelvin: number) => number | null;
}

/** "5 K" is what a quality lead reckons with. */
const FIVE_KELVIN = 5;

/**
 * The probe's uncertainty carried into over- and undershoot, into the means of the holds and into the heat
 * work. A probe that reads wrong reads wrong by the same all along, so that it does not average out: a mean
 * is no surer than a reading. Heat work follows the temperature by exp(−E/RT): its interval is the heat work
 * of the trace moved down and up by the uncertainty at the top, where nearly all of it is done.
 * @param probe null where the bake has none
 * @returns null where nothing is known of the probe at all
 */
export function comparisonUncertainty(
  probe: Probe | null | undefined,
  { trace, topCelsius, holds, ratioIfHotter }: Judged,
): ComparisonUncertainty | null {
  if (!probe) return null;
  const cold = median(trace.flatMap(({ coldJunctionCelsius }) => coldJunctionCelsius ?? []));
  const budgetAt = (celsius: number) => probeBudget(probe, celsius, Number.isNaN(cold) ? undefined : cold);
  const top = budgetAt(topCelsius);
  if (top.lines.length === 0) return null;
  const [ratio, hotter] = [ratioIfHotter(0), ratioIfHotter(FIVE_KELVIN)];
  const [low, high] = [ratioIfHotter(-top.expanded), ratioIfHotter(top.expanded)];
  return {
    coverageFactor: COVERAGE_FACTOR,
    basis: top.basis,
    topKelvin: top.expanded,
    holds: holds.map(({ index, celsius }) => ({ index, expandedKelvin: budgetAt(celsius).expanded })),
    heatWorkRatio: low === null || high === null ? null : { low, high },
    fiveKelvinFraction: ratio && hotter !== null ? hotter / ratio - 1 : null,
  };
}
