import { legs, type Plan } from "#core/plan/plan";
import { planLengthSeconds, setpointCurve } from "#core/plan/setpoint";
import type { TimeWindow } from "#core/trace/decimate";
import type { Comparison } from "#shared/comparison";

/** A stage of a bake on the trace's time: as measured where it was seen, else as planned. */
export interface StageSpan extends TimeWindow {
  readonly kind: "drying" | "climb" | "hold" | "cooling";
  /** Which one of its kind, counted from 1. */
  readonly index: number;
  /** True where the bake has several of this kind. */
  readonly isOneOfSeveral: boolean;
}

/**
 * The stages of a bake in firing order; each ends where the next begins, stages of no length are left out.
 * @param comparison  null while there is none: the plan's own times then
 * @param endSeconds  the newest sample's moment, which ends a cooling
 */
export function stageSpans(plan: Plan, comparison: Comparison | null, endSeconds: number): StageSpan[] {
  const starts = stageStarts(plan, comparison, endSeconds);
  const lastEndSeconds = Math.max(endSeconds, (comparison?.planZeroSeconds ?? 0) + planLengthSeconds(plan));
  return starts
    .map((stage, index) => ({ ...stage, toSeconds: starts[index + 1]?.fromSeconds ?? lastEndSeconds }))
    .filter((stage) => stage.toSeconds > stage.fromSeconds);
}

type StageStart = Omit<StageSpan, "toSeconds">;

function stageStarts(plan: Plan, comparison: Comparison | null, endSeconds: number): StageStart[] {
  const zeroSeconds = comparison?.planZeroSeconds ?? 0;
  const planLegs = legs(plan);
  const isOneOfSeveral = planLegs.length > 1;
  const starts: StageStart[] = [
    { kind: "drying", index: 1, isOneOfSeveral: false, fromSeconds: Math.min(0, zeroSeconds) },
  ];
  for (const [place, leg] of planLegs.entries()) {
    const index = place + 1;
    const climb = comparison?.climbs.find((candidate) => candidate.index === index)?.actual;
    const hold = comparison?.holds.find((candidate) => candidate.index === index)?.actual;
    starts.push({
      kind: "climb",
      index,
      isOneOfSeveral,
      fromSeconds: climb?.startSeconds ?? zeroSeconds + leg.climbStartSeconds,
    });
    if (leg.holdSeconds > 0 || hold)
      starts.push({
        kind: "hold",
        index,
        isOneOfSeveral,
        fromSeconds: hold?.startSeconds ?? zeroSeconds + leg.holdStartSeconds,
      });
  }
  const coolingSeconds =
    comparison?.cooling.actual?.startSeconds ?? zeroSeconds + (planLegs.at(-1)?.holdEndSeconds ?? 0);
  if (plan.cooling.kind === "steady" || coolingSeconds < endSeconds)
    starts.push({ kind: "cooling", index: 1, isOneOfSeveral: false, fromSeconds: coolingSeconds });
  return starts;
}

/**
 * When the vacuum is planned, on the plan's own time; null for a bake in air.
 * A pump that starts at or below the low temperature starts with the first climb.
 */
export function plannedVacuumWindow(plan: Plan): TimeWindow | null {
  if (!plan.vacuum) return null;
  const { onAtCelsius, release } = plan.vacuum;
  const planLegs = legs(plan);
  const fromSeconds = climbPassesSeconds(plan, onAtCelsius);
  const leg = release.kind === "at-temperature" ? undefined : planLegs[release.hold - 1];
  const toSeconds =
    release.kind === "at-temperature"
      ? climbPassesSeconds(plan, release.celsius)
      : release.kind === "hold-start"
        ? leg?.holdStartSeconds
        : leg?.holdEndSeconds;
  if (fromSeconds === undefined) return null;
  return { fromSeconds, toSeconds: Math.max(fromSeconds, toSeconds ?? planLengthSeconds(plan)) };
}

/** The first moment, from the first climb on, at which the planned curve reaches a temperature. */
function climbPassesSeconds(plan: Plan, celsius: number): number | undefined {
  const startSeconds = legs(plan)[0]?.climbStartSeconds ?? 0;
  const curve = setpointCurve(plan).filter((corner) => corner.atSeconds >= startSeconds);
  for (const [index, to] of curve.entries()) {
    const from = curve[index - 1] ?? to;
    if (to.celsius < celsius) continue;
    const share = to.celsius > from.celsius ? (celsius - from.celsius) / (to.celsius - from.celsius) : 0;
    return from.atSeconds + Math.max(0, share) * (to.atSeconds - from.atSeconds);
  }
  return undefined;
}
