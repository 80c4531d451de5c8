import * as z from "zod";
import { materialRevisionSchema } from "#shared/material";

export const layerNameSchema = z.string().trim().min(1).max(40);

/** A layer that was put on before a bake, with its material as it was then. */
export const bakeLayerSchema = z.object({ name: layerNameSchema, material: materialRevisionSchema });
export type BakeLayer = z.infer<typeof bakeLayerSchema>;

/** What a layer collected in one bake. */
export const layerPortionSchema = z.object({
  bakeId: z.number().int(),
  /** By the chamber's temperature, s at the material's reference. */
  chamberEquivalentSeconds: z.number().nonnegative(),
  /** By the estimated temperature of the ware. */
  wareEquivalentSeconds: z.number().nonnegative().nullable(),
  flowLengthMicrometres: z.number().nonnegative().nullable(),
});
export type LayerPortion = z.infer<typeof layerPortionSchema>;

/** GET /api/jobs/:jobNumber → the job's layers with what each collected, and its bakes, oldest first. */
export const jobLedgerSchema = z.object({
  jobNumber: z.string(),
  bakes: z.array(
    z.object({
      bakeId: z.number().int(),
      startedAtEpochMilliseconds: z.number(),
      isOpen: z.boolean(),
      planName: z.string().nullable(),
      furnaceName: z.string(),
      heatWorkRatio: z.number().nullable(),
    }),
  ),
  layers: z.array(bakeLayerSchema.extend({ portions: z.array(layerPortionSchema) })),
});
export type JobLedger = z.infer<typeof jobLedgerSchema>;
