import type { BakeCase, Framework } from "#core/plan/bake-case";
import {
  type Adaptation,
  type AdaptationCondition,
  type Card,
  PLAN_NUMBERS,
  type PlanChange,
  type PlanNumber,
} from "#core/plan/card";
import type { Cooling, Plan } from "#core/plan/plan";
import { planNumber, withPlanNumber } from "#core/plan/plan-numbers";

/** A change with the condition under which the card makes it. */
export interface SourcePart {
  readonly when: AdaptationCondition;
  readonly change: PlanChange;
  readonly basis: string | null;
}

/** Where a number of an effective plan comes from: the base plan's, and what changed it. */
export interface NumberSource {
  readonly number: PlanNumber | "cooling";
  /** Null for what the base plan does not have, and for the cooling. */
  readonly base: number | null;
  readonly parts: readonly SourcePart[];
  readonly value: number | null;
}

/** Why a card gives no plan for a case. */
export interface AdaptationRefusal {
  readonly number: PlanNumber | "cooling";
  readonly sentence: string;
}

/** A card fitted to a case, with where each number comes from, or why that cannot be done. */
export type EffectivePlan =
  | { readonly ok: true; readonly plan: Plan; readonly sources: readonly NumberSource[] }
  | { readonly ok: false; readonly refusals: readonly AdaptationRefusal[] };

/** The order in which adaptations are listed and their effects are reckoned; it changes no result. */
const ORDER: readonly AdaptationCondition["kind"][] = ["framework", "case-size", "bake", "furnace"];

/** What may be no less than nothing, and what must be more. */
const MAY_BE_NOTHING: readonly PlanNumber[] = ["drying", "closing", "low-hold", "top-hold", "low"];

const LONGEST_SECONDS = 24 * 3600;
const HOTTEST_CELSIUS = 1300;

/** The most that a plan may say of each number, as every plan that comes in: s, °C, K/min, hPa. */
const MOST: Readonly<Record<PlanNumber, number>> = {
  drying: LONGEST_SECONDS,
  closing: LONGEST_SECONDS,
  low: HOTTEST_CELSIUS,
  "low-hold": LONGEST_SECONDS,
  "climb-rate": 500,
  top: HOTTEST_CELSIUS,
  "top-hold": LONGEST_SECONDS,
  "vacuum-on": HOTTEST_CELSIUS,
  "vacuum-level": 1100,
};

/**
 * The plan that a card gives for a case on a furnace.
 *
 *     number = (what a set says, else the base plan's) + the sum of all shifts
 *
 * so that the order of adaptations never matters: two that set one number to different values are refused,
 * and so is a result that no furnace can fire (a hold below nothing, a top of 1500 °C), instead of being cut to fit.
 * With no adaptation that applies, the plan is the base plan itself.
 * @param bakeCase   null fits nothing but the furnace
 * @param furnaceId  null for a furnace that the card does not know
 * @example effectivePlan({ plan: { name: "t", dryingSeconds: 60, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }], cooling: { kind: "free" } }, adaptations: [], limits: [] }, null, null).ok // true
 */
export function effectivePlan(
  card: Card,
  bakeCase: BakeCase | null,
  furnaceId: string | null,
): EffectivePlan {
  const parts = applyingAdaptations(card, bakeCase, furnaceId).flatMap(partsOf);
  const refusals: AdaptationRefusal[] = [];
  const sources: NumberSource[] = [];
  for (const number of PLAN_NUMBERS) {
    const source = numberSource(card.plan, number, parts);
    const refusal = refusalOf(source);
    if (refusal) refusals.push(refusal);
    sources.push(source);
  }
  const coolings = parts.filter(({ change }) => change.kind === "cooling");
  const different = new Set(coolings.map(({ change }) => JSON.stringify(change)));
  if (different.size > 1)
    refusals.push({
      number: "cooling",
      sentence: `two adaptations want different coolings (${namesOf(coolings)}): keep one of them`,
    });
  sources.push({ number: "cooling", base: null, parts: coolings, value: null });
  const cooling = coolings[0] && coolingOf(coolings[0].change);
  if (refusals.length > 0) return { ok: false, refusals };
  const plan = withSources(card.plan, sources);
  return { ok: true, plan: cooling ? { ...plan, cooling } : plan, sources };
}

