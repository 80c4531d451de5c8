import type * as z from "zod";
import type { BakeDetail, BakeSummary } from "#shared/bake";
import { type BakeGlass, bakeGlassSchema } from "#shared/glass";
import { type JobLedger, jobLedgerSchema } from "#shared/layer";
import type { BakeFilter, BakePatch, GradeRequest } from "#shared/requests";
import type { Sample } from "#shared/sample";

/** What the past bakes ask of the daemon; every refusal is an `Error` with one line to show. */
export interface BakeLibrary {
  /** One page of the bakes that a filter finds, newest first, and how many it finds in all. */
  bakes(filter?: BakeFilter): Promise<{ readonly bakes: readonly BakeSummary[]; readonly total: number }>;
  bake(bakeId: number): Promise<BakeDetail>;
  /** All samples, or thinned to about `maximumPoints` for drawing. */
  bakeSamples(bakeId: number, maximumPoints?: number): Promise<readonly Sample[]>;
  changeBake(bakeId: number, patch: BakePatch): Promise<BakeDetail>;
  gradeBake(bakeId: number, request: GradeRequest): Promise<BakeDetail>;
  /** Any other question; its answer is read by the schema. */
  ask<Answer>(path: string, schema: z.ZodType<Answer>): Promise<Answer>;
}

/** A bake with its curve, as a page shows it. */
export interface OpenedBake {
  readonly detail: BakeDetail;
  readonly samples: readonly Sample[];
}

/** Points that a curve across the whole screen can show. */
const DRAWN_POINTS = 6000;

/** Fetches a bake with the curve that a screen can show. */
export async function openedBake(library: BakeLibrary, bakeId: number): Promise<OpenedBake> {
  const [detail, samples] = await Promise.all([
    library.bake(bakeId),
    library.bakeSamples(bakeId, DRAWN_POINTS),
  ]);
  return { detail, samples };
}

/** What a bake would have done to a well-built layer. */
export function glassOfBake(library: BakeLibrary, bakeId: number): Promise<BakeGlass> {
  return library.ask(`/api/bakes/${bakeId}/glass`, bakeGlassSchema);
}

/** What the layers of a job have had over its bakes. */
export function ledgerOfJob(library: BakeLibrary, jobNumber: string): Promise<JobLedger> {
  return library.ask(`/api/jobs/${encodeURIComponent(jobNumber)}`, jobLedgerSchema);
}

/** Something asked for: on its way, here, or refused with one line. */
export type Asked<Value> =
  | { readonly kind: "loading" }
  | { readonly kind: "failed"; readonly message: string }
  | { readonly kind: "ready"; readonly value: Value };

/** The one line of a refusal. */
export function refusalLine(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
