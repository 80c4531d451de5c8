import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { type Response, Router } from "express";
import { z } from "zod";
import { decimate } from "#core/trace/decimate";
import { bakeCsv, bakeJson, type ReadSamples, samplesJson } from "#daemon/bake-file";
import { DaemonError } from "#daemon/errors";
import { bakeGlass } from "#daemon/http/bake-glass";
import type { HttpParts } from "#daemon/http/parts";
import { numberInPath, requestBody } from "#daemon/http/refusal";
import { parsed } from "#daemon/input";
import type { BakeDetail } from "#shared/bake";
import type { MaterialRevision } from "#shared/material";
import { bakeFilterSchema, bakePatchSchema, gradeRequestSchema } from "#shared/requests";

const samplesQuerySchema = z.strictObject({
  maximumPoints: z.coerce.number().int().min(4).max(100_000).optional(),
});

const glassQuerySchema = z.strictObject({ materialId: z.coerce.number().int().positive().optional() });

/** What `decimate` keeps of one column at most. */
const POINTS_PER_COLUMN = 4;

/** `/api/bakes`: past and open bakes, their samples, grades and files. */
export function bakeRoutes({ store, recorder }: HttpParts): Router {
  const router = Router();
  const idOf = (text: unknown) => numberInPath(text, "bake");
  const reader =
    (id: number): ReadSamples =>
    (afterSequence, limit) =>
      store.bakes.samples(id, afterSequence, limit);

  router.get("/", async (request, response) => {
    response.json(await store.bakes.list(parsed(bakeFilterSchema, request.query, "The filter")));
  });
  router.get("/:id", async (request, response) => {
    response.json(await recorder.detail(idOf(request.params.id)));
  });
  router.get("/:id/samples", async (request, response) => {
    const { maximumPoints } = parsed(samplesQuerySchema, request.query, "The question");
    const { bake } = await recorder.detail(idOf(request.params.id));
    if (maximumPoints === undefined) {
      await send(response, "application/json", enclosed(samplesJson(reader(bake.id))));
      return;
    }
    const columns = Math.max(1, Math.floor(maximumPoints / POINTS_PER_COLUMN));
    response.json({ samples: decimate(await store.bakes.samples(bake.id), columns) });
  });
  router.get("/:id/glass", async (request, response) => {
    const { materialId } = parsed(glassQuerySchema, request.query, "The question");
    const detail = await recorder.detail(idOf(request.params.id));
    const material = await materialAsked(detail, materialId);
    const { samples } = await recorder.samplesAfter(detail.bake.id, -1, Number.MAX_SAFE_INTEGER);
    response.json(bakeGlass(detail, samples, material));
  });
  router.get("/:id/export.csv", async (request, response) => {
    const { bake } = await recorder.detail(idOf(request.params.id));
    response.attachment(`bake-${bake.id}.csv`);
    await send(response, "text/csv; charset=utf-8", bakeCsv(reader(bake.id)));
  });
  router.get("/:id/export.json", async (request, response) => {
    const detail = await recorder.detail(idOf(request.params.id));
    response.attachment(`bake-${detail.bake.id}.json`);
    await send(response, "application/json", bakeJson(detail, reader(detail.bake.id)));
  });
  router.patch("/:id", async (request, response) => {
    const id = idOf(request.params.id);
    response.json(await recorder.assign(id, requestBody(bakePatchSchema, request)));
  });
  router.post("/:id/grades", async (request, response) => {
    const id = idOf(request.params.id);
    response.json(await recorder.grade(id, requestBody(gradeRequestSchema, request)));
  });
  router.post("/:id/close", async (request, response) => {
    response.json(await recorder.closeBake(idOf(request.params.id)));
  });
  return router;

  /** The material that is asked for as it is now, else that of the bake's plan as it was then. */
  async function materialAsked(
    { bake, plan }: BakeDetail,
    materialId: number | undefined,
  ): Promise<MaterialRevision> {
    const material = materialId === undefined ? plan?.material : await store.materials.get(materialId);
    if (material) return material;
    if (materialId === undefined)
      throw new DaemonError(
        "conflict",
        `Nothing says of what material bake ${bake.id} was. Choose one, or give the bake a plan that names it.`,
      );
    throw new DaemonError("not-found", `There is no material ${materialId}. Choose another.`);
  }
}

/** Streams text; when the store fails half way, the connection breaks, so that no half file passes for a whole. */
async function send(response: Response, type: string, text: AsyncIterable<string>): Promise<void> {
  response.type(type);
  await pipeline(Readable.from(text), response);
}

async function* enclosed(members: AsyncIterable<string>): AsyncGenerator<string> {
  yield "{";
  yield* members;
  yield "}";
}
