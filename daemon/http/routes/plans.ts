import { Router } from "express";
import { planFindings } from "#core/plan/findings";
import type { HttpParts } from "#daemon/http/parts";
import { numberInPath, Refusal, requestBody } from "#daemon/http/refusal";
import type { Plan } from "#shared/plan";
import { planRequestSchema } from "#shared/requests";

/** `/api/plans`: the newest revision of each, new ones, and further revisions. */
export function planRoutes({ store, onPlansChanged }: HttpParts): Router {
  const router = Router();

  router.get("/", async (_request, response) => {
    response.json({ plans: await store.plans.newest() });
  });
  router.post("/", async (request, response) => {
    const { plan } = requestBody(planRequestSchema, request);
    refuseUnfirable(plan);
    const saved = await store.plans.create(plan, false);
    await onPlansChanged();
    response.status(201).json(saved);
  });
  router.post("/:id/revisions", async (request, response) => {
    const id = numberInPath(request.params.id, "plan");
    const { plan } = requestBody(planRequestSchema, request);
    refuseUnfirable(plan);
    const saved = await store.plans.revise(id, plan);
    await onPlansChanged();
    response.status(201).json(saved);
  });
  return router;
}

function refuseUnfirable(plan: Plan): void {
  const refused = planFindings(plan).find((finding) => finding.refuses);
  if (refused) throw new Refusal(422, `This plan cannot be fired: ${refused.sentence}.`);
}
