import { Router } from "express";
import type { HttpParts } from "#daemon/http/parts";
import { Refusal } from "#daemon/http/refusal";
import { parsed } from "#daemon/input";
import { jobLedger } from "#daemon/recording/job-bakes";
import { jobNumberSchema } from "#shared/bake";

/** `/api/jobs`: the layers of a job, and what each collected in its bakes. */
export function jobRoutes({ store, recorder }: HttpParts): Router {
  const router = Router();
  router.get("/:jobNumber", async (request, response) => {
    const jobNumber = parsed(jobNumberSchema, request.params.jobNumber, "The job number");
    const ledger = await jobLedger(store, recorder, jobNumber);
    if (!ledger)
      throw new Refusal(404, `There is no bake of job ${jobNumber} yet. Give its bakes this number first.`);
    response.json(ledger);
  });
  return router;
}
