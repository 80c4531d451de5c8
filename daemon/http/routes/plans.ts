import { Router } from "express";
import { cardRefusal } from "#daemon/http/card-refusal";
import type { HttpParts } from "#daemon/http/parts";
import { numberInPath, Refusal, requestBody } from "#daemon/http/refusal";
import { newestCard } from "#daemon/recording/fitted-plan";
import { type CardFile, cardFileSchema } from "#shared/card-file";
import type { Card } from "#shared/plan";
import { cardRequestSchema, copyRequestSchema, retiredRequestSchema } from "#shared/requests";

/** `/api/plans`: the newest revision of each card, new ones and further revisions, and cards as files. */
export function planRoutes({ store, onPlansChanged, onMaterialsChanged }: HttpParts): Router {
  const router = Router();
  const idOf = (text: unknown) => numberInPath(text, "plan");
  const refuseUnfit = async (card: Card) => {
    const refusal = await cardRefusal(card, store);
    if (refusal !== null) throw new Refusal(422, refusal);
  };
  /** Every page knows of it before it is answered. */
  const told = async <Saved>(saved: Saved): Promise<Saved> => {
    await onPlansChanged();
    return saved;
  };

  router.get("/", async (_request, response) => {
    response.json({ plans: await store.plans.newest() });
  });
  router.post("/", async (request, response) => {
    const { card } = requestBody(cardRequestSchema, request);
    await refuseUnfit(card);
    response.status(201).json(await told(await store.plans.create(card, false)));
  });
  router.post("/import", async (request, response) => {
    const file = requestBody(cardFileSchema, request);
    const card = { ...file.card, adaptations: travelling(file.card), materialId: null };
    await refuseUnfit(card);
    const material = file.material && (await store.materials.sameOrNew(file.material));
    if (material) await onMaterialsChanged();
    const plan = await store.plans.create({ ...card, materialId: material?.materialId ?? null }, false);
    response.status(201).json({ plan: await told(plan), material });
  });
  router.get("/:id/revisions", async (request, response) => {
    const { planId } = await newestCard(store, idOf(request.params.id));
    response.json({ revisions: await store.plans.revisions(planId) });
  });
  router.post("/:id/revisions", async (request, response) => {
    const id = idOf(request.params.id);
    const { card } = requestBody(cardRequestSchema, request);
    await refuseUnfit(card);
    response.status(201).json(await told(await store.plans.revise(id, card)));
  });
  router.post("/:id/copy", async (request, response) => {
    const id = idOf(request.params.id);
    const { name } = requestBody(copyRequestSchema, request);
    response.status(201).json(await told(await store.plans.copy(id, name)));
  });
  router.post("/:id/retired", async (request, response) => {
    const id = idOf(request.params.id);
    const { isRetired } = requestBody(retiredRequestSchema, request);
    response.json(await told(await store.plans.retire(id, isRetired)));
  });
  router.get("/:id/file", async (request, response) => {
    const card = await newestCard(store, idOf(request.params.id));
    const material = card.materialId === null ? undefined : await store.materials.get(card.materialId);
    response.attachment(`${card.plan.name.replace(/[^\p{L}\p{N}]+/gu, "-")}.card.json`);
    response.json(cardFile(card, material?.material ?? null));
  });
  return router;
}

function cardFile(card: Card, material: CardFile["material"]): CardFile {
  const { plan, limits } = card;
  return {
    format: "bakeside-card",
    version: 1,
    card: { plan, adaptations: travelling(card), limits },
    material,
  };
}

/** What was learned on one house's furnace is of no use, or worse, on another's of the same id. */
function travelling({ adaptations }: Pick<Card, "adaptations">): Card["adaptations"] {
  return adaptations.filter(({ when }) => when.kind !== "furnace");
}
