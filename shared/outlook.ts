import * as z from "zod";

/** Where an open bake is going: what `core/compare/outlook.ts` returns. Ratios are of the planned heat work. */
export const outlookSchema = z.object({
  /** The highest temperature that is coming; null once it is past. */
  peak: z.object({ celsius: z.number(), inSeconds: z.number() }).nullable(),
  asPlannedRatio: z.number(),
  asGoing: z.object({ ratio: z.number(), lowRatio: z.number(), highRatio: z.number() }),
  hold: z
    .object({
      index: z.number().int().min(1),
      plannedSeconds: z.number().nonnegative(),
      neededSeconds: z.number().nonnegative(),
    })
    .nullable(),
  learnedFromBakes: z.number().int().nonnegative(),
});
export type Outlook = z.infer<typeof outlookSchema>;

/** The ware of an open bake, as it is estimated. */
export const wareEstimateSchema = z.object({
  celsius: z.number(),
  /** If it takes up heat half again as slowly, or as fast. */
  slowCelsius: z.number(),
  fastCelsius: z.number(),
  /** Its heat work so far, as a share of what the plan gives the chamber. */
  heatWorkRatio: z.number().nullable(),
});
export type WareEstimate = z.infer<typeof wareEstimateSchema>;

/** The shares of the planned heat work between which every layer of the job stays in its window. */
export const heatWorkWindowSchema = z.object({
  lowRatio: z.number().nonnegative(),
  highRatio: z.number().nonnegative(),
  /** The layer that sets the lower and the upper end. */
  lowLayer: z.string().nullable(),
  highLayer: z.string().nullable(),
});
export type HeatWorkWindow = z.infer<typeof heatWorkWindowSchema>;
