import { legs, type Plan } from "#core/plan/plan";
import { planLengthSeconds, setpointCelsius } from "#core/plan/setpoint";
import type { Comparison, Stage } from "#shared/comparison";
import type { Sample } from "#shared/sample";

/** The kinds of stage a bake goes through. */
export type StageKind = Stage["kind"];

/** A stage as a bar that fills. */
export interface StageBar {
  readonly kind: StageKind;
  /** Temperature that a climb goes to or a hold keeps, °C. */
  readonly celsius: number | null;
  /** Planned length, s. */
  readonly lengthSeconds: number | null;
  /** How much of it is done, 0 to 1. */
  readonly doneFraction: number;
  readonly isNow: boolean;
}

/** The time that matters most now. `seconds` is never negative. */
export interface Countdown {
  readonly kind:
    | "to-top"
    | "late-for-top"
    | "hold-left"
    | "hold-over"
    | "since-top"
    | "to-opening"
    | "to-hold-end";
  readonly seconds: number;
}

/** Where a running bake stands beside its plan. */
export interface BakeProgress {
  readonly celsius: number | null;
  /** Null where nothing is planned, as in a free cooling. */
  readonly plannedCelsius: number | null;
  /** Trace minus plan, K. */
  readonly differenceKelvin: number | null;
  readonly stage: Stage;
  readonly stageBars: readonly StageBar[];
  readonly countdowns: readonly Countdown[];
  /** Until the climb is planned to begin, s; negative when it is late. */
  readonly toClimbSeconds: number;
  /** Until the present hold is planned to end, s; null outside holds. */
  readonly holdLeftSeconds: number | null;
  /** True once the chamber falls away from its last hold, which is settled only some moments later. */
  readonly isLeavingTop: boolean;
}

/** A chamber that has lost so much within so long has left its hold, K and s. */
const LEAVING = { kelvin: 6, seconds: 15 };

/** True from the end of the last hold on. */
export function isCooling({ stage, isLeavingTop }: BakeProgress): boolean {
  return stage.kind === "cooling" || stage.kind === "done" || isLeavingTop;
}

/**
 * Where a bake stands, by its newest sample.
 * @param comparison null while nothing is compared yet: the plan's zero is then the trace's
 */
export function bakeProgress(
  plan: Plan,
  samples: readonly Sample[],
  comparison: Comparison | null,
): BakeProgress {
  const newest = samples.at(-1);
  const planSeconds = (newest?.atSeconds ?? 0) - (comparison?.planZeroSeconds ?? 0);
  const stage = comparison?.stage ?? { kind: "drying", index: 1 };
  const plannedCelsius = newest ? setpointCelsius(plan, planSeconds) : null;
  const holdLeftSeconds = holdLeft(plan, planSeconds, stage, comparison, newest?.atSeconds ?? 0);
  const isLeavingTop = isLeaving(plan, samples, stage, holdLeftSeconds);
  return {
    celsius: newest?.celsius ?? null,
    plannedCelsius,
    differenceKelvin: newest && plannedCelsius !== null ? newest.celsius - plannedCelsius : null,
    stage,
    stageBars: stageBars(plan, planSeconds, newest?.celsius ?? plan.lowCelsius, stage, holdLeftSeconds),
    countdowns: countdowns(plan, planSeconds, isLeavingTop ? COOLING : stage, holdLeftSeconds),
    toClimbSeconds: (legs(plan)[0]?.climbStartSeconds ?? 0) - planSeconds,
    holdLeftSeconds,
    isLeavingTop,
  };
}

const COOLING: Stage = { kind: "cooling", index: 1 };

/** A last hold that is over, and from which the chamber falls. */
function isLeaving(
  plan: Plan,
  samples: readonly Sample[],
  stage: Stage,
  leftSeconds: number | null,
): boolean {
  const newest = samples.at(-1);
  if (!newest || leftSeconds === null || leftSeconds > 0 || stage.index < legs(plan).length) return false;
  const since = newest.atSeconds - LEAVING.seconds;
  const from = samples.findLastIndex(({ atSeconds }) => atSeconds < since) + 1;
  const highest = samples.slice(from).reduce((high, { celsius }) => Math.max(high, celsius), newest.celsius);
  return highest - newest.celsius >= LEAVING.kelvin;
}

