import * as z from "zod";

/** One moment of a bake, as it crosses a boundary; the same shape as `Sample` in `core`. */
export const sampleSchema = z.object({
  /** Seconds since the bake's own zero. */
  atSeconds: z.number(),
  /** Chamber, with the probe's accepted correction. */
  celsius: z.number(),
  /** What the thermocouple itself gave, where the adapter says that: uncorrected, cold junction as it was. */
  millivolts: z.number().optional(),
  hectopascals: z.number().optional(),
  coldJunctionCelsius: z.number().optional(),
  heaterDutyFraction: z.number().optional(),
});
export type Sample = z.infer<typeof sampleSchema>;

/** Samples of one bake, numbered without holes from `fromSequence` (0 is the bake's first). */
export const sampleBatchSchema = z.object({
  bakeId: z.number().int(),
  fromSequence: z.number().int().nonnegative(),
  samples: z.array(sampleSchema),
});
export type SampleBatch = z.infer<typeof sampleBatchSchema>;
