import { Router } from "express";
import { materialFit } from "#core/heat/material-fit";
import { DaemonError } from "#daemon/errors";
import type { HttpParts } from "#daemon/http/parts";
import { numberInPath, requestBody } from "#daemon/http/refusal";
import { gradedBakes } from "#daemon/recording/graded-bakes";
import { materialRequestSchema, retiredRequestSchema } from "#shared/requests";

/** `/api/materials`: the newest revision of each, new ones and further revisions, and its constants from its bakes. */
export function materialRoutes({ store, onMaterialsChanged }: HttpParts): Router {
  const router = Router();
  const idOf = (text: unknown) => numberInPath(text, "material");
  /** Every page knows of it before it is answered. */
  const told = async <Saved>(saved: Saved): Promise<Saved> => {
    await onMaterialsChanged();
    return saved;
  };

  router.get("/", async (_request, response) => {
    response.json({ materials: await store.materials.newest() });
  });
  router.post("/", async (request, response) => {
    const { material } = requestBody(materialRequestSchema, request);
    response.status(201).json(await told(await store.materials.create(material, false)));
  });
  router.post("/:id/revisions", async (request, response) => {
    const id = idOf(request.params.id);
    const { material } = requestBody(materialRequestSchema, request);
    response.status(201).json(await told(await store.materials.revise(id, material)));
  });
  router.post("/:id/retired", async (request, response) => {
    const id = idOf(request.params.id);
    const { isRetired } = requestBody(retiredRequestSchema, request);
    response.json(await told(await store.materials.retire(id, isRetired)));
  });
  router.post("/:id/fit", async (request, response) => {
    const id = idOf(request.params.id);
    const known = await store.materials.get(id);
    if (!known) throw new DaemonError("not-found", `There is no material ${id}. Choose another.`);
    response.json(materialFit(await gradedBakes(store, id), known.material));
  });
  return router;
}
