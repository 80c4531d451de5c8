import * as z from "zod";
import { jobNumberSchema } from "#shared/bake";
import { bakeCaseSchema } from "#shared/bake-case";
import { furnaceIdSchema, serialFramingSchema } from "#shared/furnace";
import { gradeWordSchema } from "#shared/grade";
import { layerNameSchema } from "#shared/layer";
import { materialSchema } from "#shared/material";
import { cardSchema } from "#shared/plan";
import { probeSettingsSchema } from "#shared/probe";

/** Layers that were put on before a bake, by material. */
const layersSchema = z
  .array(z.strictObject({ name: layerNameSchema, materialId: z.number().int().positive() }))
  .max(8);

/** POST /api/furnaces/:furnaceId/begin → BakeDetail */
export const beginRequestSchema = z.strictObject({
  planId: z.number().int().positive(),
  /** The revision that was seen; another one since is refused instead of begun unseen. */
  revision: z.number().int().positive().optional(),
  /** What the card is fitted to; null fires its base plan. */
  case: bakeCaseSchema.nullable().default(null),
  jobNumber: jobNumberSchema.nullable().default(null),
  layers: layersSchema.default([]),
});
export type BeginRequest = z.input<typeof beginRequestSchema>;

/** PATCH /api/bakes/:bakeId → BakeDetail. A plan may be given before, during or after. */
export const bakePatchSchema = z.strictObject({
  planId: z.number().int().positive().nullable().optional(),
  /** What the plan is fitted to; together with `planId`. */
  case: bakeCaseSchema.nullable().optional(),
  layers: layersSchema.optional(),
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

/** POST /api/plans (a new card) and POST /api/plans/:planId/revisions → PlanRevision */
export const cardRequestSchema = z.strictObject({ card: cardSchema });
export type CardRequest = z.input<typeof cardRequestSchema>;

/** POST /api/plans/:planId/copy → PlanRevision, of its own, under another name */
export const copyRequestSchema = z.strictObject({ name: z.string().trim().min(1).max(80) });

/** POST /api/plans/:planId/retired and /api/materials/:materialId/retired → the revision */
export const retiredRequestSchema = z.strictObject({ isRetired: z.boolean() });

/** POST /api/materials (a new one) and POST /api/materials/:materialId/revisions → MaterialRevision */
export const materialRequestSchema = z.strictObject({ material: materialSchema });
export type MaterialRequest = z.input<typeof materialRequestSchema>;

/** GET /api/furnaces/:furnaceId/experience: what its earlier bakes tell for a new one */
export const experienceSchema = z.object({
  bakes: z.number().int().nonnegative(),
  /** The steepest whole climb of them; null when none is known. */
  fastestClimbKelvinPerMinute: z.number().positive().nullable(),
  /** Its usual fall from the top when nothing leads it; null when none is known. */
  coolingKelvinPerMinute: z.number().positive().nullable(),
});
export type FurnaceExperience = z.infer<typeof experienceSchema>;

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