/** The top comes last: which climb leads there is told by the base plan. */
function withSources(base: Plan, sources: readonly NumberSource[]): Plan {
  const changed = sources.filter(({ parts, value }) => parts.length > 0 && value !== null);
  const topLast = [
    ...changed.filter(({ number }) => number !== "top"),
    ...changed.filter(({ number }) => number === "top"),
  ];
  return topLast.reduce(
    (plan, { number, value }) =>
      number === "cooling" || value === null ? plan : withPlanNumber(plan, number, value),
    base,
  );
}

/** The adaptations of a card that apply to a case on a furnace, in the order in which they are told. */
export function applyingAdaptations(
  card: Card,
  bakeCase: BakeCase | null,
  furnaceId: string | null,
): Adaptation[] {
  return ORDER.flatMap((kind) =>
    card.adaptations.filter(({ when }) => when.kind === kind && applies(when, bakeCase, furnaceId)),
  );
}

function applies(when: AdaptationCondition, bakeCase: BakeCase | null, furnaceId: string | null): boolean {
  switch (when.kind) {
    case "framework":
      return when.framework === bakeCase?.framework;
    case "case-size":
      return when.caseSize === bakeCase?.caseSize;
    case "bake":
      return when.bake === bakeCase?.bake;
    case "furnace":
      return when.furnaceId === furnaceId;
  }
}

function partsOf({ when, changes, basis }: Adaptation): SourcePart[] {
  return changes.map((change) => ({ when, change, basis: basis ?? null }));
}

function numberSource(base: Plan, number: PlanNumber, all: readonly SourcePart[]): NumberSource {
  const parts = all.filter(({ change }) => change.kind !== "cooling" && change.number === number);
  const baseValue = planNumber(base, number);
  const set = parts.flatMap(({ change }) => (change.kind === "set" ? change.to : []))[0];
  const shift = parts.reduce((sum, { change }) => sum + (change.kind === "shift" ? change.by : 0), 0);
  const start = set ?? baseValue;
  return {
    number,
    base: baseValue,
    parts,
    // what the plan does not have cannot be changed: no vacuum is begun by shifting it
    value: baseValue === null || start === null ? null : rounded(start + shift),
  };
}

function refusalOf({ number, base, parts, value }: NumberSource): AdaptationRefusal | null {
  const sets = parts.filter(({ change }) => change.kind === "set");
  if (new Set(sets.map(({ change }) => (change.kind === "set" ? change.to : 0))).size > 1)
    return {
      number,
      sentence: `two adaptations set the ${PLAN_NUMBER_NAMES[number]} to different values (${namesOf(sets)}): keep one of them, or make one a difference`,
    };
  if (number === "cooling" || parts.length === 0 || value === null || base === null) return null;
  const isEnough = MAY_BE_NOTHING.some((name) => name === number) ? value >= 0 : value > 0;
  const isFit = isEnough && value <= MOST[number];
  return isFit
    ? null
    : {
        number,
        sentence: `the adaptations make the ${PLAN_NUMBER_NAMES[number]} ${String(value).replace("-", "−")} (${namesOf(parts)}): make one of them smaller`,
      };
}

function coolingOf(change: PlanChange): Cooling | null {
  return change.kind === "cooling" ? change.to : null;
}

function namesOf(parts: readonly SourcePart[]): string {
  return [...new Set(parts.map(({ when }) => conditionName(when)))].join(", ");
}

/**
 * A condition in a word or two, as a technician would say it.
 * @example conditionName({ kind: "case-size", caseSize: "large" }) // "large case"
 */
export function conditionName(when: AdaptationCondition): string {
  switch (when.kind) {
    case "framework":
      return frameworkName(when.framework);
    case "case-size":
      return `${when.caseSize} case`;
    case "bake":
      return `${when.bake} bake`;
    case "furnace":
      return `furnace ${when.furnaceId}`;
  }
}

/**
 * A framework as a technician would say it.
 * @example frameworkName("lithium-disilicate") // "lithium disilicate"
 */
export function frameworkName(framework: Framework): string {
  return framework === "none" ? "test piece" : framework.replace("-", " ");
}

/** What the numbers of a plan are called. */
export const PLAN_NUMBER_NAMES: Readonly<Record<PlanNumber | "cooling", string>> = {
  drying: "drying",
  closing: "closing time",
  low: "low temperature",
  "low-hold": "wait at the low temperature",
  "climb-rate": "climb rate",
  top: "top temperature",
  "top-hold": "hold at the top",
  "vacuum-on": "start of the vacuum",
  "vacuum-level": "level of the vacuum",
  cooling: "cooling",
};

/** Sums of tenths are tenths: 0.1 + 0.2 is not to be 0.30000000000000004 on a screen. */
function rounded(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}
