import * as z from "zod";
import { frameworkSchema } from "#shared/bake-case";
import { materialRevisionSchema } from "#shared/material";

const nullableNumber = z.number().nullable();

/** What a trace alone would have done to a well-built layer: `core/heat/glass-outcome.ts`. */
export const glassOutcomeSchema = z.object({
  heatWorkEquivalentSeconds: z.number().nonnegative(),
  flowLengthMicrometres: nullableNumber,
  closure: z.object({ atSeconds: z.number(), celsius: z.number(), hectopascals: nullableNumber }).nullable(),
  porosityFraction: nullableNumber,
  poreRadiusMicrometres: nullableNumber,
  reflectanceFraction: nullableNumber,
  edgeRadiusMicrometres: nullableNumber,
});
export type GlassOutcome = z.infer<typeof glassOutcomeSchema>;

export const wareSchema = z.object({
  framework: frameworkSchema,
  grams: z.number().positive(),
  wallMillimetres: z.number().positive(),
});
export type Ware = z.infer<typeof wareSchema>;

/** GET /api/bakes/:bakeId/glass → by the chamber's temperature, and by the ware's where its case is known. */
export const bakeGlassSchema = z.object({
  material: materialRevisionSchema,
  chamber: glassOutcomeSchema,
  ware: z.object({ ware: wareSchema, outcome: glassOutcomeSchema }).nullable(),
});
export type BakeGlass = z.infer<typeof bakeGlassSchema>;
