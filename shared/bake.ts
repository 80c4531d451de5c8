import * as z from "zod";
import { bakeCaseSchema } from "#shared/bake-case";
import { comparisonSchema } from "#shared/comparison";
import { gradeSchema, gradeWordSchema } from "#shared/grade";
import { bakeLayerSchema } from "#shared/layer";
import { bakePlanSchema } from "#shared/plan";
import { probeSchema } from "#shared/probe";
import { sensorFaultSchema } from "#shared/sensor-fault";

/** A lab's ticket number; never a patient's name. */
export const jobNumberSchema = z
  .string()
  .trim()
  .min(1)
  .max(40)
  .regex(/^[\p{L}\p{N} ._/-]+$/u, "letters, digits, spaces, . _ / and - only");

/**
 * `waiting`: begun by hand, the climb not yet seen. `running`: the chamber moves.
 * `finished`: closed, by a return to rest or by hand.
 */
export const bakeStateSchema = z.enum(["waiting", "running", "finished"]);

/** A bake as the list shows it. */
export const bakeSummarySchema = z.object({
  id: z.number().int(),
  furnaceId: z.string(),
  furnaceName: z.string(),
  planId: z.number().int().nullable(),
  planRevision: z.number().int().nullable(),
  planName: z.string().nullable(),
  jobNumber: z.string().nullable(),
  state: bakeStateSchema,
  /** Wall clock at the bake's zero; a label only, never used to reckon lengths. */
  startedAtEpochMilliseconds: z.number(),
  lengthSeconds: z.number(),
  /** Samples recorded so far; the newest has sequence `sampleCount - 1`. */
  sampleCount: z.number().int().nonnegative(),
  peakCelsius: z.number().nullable(),
  heatWorkRatio: z.number().nullable(),
  equivalentOffsetKelvin: z.number().nullable(),
  gapSeconds: z.number(),
  /** The newest grade. */
  grade: gradeWordSchema.nullable(),
  isDemonstration: z.boolean(),
  /** What was fired; null where nobody said. */
  case: bakeCaseSchema.nullable(),
});
export type BakeSummary = z.infer<typeof bakeSummarySchema>;

/** A bake opened: everything but its samples. */
export const bakeDetailSchema = z.object({
  bake: bakeSummarySchema,
  plan: bakePlanSchema.nullable(),
  comparison: comparisonSchema.nullable(),
  grades: z.array(gradeSchema),
  note: z.string().nullable(),
  /** The probe it ran with; null for a bake of before probes were kept. */
  probe: probeSchema.nullable(),
  /** Counted while it was recorded. */
  sensorFaults: z.array(sensorFaultSchema),
  /** Put on before this bake; those of the job's earlier bakes went through it, too. */
  layers: z.array(bakeLayerSchema),
});
export type BakeDetail = z.infer<typeof bakeDetailSchema>;
