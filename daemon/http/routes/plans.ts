import { Router } from "express";
import { planFindings } from "#core/plan/findings";
import type { HttpParts } from "#daemon/http/parts";
import { numberInPath, Refusal, requestBody } from "#daemon/http/refusal";
import type { Plan } from "#shared/plan";
import { cardRequestSchema } from "#shared/requests";

/** `/api/plans`: the newest revision of each, new ones, and further revisions. */
export function planRoutes({ store, onPlansChanged }: HttpParts): Router {
  const router = Router();

  router.get("/", async (_request, response) => {
    response.json({ plans: await store.plans.newest() });
  });
  router.post("/", async (request, response) => {
    const { card } = requestBody(cardRequestSchema, request);
    refuseUnfirable(card.plan);
    const saved = await store.plans.create(card, false);
    await onPlansChanged();
    response.status(201).json(saved);
  });
  router.post("/:id/revisions", async (request, response) => {
    const id = numberInPath(request.params.id, "plan");
    const { card } = requestBody(cardRequestSchema, request);
    refuseUnfirable(card.plan);
    const saved = await store.plans.revise(id, card);
    await onPlansChanged();
    response.status(201).json(saved);
  });
  return router;
}

function refuseUnfirable(plan: Plan): void {
  const refused = planFindings(plan).find((finding) => finding.refuses);
  if (refused) throw new Refusal(422, `This plan cannot be fired: ${refused.sentence}.`);
}