function holdLeft(
  plan: Plan,
  planSeconds: number,
  stage: Stage,
  comparison: Comparison | null,
  atSeconds: number,
): number | null {
  const leg = legs(plan)[stage.index - 1];
  if (stage.kind !== "hold" || !leg) return null;
  const actual = comparison?.holds[stage.index - 1]?.actual;
  return actual ? actual.startSeconds + leg.holdSeconds - atSeconds : leg.holdEndSeconds - planSeconds;
}

function stageBars(
  plan: Plan,
  planSeconds: number,
  celsius: number,
  stage: Stage,
  holdLeftSeconds: number | null,
): StageBar[] {
  const planLegs = legs(plan);
  const dryingSeconds = planLegs[0]?.climbStartSeconds ?? 0;
  const rows: (Omit<StageBar, "doneFraction" | "isNow"> & { index: number; part: number })[] = [];
  if (dryingSeconds > 0)
    rows.push({
      kind: "drying",
      index: 1,
      celsius: null,
      lengthSeconds: dryingSeconds,
      part: planSeconds / dryingSeconds,
    });
  for (const [at, leg] of planLegs.entries()) {
    const rise = leg.toCelsius - leg.fromCelsius;
    const climbed = rise === 0 ? 1 : (celsius - leg.fromCelsius) / rise;
    rows.push({
      kind: "climb",
      index: at + 1,
      celsius: leg.toCelsius,
      lengthSeconds: leg.holdStartSeconds - leg.climbStartSeconds,
      part: climbed,
    });
    if (leg.holdSeconds > 0)
      rows.push({
        kind: "hold",
        index: at + 1,
        celsius: leg.toCelsius,
        lengthSeconds: leg.holdSeconds,
        part: 1 - (holdLeftSeconds ?? 0) / leg.holdSeconds,
      });
  }
  rows.push({
    kind: "cooling",
    index: 1,
    celsius: coolingTarget(plan),
    lengthSeconds: null,
    part: cooledFraction(plan, celsius),
  });
  const order = (kind: StageKind, index: number) =>
    kind === "drying"
      ? 0
      : kind === "climb"
        ? index * 2 - 1
        : kind === "hold"
          ? index * 2
          : Number.POSITIVE_INFINITY;
  const now = order(stage.kind, stage.index);
  return rows.map(({ index, part, ...row }) => {
    const isNow = stage.kind !== "done" && order(row.kind, index) === now;
    const isDone = stage.kind === "done" || order(row.kind, index) < now;
    return { ...row, isNow, doneFraction: isDone ? 1 : isNow ? Math.min(1, Math.max(0, part)) : 0 };
  });
}

function coolingTarget(plan: Plan): number | null {
  return plan.cooling.kind === "steady" ? plan.cooling.toCelsius : (plan.cooling.openAtCelsius ?? null);
}

function cooledFraction(plan: Plan, celsius: number): number {
  const fromCelsius = legs(plan).at(-1)?.toCelsius ?? plan.lowCelsius;
  const toCelsius = coolingTarget(plan) ?? plan.lowCelsius;
  return fromCelsius === toCelsius ? 1 : (fromCelsius - celsius) / (fromCelsius - toCelsius);
}

function countdowns(
  plan: Plan,
  planSeconds: number,
  stage: Stage,
  holdLeftSeconds: number | null,
): Countdown[] {
  const planLegs = legs(plan);
  const highest = Math.max(...planLegs.map((leg) => leg.toCelsius));
  const top = planLegs.find((leg) => leg.toCelsius === highest);
  if (!top) return [];
  const end = planLengthSeconds(plan) - planSeconds;
  const ending: Countdown = {
    kind: plan.cooling.kind === "steady" ? "to-opening" : "to-hold-end",
    seconds: Math.max(0, end),
  };
  if (stage.kind === "cooling" || stage.kind === "done") {
    const sinceTop: Countdown = { kind: "since-top", seconds: Math.max(0, planSeconds - top.holdEndSeconds) };
    return plan.cooling.kind === "steady" ? [sinceTop, ending] : [sinceTop];
  }
  if (holdLeftSeconds !== null) {
    const hold: Countdown = {
      kind: holdLeftSeconds >= 0 ? "hold-left" : "hold-over",
      seconds: Math.abs(holdLeftSeconds),
    };
    const endsThePlan = plan.cooling.kind === "free" && stage.index === planLegs.length;
    return endsThePlan ? [hold] : [hold, ending];
  }
  const toTop = top.holdStartSeconds - planSeconds;
  return [{ kind: toTop >= 0 ? "to-top" : "late-for-top", seconds: Math.abs(toTop) }, ending];
}
