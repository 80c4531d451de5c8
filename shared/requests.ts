import * as z from "zod";
import { jobNumberSchema } from "#shared/bake";
import { furnaceIdSchema, serialFramingSchema } from "#shared/furnace";
import { gradeWordSchema } from "#shared/grade";
import { planSchema } from "#shared/plan";
import { probeSettingsSchema } from "#shared/probe";

/** POST /api/furnaces/:furnaceId/begin → BakeDetail */
export const beginRequestSchema = z.strictObject({
  planId: z.number().int().positive(),
  jobNumber: jobNumberSchema.nullable().default(null),
});
export type BeginRequest = z.input<typeof beginRequestSchema>;

/** PATCH /api/bakes/:bakeId → BakeDetail. A plan may be given before, during or after. */
export const bakePatchSchema = z.strictObject({
  planId: z.number().int().positive().nullable().optional(),
  jobNumber: jobNumberSchema.nullable().optional(),
  note: z.string().trim().max(500).nullable().optional(),
});
export type BakePatch = z.input<typeof bakePatchSchema>;

/** POST /api/bakes/:bakeId/grades → BakeDetail */
export const gradeRequestSchema = z.strictObject({
  grade: gradeWordSchema,
  note: z.string().trim().max(500).nullable().default(null),
  by: z.string().trim().max(40).nullable().default(null),
});
export type GradeRequest = z.input<typeof gradeRequestSchema>;

/** GET /api/bakes?… → { bakes: BakeSummary[], total } newest first */
export const bakeFilterSchema = z.strictObject({
  furnaceId: furnaceIdSchema.optional(),
  planId: z.coerce.number().int().positive().optional(),
  grade: z.union([gradeWordSchema, z.literal("none")]).optional(),
  /** Part of a job number. */
  job: z.string().trim().max(40).optional(),
  fromEpochMilliseconds: z.coerce.number().int().optional(),
  toEpochMilliseconds: z.coerce.number().int().optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  offset: z.coerce.number().int().min(0).max(1_000_000).default(0),
});
export type BakeFilter = z.input<typeof bakeFilterSchema>;

/** POST /api/plans (a new plan) and POST /api/plans/:planId/revisions → PlanRevision */
export const planRequestSchema = z.strictObject({ plan: planSchema });

/** PUT /api/furnaces/:furnaceId → FurnaceStatus */
export const furnaceRequestSchema = z.strictObject({
  name: z.string().trim().min(1).max(40),
  port: z.string().min(1).max(300).nullable(),
  baudRate: z.number().int().min(50).max(4_000_000).default(9600),
  framing: serialFramingSchema.default("8N1"),
  format: z.string().min(1).max(500).default("auto"),
  /** What is left out stays as it is. */
  probe: probeSettingsSchema.partial().optional(),
});

/** Every refusal of the daemon's HTTP side: one line: what, where, how to mend. */
export const refusalSchema = z.object({ error: z.string() });
