import { Router } from "express";
import { systemClock } from "#daemon/clock";
import { DaemonError, type DaemonErrorCode } from "#daemon/errors";
import type { HttpParts } from "#daemon/http/parts";
import { Refusal, requestBody } from "#daemon/http/refusal";
import { Listening } from "#daemon/listening";
import { listenRequestSchema } from "#shared/listening";

/** A port that cannot be used is no fault of the daemon. */
const STATUS: Partial<Record<DaemonErrorCode, number>> = {
  "port-missing": 404,
  "file-missing": 404,
  "port-busy": 409,
  "port-forbidden": 422,
  "port-unusable": 422,
  "file-unreadable": 422,
};

/** `/api/listen`: a few seconds of an unknown port, and the ways to read it; given up when nobody waits for it. */
export function listeningRoutes({ lines }: HttpParts, listening = new Listening(lines, systemClock)): Router {
  const router = Router();
  router.post("/", async (request, response) => {
    const asked = requestBody(listenRequestSchema, request);
    const givenUp = new AbortController();
    response.once("close", () => givenUp.abort());
    response.json(await listening.listen(asked, givenUp.signal).catch(refuse));
  });
  return router;
}

function refuse(error: unknown): never {
  const status = error instanceof DaemonError ? STATUS[error.code] : undefined;
  throw status === undefined ? error : new Refusal(status, (error as DaemonError).message);
}
