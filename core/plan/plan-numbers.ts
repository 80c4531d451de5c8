import type { PlanNumber } from "#core/plan/card";
import { legs, type Plan, type PlanStep, topCelsius, type VacuumRelease } from "#core/plan/plan";

/**
 * A number of a plan by its name; null where the plan has none, as the vacuum of a bake in air.
 * @example planNumber({ name: "t", dryingSeconds: 60, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }], cooling: { kind: "free" } }, "top") // 760
 */
export function planNumber(plan: Plan, number: PlanNumber): number | null {
  switch (number) {
    case "drying":
      return plan.dryingSeconds;
    case "closing":
      return plan.closingSeconds;
    case "low":
      return plan.lowCelsius;
    case "low-hold":
      return plan.lowHoldSeconds;
    case "climb-rate":
      return topLeg(plan)?.kelvinPerMinute ?? null;
    case "top":
      return topLeg(plan)?.toCelsius ?? null;
    case "top-hold":
      return topLeg(plan)?.holdSeconds ?? null;
    case "vacuum-on":
      return plan.vacuum?.onAtCelsius ?? null;
    case "vacuum-level":
      return plan.vacuum?.levelHectopascals ?? null;
  }
}

/**
 * The plan with one number changed. A release of the vacuum at a temperature moves with the top, so that it
 * stays as far below it; a top hold of none is added where the plan had none.
 * @returns the same plan where it has no such number, as the vacuum of a bake in air
 */
export function withPlanNumber(plan: Plan, number: PlanNumber, value: number): Plan {
  switch (number) {
    case "drying":
      return { ...plan, dryingSeconds: value };
    case "closing":
      return { ...plan, closingSeconds: value };
    case "low":
      return { ...plan, lowCelsius: value };
    case "low-hold":
      return { ...plan, lowHoldSeconds: value };
    case "climb-rate":
      return withTopClimb(plan, (step) => ({ ...step, kelvinPerMinute: value }));
    case "top":
      return withTop(plan, value);
    case "top-hold":
      return withTopHold(plan, value);
    case "vacuum-on":
      return plan.vacuum ? { ...plan, vacuum: { ...plan.vacuum, onAtCelsius: value } } : plan;
    case "vacuum-level":
      return plan.vacuum ? { ...plan, vacuum: { ...plan.vacuum, levelHectopascals: value } } : plan;
  }
}

function topLeg(plan: Plan) {
  const top = topCelsius(plan);
  return legs(plan).findLast((leg) => leg.toCelsius === top);
}

/** Where among the steps the climb to the top stands; −1 for a plan without climbs. */
function topClimbIndex(plan: Plan): number {
  const top = topCelsius(plan);
  return plan.steps.findLastIndex((step) => step.kind === "climb" && step.toCelsius === top);
}

function withTopClimb(plan: Plan, changed: (step: Extract<PlanStep, { kind: "climb" }>) => PlanStep): Plan {
  const at = topClimbIndex(plan);
  const steps = plan.steps.map((step, index) =>
    index === at && step.kind === "climb" ? changed(step) : step,
  );
  return { ...plan, steps };
}

function withTop(plan: Plan, celsius: number): Plan {
  const shiftKelvin = celsius - topCelsius(plan);
  const climbed = withTopClimb(plan, (step) => ({ ...step, toCelsius: celsius }));
  if (!plan.vacuum) return climbed;
  const release = shiftedRelease(plan.vacuum.release, shiftKelvin);
  return { ...climbed, vacuum: { ...plan.vacuum, release } };
}

function shiftedRelease(release: VacuumRelease, byKelvin: number): VacuumRelease {
  return release.kind === "at-temperature" ? { ...release, celsius: release.celsius + byKelvin } : release;
}

/** All holds after the climb to the top become one of the length asked for. */
function withTopHold(plan: Plan, seconds: number): Plan {
  const at = topClimbIndex(plan);
  if (at < 0) return plan;
  const nextClimb = plan.steps.findIndex((step, index) => index > at && step.kind === "climb");
  const rest = nextClimb < 0 ? [] : plan.steps.slice(nextClimb);
  return { ...plan, steps: [...plan.steps.slice(0, at + 1), { kind: "hold", seconds }, ...rest] };
}
