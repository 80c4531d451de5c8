import { caseText } from "#kiosk-ui/components/case-text";
import type { TemperatureUnit } from "#kiosk-ui/format";
import { type BeginDraft, type CaseInPart, caseInPart, wholeCase } from "#kiosk-ui/screens/begin/begin-draft";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";
import { type FittedCard, fittedCard } from "#kiosk-ui/screens/begin/fitted-card";
import type { JobHistory } from "#kiosk-ui/screens/begin/job-history";
import type { LastBegun } from "#kiosk-ui/screens/begin/last-begun";
import { proposedCards, proposedCase } from "#kiosk-ui/screens/begin/proposal";
import type { BakeCase } from "#shared/bake-case";
import type { MaterialRevision } from "#shared/material";
import type { PlanRevision } from "#shared/plan";

/** What is known while a bake is prepared. What is null is not known. */
export interface BeginGround {
  readonly furnaceId: string;
  readonly plans: readonly PlanRevision[];
  readonly materials: readonly MaterialRevision[];
  /** What the job has had. */
  readonly history: JobHistory | null;
  /** What this page began last on the furnace. */
  readonly last: LastBegun | null;
  /** The furnace's steepest whole climb, K/min. */
  readonly fastestClimbKelvinPerMinute: number | null;
  readonly coolingKelvinPerMinute: number;
  readonly unit: TemperatureUnit;
}

/** What is said so far, what is proposed, and what comes of both. */
export interface BeginView {
  readonly caseInPart: CaseInPart;
  /** What the card is fitted to; null fires its base plan. */
  readonly case: BakeCase | null;
  /** The cards that can be fired, the proposed one first. */
  readonly cards: readonly PlanRevision[];
  /** The chosen card, else the proposed one; null where there is none. */
  readonly card: PlanRevision | null;
  /** The card's own material. */
  readonly material: MaterialRevision | null;
  /** What goes in, a line each: the case, the job, the layers. */
  readonly goesIn: readonly string[];
}

/** What comes of what somebody has said so far. */
export function beginView(draft: BeginDraft, ground: BeginGround): BeginView {
  const { history, last, materials } = ground;
  const inPart = caseInPart(proposedCase({ job: history, last }), draft.chosen);
  const bakeCase = draft.isWithoutCase ? null : wholeCase(inPart);
  const cards = proposedCards(ground.plans, {
    jobPlanId: history?.lastPlanId ?? null,
    newMaterialIds: draft.layers.map(({ materialId }) => materialId),
    oldMaterialIds: history?.layers.map(({ materialId }) => materialId) ?? [],
    lastPlanId: last?.planId ?? null,
  });
  const card = cards.find(({ planId }) => planId === draft.planId) ?? cards[0] ?? null;
  const material = materials.find(({ materialId }) => materialId === card?.materialId) ?? null;
  return {
    caseInPart: inPart,
    case: bakeCase,
    cards,
    card,
    material,
    goesIn: goesInLines(draft, bakeCase),
  };
}

/** The card in view, fitted to what goes in; null where there is none. */
export function fittedInView(
  view: BeginView,
  { layers }: BeginDraft,
  ground: BeginGround,
): FittedCard | null {
  const { furnaceId, fastestClimbKelvinPerMinute, coolingKelvinPerMinute, history, materials, unit } = ground;
  if (!view.card) return null;
  return fittedCard(view.card, {
    case: view.case,
    furnaceId,
    material: view.material?.material ?? null,
    fastestClimbKelvinPerMinute,
    coolingKelvinPerMinute,
    accounts: history?.layers ?? [],
    newLayers: layers.flatMap(({ name, materialId }) =>
      materials.flatMap((kept) => (kept.materialId === materialId ? { name, material: kept.material } : [])),
    ),
    unit,
  });
}

function goesInLines({ job, layers }: BeginDraft, bakeCase: BakeCase | null): string[] {
  return [
    bakeCase ? asTitle(caseText(bakeCase)) : beginWords.noCase,
    job.trim() ? beginWords.job(job.trim()) : beginWords.noJob,
    ...(layers.length > 0 ? [beginWords.newLayers(layers.map(({ name }) => name).join(", "))] : []),
  ];
}

/** Begins with a capital. */
function asTitle(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}
