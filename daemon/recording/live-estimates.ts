import { heatWorkEquivalentSeconds } from "#core/heat/heat-work";
import { usualWare, wareTrace } from "#core/heat/ware";
import { gaps, type Trace } from "#core/trace/trace";
import { endsInJump } from "#daemon/recording/ends-in-jump";
import { judgedTrace } from "#daemon/recording/judged-trace";
import type { BakeChange } from "#daemon/store/bake-store";
import type { Comparison } from "#shared/comparison";
import { type HeatWorkWindow, type Outlook, outlookSchema, type WareEstimate } from "#shared/outlook";
import type { BakePlan, Plan } from "#shared/plan";
import type { OpenBake } from "#shared/status";

/** Estimating takes a tenth of the time at most. */
const ESTIMATE_COSTS = 10;

/** How a running bake is looked ahead of, and what an earlier bake of its furnace tells for it; traces as judged. */
export interface LookingAhead<Memory> {
  /** @returns null when the bake tells nothing */
  remember(plan: Plan, trace: Trace, comparison: Comparison): Memory | null;
  /** @param earlier newest first; empty until they are read */
  outlook(plan: Plan, trace: Trace, comparison: Comparison, earlier: readonly Memory[]): Outlook | null;
}

/** Looks nowhere. */
export const NO_OUTLOOK: LookingAhead<unknown> = { remember: () => null, outlook: () => null };

/** What an open bake is estimated with beside its own samples; from the store, so it comes some moments later. */
export interface LiveBackground<Memory> {
  readonly window: HeatWorkWindow | null;
  readonly earlier: readonly Memory[];
}

/** What an estimate looks at. */
export interface EstimatedBake {
  readonly plan: BakePlan | null;
  readonly samples: Trace;
  readonly comparison: Comparison | null;
}

/** The estimates of one open bake: its ware, the window of its heat work, and where it is going. */
export class LiveEstimate<Memory = unknown> {
  /** Set until what it stands on is asked of the store. */
  isBackgroundDue = true;
  #background: LiveBackground<Memory> = { window: null, earlier: [] };
  #askings = 0;
  #ware: WareEstimate | null = null;
  #outlook: Outlook | null = null;
  #estimatedAtSeconds = Number.NEGATIVE_INFINITY;
  #costSeconds = 0;

  /** As pages see them. */
  shown(): Pick<OpenBake, "outlook" | "ware" | "window"> {
    return { outlook: this.#outlook, ware: this.#ware, window: this.#background.window };
  }

  /** The bake was given something else to stand on. */
  forget({ plan, jobNumber, layers }: BakeChange): void {
    if (plan === undefined && jobNumber === undefined && layers === undefined) return;
    this.isBackgroundDue = true;
    this.#background = { ...this.#background, window: null };
    if (plan === undefined) return;
    this.#ware = null;
    this.#outlook = null;
    this.#estimatedAtSeconds = Number.NEGATIVE_INFINITY;
  }

  /**
   * What it stands on is being read.
   * @returns takes it; false when it stands on something else by now, so that an answer that came late is let go
   */
  awaitBackground(): (background: LiveBackground<Memory>) => boolean {
    this.isBackgroundDue = false;
    this.#askings += 1;
    const asking = this.#askings;
    return (background) => {
      if (this.isBackgroundDue || asking !== this.#askings) return false;
      this.#background = background;
      this.#estimatedAtSeconds = Number.NEGATIVE_INFINITY;
      return true;
    };
  }

  /**
   * Estimates anew from all samples as they are judged, so that nothing wild is or stays in it; a long bake less
   * often, and not on a jump that the next reading has to tell of.
   * @param nowSeconds tells a monotonic clock
   */
  update(bake: EstimatedBake, ahead: LookingAhead<Memory>, nowSeconds: () => number): void {
    const startedAtSeconds = nowSeconds();
    if (startedAtSeconds - this.#estimatedAtSeconds < ESTIMATE_COSTS * this.#costSeconds) return;
    if (!bake.plan || endsInJump(bake.samples)) return;
    const judged = { ...bake, samples: judgedTrace(bake.samples, null) };
    this.#ware = wareEstimate(judged);
    this.#outlook = this.#lookAhead(judged, ahead);
    this.#estimatedAtSeconds = nowSeconds();
    this.#costSeconds = this.#estimatedAtSeconds - startedAtSeconds;
  }

  #lookAhead({ plan, samples, comparison }: EstimatedBake, ahead: LookingAhead<Memory>): Outlook | null {
    if (!plan || !comparison) return null;
    const outlook = ahead.outlook(plan.plan, samples, comparison, this.#background.earlier);
    return outlook && outlookSchema.parse(outlook);
  }
}

/** The usual ware of the case under this chamber, from the plan's zero on: an estimate. */
function wareEstimate({ plan, samples, comparison }: EstimatedBake): WareEstimate | null {
  if (!plan?.case || samples.length === 0) return null;
  const fromSeconds = comparison?.planZeroSeconds ?? 0;
  const chamber = samples.filter(({ atSeconds }) => atSeconds >= fromSeconds);
  const ware = wareTrace(chamber, usualWare(plan.case));
  const now = ware.at(-1);
  if (!now) return null;
  const { celsius, slowCelsius, fastCelsius } = now;
  const planned = comparison?.heatWork.plannedEquivalentSeconds ?? 0;
  const heatWorkRatio =
    comparison && planned > 0
      ? heatWorkEquivalentSeconds(ware, comparison.heatWork, gaps(chamber)) / planned
      : null;
  return { celsius, slowCelsius, fastCelsius, heatWorkRatio };
}
