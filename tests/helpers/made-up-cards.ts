import type { Express, Response } from "express";
import { asSentence, cardConflicts } from "#kiosk-ui/screens/plans/card-conflicts";
import { cardFileSchema } from "#shared/card-file";
import type { Material, MaterialRevision } from "#shared/material";
import type { MaterialFit } from "#shared/material-fit";
import type { Card, PlanRevision } from "#shared/plan";
import {
  cardRequestSchema,
  copyRequestSchema,
  materialRequestSchema,
  retiredRequestSchema,
} from "#shared/requests";

/** What the card routes of a stub work on: both lists are changed in place. */
export interface CardHouse {
  /** The newest revision of every card. */
  readonly plans: PlanRevision[];
  /** The newest revision of every material. */
  readonly materials: MaterialRevision[];
  readonly tellPlans: (plans: PlanRevision[]) => void;
  readonly tellMaterials: (materials: MaterialRevision[]) => void;
}

/** An invented fit: two dozen bakes that tell the energy roughly. */
export const MADE_UP_FIT: MaterialFit = {
  kind: "fitted",
  bakes: 24,
  activationEnergyJoulesPerMole: 311_000,
  activationEnergyInterval: { low: 268_000, high: 357_000 },
  window: { leastEquivalentSeconds: 74, mostEquivalentSeconds: 210 },
  sentence:
    "From 24 graded bakes: activation energy 311 kJ/mol, with 90 % likelihood between 268 and 357. Right from 74 to 210 s at 760 °C.",
};

/** An invented fit of a material that was hardly fired yet. */
export const MADE_UP_FIT_TOO_FEW: MaterialFit = {
  kind: "not-enough",
  bakes: 3,
  sentence: "Only 3 graded bakes to go by: a fit needs 6 or more.",
};

/** Earlier revisions of a card, invented: a top 10 K lower, and before that no adaptations. */
export function madeUpRevisions(newest: PlanRevision): PlanRevision[] {
  const day = 86_400_000;
  const back = (revision: number, changes: Partial<PlanRevision>): PlanRevision => ({
    ...newest,
    revision,
    savedAtEpochMilliseconds: newest.savedAtEpochMilliseconds - (newest.revision - revision) * 19 * day,
    ...changes,
  });
  const lower = newest.plan.steps.map((step, index) =>
    step.kind === "climb" && index === 0 ? { ...step, toCelsius: step.toCelsius - 10 } : step,
  );
  const earlier = [
    back(newest.revision - 1, { plan: { ...newest.plan, steps: lower } }),
    back(newest.revision - 2, {
      plan: { ...newest.plan, steps: lower, dryingSeconds: newest.plan.dryingSeconds - 60 },
      adaptations: newest.adaptations.slice(0, 1),
      limits: [],
    }),
  ].filter(({ revision }) => revision >= 1);
  return [newest, ...earlier];
}

/** Cards and materials kept in memory, with the routes that change them. */
export function addCardRoutes(application: Express, house: CardHouse): void {
  const history = new Map(house.plans.map((plan) => [plan.planId, madeUpRevisions(plan)]));
  addRoutesOfCards(application, house, history);
  addRoutesOfMaterials(application, house);
}

