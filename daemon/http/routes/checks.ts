import { Router } from "express";
import { DaemonError } from "#daemon/errors";
import type { HttpParts } from "#daemon/http/parts";
import { numberInPath, requestBody } from "#daemon/http/refusal";
import { parsed } from "#daemon/input";
import { checkResult } from "#daemon/measuring/check-result";
import { uncorrectedTrace } from "#daemon/measuring/uncorrected-trace";
import type { KeptCheck } from "#daemon/store/check-store";
import { acceptRequestSchema, type Check, checkDueRequestSchema, checkRequestSchema } from "#shared/check";
import { type Furnace, furnaceIdSchema } from "#shared/furnace";
import type { Probe } from "#shared/probe";

/** `/api/furnaces/:id/…`: checks of its probe, and what is made of them. */
export function checkRoutes({ store, recorder, lines }: HttpParts): Router {
  const router = Router();

  const furnaceOf = (text: unknown): Furnace => {
    const id = parsed(furnaceIdSchema, text, "The furnace's id");
    const furnace = lines.furnace(id);
    if (!furnace) throw new DaemonError("not-found", `There is no furnace ${id}. Add it first.`);
    return furnace;
  };
  /** The furnace as it is kept, with a change perhaps, told its line and every page in the order of writing. */
  const statusAfter = async (furnace: Furnace, change: Partial<Furnace> = {}) => {
    lines.describe(await store.furnaces.change(furnace.id, (kept = furnace) => ({ ...kept, ...change })));
    return lines.status(furnace.id);
  };

  router.get("/:id/checks", async (request, response) => {
    response.json({ checks: await store.checks.list(furnaceOf(request.params.id).id) });
  });
  router.post("/:id/checks", async (request, response) => {
    const furnace = furnaceOf(request.params.id);
    const asked = requestBody(checkRequestSchema, request);
    const { probe, trace } = await evidence(furnace, asked);
    const check = await store.checks.add({
      furnaceId: furnace.id,
      thermocoupleType: probe.type,
      request: asked,
      result: checkResult(asked, probe, trace),
    });
    response.status(201).json(check);
  });
  router.post("/:id/checks/:checkId/accept", async (request, response) => {
    const furnace = furnaceOf(request.params.id);
    const { by } = requestBody(acceptRequestSchema, request);
    const checkId = numberInPath(request.params.checkId, "check");
    const known = await store.checks.get(furnace.id, checkId);
    if (!known) throw new DaemonError("not-found", `There is no check ${checkId} of ${furnace.name}.`);
    const refusal = acceptRefusal(known, furnace);
    if (refusal) throw new DaemonError("conflict", refusal);
    await store.checks.accept(known.check, by);
    response.json(await statusAfter(furnace));
  });
  router.post("/:id/correction/withdraw", async (request, response) => {
    const furnace = furnaceOf(request.params.id);
    const { by } = requestBody(acceptRequestSchema, request);
    await store.checks.withdraw(furnace.id, by);
    response.json(await statusAfter(furnace));
  });
  router.get("/:id/corrections", async (request, response) => {
    response.json({ corrections: await store.checks.corrections(furnaceOf(request.params.id).id) });
  });
  router.put("/:id/check-due", async (request, response) => {
    const furnace = furnaceOf(request.params.id);
    const { dueEpochMilliseconds } = requestBody(checkDueRequestSchema, request);
    response.json(await statusAfter(furnace, { checkDueEpochMilliseconds: dueEpochMilliseconds }));
  });
  return router;

  /** The probe that was checked, and the uncorrected trace of the bake that is named. */
  async function evidence(
    furnace: Furnace,
    asked: Check["request"],
  ): Promise<{ probe: Probe; trace: ReturnType<typeof uncorrectedTrace> }> {
    if (asked.kind === "reference" || asked.reading.kind === "by-hand")
      return { probe: furnace.probe, trace: [] };
    const { bake, probe } = await recorder.detail(asked.reading.bakeId);
    if (bake.furnaceId !== furnace.id)
      throw new DaemonError(
        "conflict",
        `Bake ${bake.id} was on ${bake.furnaceName}: name a bake of ${furnace.name}.`,
      );
    const { samples } = await recorder.samplesAfter(bake.id, -1, Number.MAX_SAFE_INTEGER - 1);
    return { probe: probe ?? furnace.probe, trace: uncorrectedTrace(samples, probe) };
  }
}

/** Why a check cannot become the correction of a furnace; null when it can. */
function acceptRefusal({ check, thermocoupleType }: KeptCheck, { name, probe }: Furnace): string | null {
  const { id, request, result } = check;
  if (request.kind === "melting-wire" && request.metal === "silver" && request.atmosphere === "air")
    return `Check ${id} is of silver in air, which melts lower by an unknown amount: repeat it in vacuum, or with gold.`;
  if (result.verdict === "cannot-tell")
    return `Check ${id} is less sure (± ${result.expandedUncertaintyKelvin.toFixed(1)} K) than its limit of ${result.limitKelvin} K: repeat it with a slower climb or a better reference.`;
  if (thermocoupleType !== probe.type)
    return `Check ${id} was of ${typeWords(thermocoupleType)} and ${name} has ${typeWords(probe.type)} now: check it again.`;
  return null;
}

function typeWords(type: Probe["type"]): string {
  return type === null ? "a thermocouple of unknown type" : `a thermocouple of type ${type}`;
}
