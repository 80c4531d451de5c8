import type { CaseInPart } from "#kiosk-ui/screens/begin/begin-draft";
import type { JobHistory } from "#kiosk-ui/screens/begin/job-history";
import type { LastBegun } from "#kiosk-ui/screens/begin/last-begun";
import type { PlanRevision } from "#shared/plan";

/** What is known for a proposal. What is null is not known. */
export interface ProposalGround {
  /** The job's earlier bakes, where a job number is given and looked up. */
  readonly job: JobHistory | null;
  /** What was begun last on this furnace. */
  readonly last: LastBegun | null;
}

/**
 * What probably goes in: a job's further bake as before but the second; a new job's first as the furnace had
 * last; without a job all as the furnace had last.
 * @example proposedCase({ job: null, last: null }) // { bake: "first" }
 */
export function proposedCase({ job, last }: ProposalGround): CaseInPart {
  const lastCase = last?.case ?? {};
  if (job === null) return { bake: "first", ...lastCase };
  if (job.bakeCount === 0) return { ...lastCase, bake: "first" };
  return { ...lastCase, ...job.lastCase, bake: "second" };
}

/** What the cards are proposed by. */
export interface CardGround {
  /** Of the job's newest bake. */
  readonly jobPlanId: number | null;
  /** Of the layers put on before this bake. */
  readonly newMaterialIds: readonly number[];
  /** Of the layers that the job has already. */
  readonly oldMaterialIds: readonly number[];
  /** Of what was begun last on this furnace. */
  readonly lastPlanId: number | null;
}

/**
 * The cards that can be fired, the one to propose first: the card of the job's last bake, unless only another
 * card is made for what is put on now; else one made for a layer, new ones first; else the card used last.
 * After it come those made for the layers, then the rest as they were.
 */
export function proposedCards(plans: readonly PlanRevision[], ground: CardGround): PlanRevision[] {
  const cards = plans.filter(({ isRetired }) => !isRetired);
  const isNew = isFor(ground.newMaterialIds);
  const isOld = isFor(ground.oldMaterialIds);
  const ofJob = cards.find(({ planId }) => planId === ground.jobPlanId);
  const isOutdone = ofJob !== undefined && !isNew(ofJob) && ofJob.materialId !== null && cards.some(isNew);
  const rank = (card: PlanRevision): number => {
    if (card === ofJob && !isOutdone) return 0;
    if (isNew(card)) return 1;
    if (isOld(card)) return 2;
    return card.planId === ground.lastPlanId ? 3 : 4;
  };
  return cards
    .map((card, index) => ({ card, index, rank: rank(card) }))
    .sort(
      (a, b) =>
        a.rank - b.rank ||
        Number(b.card.planId === ground.lastPlanId) - Number(a.card.planId === ground.lastPlanId) ||
        a.index - b.index,
    )
    .map(({ card }) => card);
}

function isFor(materialIds: readonly number[]): (card: PlanRevision) => boolean {
  return ({ materialId }) => materialId !== null && materialIds.includes(materialId);
}
