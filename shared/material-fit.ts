import * as z from "zod";

const interval = z.object({ low: z.number(), high: z.number() });

/** POST /api/materials/:materialId/fit → its constants from its own graded bakes: `core/heat/material-fit.ts`. */
export const materialFitSchema = z.discriminatedUnion("kind", [
  z.object({
    kind: z.literal("fitted"),
    bakes: z.number().int(),
    activationEnergyJoulesPerMole: z.number(),
    /** 90 % of the likelihood lies in it; null when the bakes are too much alike to tell the energy. */
    activationEnergyInterval: interval.nullable(),
    window: z.object({ leastEquivalentSeconds: z.number(), mostEquivalentSeconds: z.number() }).nullable(),
    sentence: z.string(),
  }),
  z.object({ kind: z.literal("not-enough"), bakes: z.number().int(), sentence: z.string() }),
]);
export type MaterialFit = z.infer<typeof materialFitSchema>;