function addRoutesOfCards(
  application: Express,
  house: CardHouse,
  history: Map<number, PlanRevision[]>,
): void {
  const known = (id: string) => house.plans.find(({ planId }) => planId === Number(id));
  const save = (planId: number, card: Card): PlanRevision => {
    const before = known(String(planId));
    const revision: PlanRevision = {
      ...card,
      planId,
      revision: (before?.revision ?? 0) + 1,
      savedAtEpochMilliseconds: Date.now(),
      isDemonstration: false,
      isRetired: before?.isRetired ?? false,
    };
    history.set(planId, [revision, ...(history.get(planId) ?? [])]);
    return keep(revision);
  };
  const keep = (revision: PlanRevision): PlanRevision => {
    replaceIn(house.plans, ({ planId }) => planId === revision.planId, revision);
    house.tellPlans(house.plans);
    return revision;
  };
  const nextId = () => Math.max(0, ...house.plans.map(({ planId }) => planId)) + 1;
  const answer = (response: Response, card: Card, planId: number) => {
    const [conflict] = cardConflicts(card);
    if (conflict) response.status(422).json({ error: asSentence(conflict) });
    else response.json(save(planId, card));
  };
  application.post("/api/plans", (request, response) => {
    answer(response, cardRequestSchema.parse(request.body).card, nextId());
  });
  application.post("/api/plans/import", (request, response) => {
    const { card, material } = cardFileSchema.parse(request.body);
    const kept = material && saveMaterialIn(house, null, material);
    const plan = save(nextId(), { ...card, materialId: kept?.materialId ?? null });
    response.json({ plan, material: kept });
  });
  application.get("/api/plans/:id/revisions", (request, response) => {
    const found = known(request.params.id);
    if (found) response.json({ revisions: history.get(found.planId) ?? [found] });
    else response.status(404).json({ error: `There is no plan ${request.params.id}. Look in Plans.` });
  });
  application.post("/api/plans/:id/revisions", (request, response) => {
    answer(response, cardRequestSchema.parse(request.body).card, Number(request.params.id));
  });
  application.post("/api/plans/:id/copy", (request, response) => {
    const { name } = copyRequestSchema.parse(request.body);
    const found = known(request.params.id);
    if (found) response.json(save(nextId(), { ...cardOf(found), plan: { ...found.plan, name } }));
  });
  application.post("/api/plans/:id/retired", (request, response) => {
    const { isRetired } = retiredRequestSchema.parse(request.body);
    const found = known(request.params.id);
    if (found) response.json(keep({ ...found, isRetired }));
  });
  application.get("/api/plans/:id/file", (request, response) => {
    const found = known(request.params.id);
    if (!found) return;
    const { plan, adaptations, limits } = found;
    const material = house.materials.find(({ materialId }) => materialId === found.materialId);
    response.attachment("card.json");
    response.json({
      format: "bakeside-card",
      version: 1,
      card: { plan, adaptations, limits },
      material: material?.material ?? null,
    });
  });
}

function addRoutesOfMaterials(application: Express, house: CardHouse): void {
  application.post("/api/materials", (request, response) => {
    response.json(saveMaterialIn(house, null, materialRequestSchema.parse(request.body).material));
  });
  application.post("/api/materials/:id/revisions", (request, response) => {
    const { material } = materialRequestSchema.parse(request.body);
    response.json(saveMaterialIn(house, Number(request.params.id), material));
  });
  application.post("/api/materials/:id/retired", (request, response) => {
    const { isRetired } = retiredRequestSchema.parse(request.body);
    const found = house.materials.find(({ materialId }) => materialId === Number(request.params.id));
    if (found) response.json(keepMaterial(house, { ...found, isRetired }));
  });
  application.post("/api/materials/:id/fit", (request, response) => {
    response.json(request.params.id === "2" ? MADE_UP_FIT : MADE_UP_FIT_TOO_FEW);
  });
}

function saveMaterialIn(house: CardHouse, id: number | null, material: Material): MaterialRevision {
  const before = house.materials.find(({ materialId }) => materialId === id);
  return keepMaterial(house, {
    materialId: id ?? Math.max(0, ...house.materials.map(({ materialId }) => materialId)) + 1,
    revision: (before?.revision ?? 0) + 1,
    material,
    savedAtEpochMilliseconds: Date.now(),
    isDemonstration: false,
    isRetired: before?.isRetired ?? false,
  });
}

function keepMaterial(house: CardHouse, revision: MaterialRevision): MaterialRevision {
  replaceIn(house.materials, ({ materialId }) => materialId === revision.materialId, revision);
  house.tellMaterials(house.materials);
  return revision;
}

function cardOf({ plan, adaptations, limits, materialId }: PlanRevision): Card {
  return { plan, adaptations, limits, materialId };
}

function replaceIn<Value>(list: Value[], isIt: (value: Value) => boolean, value: Value): void {
  const at = list.findIndex(isIt);
  if (at < 0) list.push(value);
  else list[at] = value;
}
