import { Router } from "express";
import type { HttpParts } from "#daemon/http/parts";
import { programVersion } from "#daemon/program";

/** `/api/health`: whether the store answers, and how the lines are. */
export function healthRoutes({ store, lines, recorder }: HttpParts): Router {
  const router = Router();
  router.get("/", async (_request, response) => {
    await store.plans.newest();
    response.json({
      status: "ok",
      version: programVersion(),
      uptimeSeconds: Math.round(process.uptime()),
      openBakes: recorder.openBakes().length,
      furnaces: lines.statuses().map(({ furnace, link }) => ({ id: furnace.id, link: link.kind })),
    });
  });
  return router;
}
