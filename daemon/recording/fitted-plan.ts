import { conditionName, effectivePlan } from "#core/plan/adapt";
import { caseFindings } from "#core/plan/case-findings";
import { planFindings } from "#core/plan/findings";
import { DaemonError } from "#daemon/errors";
import type { Store } from "#daemon/store/store";
import type { BakeCase } from "#shared/bake-case";
import type { BakeLayer } from "#shared/layer";
import {
  type BakePlan,
  type Card,
  type NumberSource,
  numberSourceSchema,
  type Plan,
  type PlanRevision,
  planSchema,
} from "#shared/plan";

/** A card fitted to a case on a furnace, or the sentence why that cannot be fired. */
export type Fit =
  | { readonly ok: true; readonly plan: Plan; readonly sources: NumberSource[] }
  | { readonly ok: false; readonly sentence: string };

/** What somebody wants to begin. */
export interface AskedPlan {
  readonly planId: number;
  /** The revision that was looked at; undefined trusts the newest. */
  readonly revision?: number | undefined;
  readonly case: BakeCase | null;
}

/**
 * The newest revision of a card, fitted to the bake that is to begin.
 * @throws DaemonError `not-found`; `conflict` when it is retired, was changed since it was seen, gives no plan
 * for the case, or goes above what it allows for the framework
 */
export async function planToBegin(
  store: Pick<Store, "plans" | "materials">,
  asked: AskedPlan,
  furnaceId: string,
): Promise<BakePlan> {
  const card = await cardToBegin(store, asked);
  const fitted = await fittedPlan(store, card, asked.case, furnaceId);
  const refused = caseFindings(fitted.plan, {
    card,
    bakeCase: asked.case,
    material: fitted.material?.material ?? null,
    fastestClimbKelvinPerMinute: null,
  }).find((finding) => finding.refuses);
  if (refused) throw cannotBeFired(card, refused.sentence);
  return fitted;
}

async function cardToBegin(
  store: Pick<Store, "plans">,
  { planId, revision: seenRevision }: AskedPlan,
): Promise<PlanRevision> {
  const card = await newestCard(store, planId);
  const { name } = card.plan;
  if (card.isRetired)
    throw new DaemonError("conflict", `${name} is retired. Choose another plan, or take it back first.`);
  if (seenRevision !== undefined && seenRevision !== card.revision)
    throw new DaemonError(
      "conflict",
      `The card was changed meanwhile: ${name} is at revision ${card.revision} now, not ${seenRevision}. Look at it again, then begin.`,
    );
  return card;
}

/**
 * The newest revision of a card.
 * @throws DaemonError `not-found` when there is no such card
 */
export async function newestCard({ plans }: Pick<Store, "plans">, planId: number): Promise<PlanRevision> {
  const card = await plans.get(planId);
  if (!card) throw new DaemonError("not-found", `There is no plan ${planId}. Choose another.`);
  return card;
}

/**
 * A card's revision as a bake runs it: fitted to its case and furnace, with its material as it is now.
 * @param bakeCase null fits nothing but the furnace
 * @throws DaemonError `conflict` when the card gives no plan for the case, in the card's own sentence
 */
export async function fittedPlan(
  { materials }: Pick<Store, "materials">,
  card: PlanRevision,
  bakeCase: BakeCase | null,
  furnaceId: string,
): Promise<BakePlan> {
  const fit = fitOf(card, bakeCase, furnaceId);
  if (!fit.ok) throw cannotBeFired(card, fit.sentence);
  const { planId, revision, savedAtEpochMilliseconds, isDemonstration, materialId } = card;
  return {
    planId,
    revision,
    plan: fit.plan,
    savedAtEpochMilliseconds,
    isDemonstration,
    case: bakeCase,
    sources: fit.sources,
    material: materialId === null ? null : ((await materials.get(materialId)) ?? null),
  };
}

function cannotBeFired({ plan }: Card, sentence: string): DaemonError {
  return new DaemonError("conflict", `${plan.name} cannot be fired so: ${sentence}.`);
}

/** A card fitted to a case on a furnace, as far as that can be fired and kept. */
export function fitOf(card: Card, bakeCase: BakeCase | null, furnaceId: string | null): Fit {
  const effective = effectivePlan(card, bakeCase, furnaceId);
  if (!effective.ok)
    return { ok: false, sentence: effective.refusals.map(({ sentence }) => sentence).join("; ") };
  const plan = planSchema.safeParse(effective.plan);
  if (!plan.success)
    return {
      ok: false,
      sentence: `its ${plan.error.issues[0]?.path.join(".")} comes out where no furnace goes: make an adaptation smaller`,
    };
  const refused = planFindings(plan.data).find((finding) => finding.refuses);
  if (refused) return { ok: false, sentence: refused.sentence };
  return { ok: true, plan: plan.data, sources: numberSourceSchema.array().parse(effective.sources) };
}

/**
 * A case in words: "zirconia, large case, second bake".
 * @example caseName({ framework: "none", caseSize: "small", bake: "first" }) // "test piece, small case, first bake"
 */
export function caseName({ framework, caseSize, bake }: BakeCase): string {
  return [
    conditionName({ kind: "framework", framework }),
    conditionName({ kind: "case-size", caseSize }),
    conditionName({ kind: "bake", bake }),
  ].join(", ");
}

/**
 * Layers with their materials as they are now.
 * @param known  that the bake has already: each that is asked for again keeps its material of then
 * @throws DaemonError `not-found` when one of the materials is not known
 */
export async function appliedLayers(
  { materials }: Pick<Store, "materials">,
  layers: readonly { readonly name: string; readonly materialId: number }[],
  known: readonly BakeLayer[] = [],
): Promise<BakeLayer[]> {
  const applied: BakeLayer[] = [];
  for (const { name, materialId } of layers) {
    const kept = known.find((layer) => layer.name === name && layer.material.materialId === materialId);
    const material = kept?.material ?? (await materials.get(materialId));
    if (!material)
      throw new DaemonError(
        "not-found",
        `There is no material ${materialId} for the layer ${name}. Choose another.`,
      );
    applied.push({ name, material });
  }
  return applied;
}
