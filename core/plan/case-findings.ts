import type { Material } from "#core/heat/material";
import { frameworkName } from "#core/plan/adapt";
import type { BakeCase } from "#core/plan/bake-case";
import type { Card } from "#core/plan/card";
import { type PlanFinding, planFindings } from "#core/plan/findings";
import { legs, type Plan, topCelsius, type VacuumRelease } from "#core/plan/plan";

/** What a plan for a case is held against. What is null is not known. */
export interface CaseKnowledge {
  readonly card: Card;
  readonly bakeCase: BakeCase | null;
  readonly material: Material | null;
  /** The steepest whole climb that the furnace has made, K/min. */
  readonly fastestClimbKelvinPerMinute: number | null;
}

/** A climb within this of the fastest one is one that the furnace has made (our own choice). */
const CLIMB_MARGIN_FRACTION = 0.03;

/**
 * What is wrong with an effective plan in itself, and for its case, material and furnace. Only a top above the
 * card's own limit for the framework refuses: the rest can be fired, and needs saying.
 * @param plan  the effective plan of `knowledge.card`
 * @example caseFindings({ name: "t", dryingSeconds: 60, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 80 }], cooling: { kind: "free" } }, { card: { plan: { name: "t", dryingSeconds: 60, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [], cooling: { kind: "free" } }, adaptations: [], limits: [] }, bakeCase: null, material: null, fastestClimbKelvinPerMinute: 62 })[0]?.sentence // "step 1 climbs at 80 K/min, and this furnace so far reached at most 62: lower its rate, or expect it to arrive late"
 */
export function caseFindings(plan: Plan, knowledge: CaseKnowledge): PlanFinding[] {
  return [
    ...planFindings(plan),
    ...limitFindings(plan, knowledge),
    ...climbFindings(plan, knowledge),
    ...closureFindings(plan, knowledge),
    ...dryingFindings(plan, knowledge),
  ];
}

function limitFindings(plan: Plan, { card, bakeCase }: CaseKnowledge): PlanFinding[] {
  const limits = card.limits.filter(({ framework }) => framework === bakeCase?.framework);
  const limit = Math.min(...limits.map(({ topCelsius }) => topCelsius));
  const top = topCelsius(plan);
  if (!bakeCase || top <= limit) return [];
  return [
    {
      code: "top-above-limit",
      refuses: true,
      step: topStep(plan, top),
      sentence: `the top of ${top} °C is above the ${limit} °C that this card allows for ${frameworkName(bakeCase.framework)}: lower it by ${rounded(top - limit)} K, or mend the limit`,
    },
  ];
}

function climbFindings(plan: Plan, { fastestClimbKelvinPerMinute: fastest }: CaseKnowledge): PlanFinding[] {
  if (fastest === null) return [];
  return plan.steps.flatMap((step, index) => {
    if (step.kind !== "climb" || step.kelvinPerMinute <= fastest * (1 + CLIMB_MARGIN_FRACTION)) return [];
    return notice(
      "climb-faster-than-furnace",
      `step ${index + 1} climbs at ${step.kelvinPerMinute} K/min, and this furnace so far reached at most ${rounded(fastest)}: lower its rate, or expect it to arrive late`,
      index + 1,
    );
  });
}

function closureFindings(plan: Plan, { material }: CaseKnowledge): PlanFinding[] {
  const { vacuum } = plan;
  const closure = material?.closure;
  if (!vacuum || !closure) return [];
  const found: PlanFinding[] = [];
  if (vacuum.onAtCelsius >= closure.fromCelsius)
    found.push(
      notice(
        "vacuum-above-closure",
        `vacuum starts at ${vacuum.onAtCelsius} °C, when pores of ${material.name} close from ${closure.fromCelsius} °C on and keep their air: start it lower`,
      ),
    );
  const { release } = vacuum;
  const releaseCelsius = releasedAtCelsius(plan, release);
  // A hold within the range may close the pores before its end: what is told are ranges of climbs.
  const closedCelsius = release.kind === "hold-end" ? closure.fromCelsius : closure.toCelsius;
  if (releaseCelsius !== null && releaseCelsius < closedCelsius)
    found.push(
      notice(
        "vacuum-released-before-closure",
        `air is let in at ${releaseCelsius} °C, before the last pores of ${material.name} close at ${closure.toCelsius} °C: let it in ${release.kind === "at-temperature" ? "higher, or at the hold" : "at a later hold"}`,
      ),
    );
  return found;
}

/** Null where the plan has no such hold. */
function releasedAtCelsius(plan: Plan, release: VacuumRelease): number | null {
  return release.kind === "at-temperature"
    ? release.celsius
    : (legs(plan)[release.hold - 1]?.toCelsius ?? null);
}

function dryingFindings(plan: Plan, { card }: CaseKnowledge): PlanFinding[] {
  const base = card.plan.dryingSeconds;
  if (plan.dryingSeconds >= base || plan.dryingSeconds === 0) return []; // none at all is said by the plan's own
  return [
    notice(
      "drying-cut-short",
      `drying is cut to ${plan.dryingSeconds} s of the card's ${base} s: give it the ${rounded(base - plan.dryingSeconds)} s back unless the piece is dry`,
    ),
  ];
}

function topStep(plan: Plan, top: number): number | undefined {
  const index = plan.steps.findLastIndex((step) => step.kind === "climb" && step.toCelsius === top);
  return index < 0 ? undefined : index + 1;
}

function notice(code: PlanFinding["code"], sentence: string, step?: number): PlanFinding {
  return { code, refuses: false, step, sentence };
}

/** Of measured numbers, as they are said: to a tenth. */
function rounded(value: number): number {
  return Math.round(value * 10) / 10;
}
