import * as z from "zod";

const celsius = z.number().min(0).max(1300);
const seconds = z
  .number()
  .min(0)
  .max(24 * 3600);
const kelvinPerMinute = z.number().positive().max(500);

export const climbStepSchema = z
  .strictObject({
    kind: z.literal("climb"),
    toCelsius: celsius.describe("Temperature at the end of the climb, °C"),
    kelvinPerMinute: kelvinPerMinute.describe("Climb rate, K/min"),
  })
  .describe("The chamber rises at a steady rate");

export const holdStepSchema = z
  .strictObject({
    kind: z.literal("hold"),
    seconds: seconds.describe("Length of the hold, s; 0 is allowed"),
  })
  .describe("The chamber keeps the temperature that the climb before it reached");

export const vacuumReleaseSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("at-temperature"), celsius }),
  z.strictObject({ kind: z.literal("hold-start"), hold: z.number().int().min(1).max(20) }),
  z.strictObject({ kind: z.literal("hold-end"), hold: z.number().int().min(1).max(20) }),
]);

/** A plan as JSON; the published schema is made from this. */
export const planSchema = z
  .strictObject({
    name: z.string().trim().min(1).max(80),
    dryingSeconds: seconds.default(0).describe("Drying in the open furnace before the muffle closes, s"),
    closingSeconds: seconds.default(0).describe("Time that the muffle takes to close, s"),
    lowCelsius: celsius.describe("Low temperature: stand-by, and where the first climb begins, °C"),
    lowHoldSeconds: seconds.default(0).describe("Wait at the low temperature with the muffle closed, s"),
    steps: z
      .array(z.discriminatedUnion("kind", [climbStepSchema, holdStepSchema]))
      .min(1)
      .max(40)
      .describe("Climbs and holds in firing order; the first is a climb"),
    vacuum: z
      .strictObject({
        onAtCelsius: celsius.describe("Chamber temperature at which the pump starts, °C"),
        levelHectopascals: z.number().min(0.1).max(1100).describe("Absolute pressure to reach, hPa"),
        release: vacuumReleaseSchema.describe("When air is let in: hold is counted from 1"),
      })
      .optional()
      .describe("Absent for a bake in air"),
    cooling: z
      .discriminatedUnion("kind", [
        z.strictObject({ kind: z.literal("free"), openAtCelsius: celsius.optional() }),
        z.strictObject({ kind: z.literal("steady"), toCelsius: celsius, kelvinPerMinute }),
      ])
      .default({ kind: "free" })
      .describe("Free: nothing is planned but perhaps where the muffle opens. Steady: led down at a rate"),
    notes: z.string().max(500).optional(),
  })
  .describe("What a bake should do");
export type Plan = z.infer<typeof planSchema>;

/** A saved version of a plan; never edited, a change makes the next revision. */
export const planRevisionSchema = z.object({
  planId: z.number().int(),
  revision: z.number().int().min(1),
  plan: planSchema,
  savedAtEpochMilliseconds: z.number(),
  /** True for the invented plans that come with the program. */
  isDemonstration: z.boolean(),
});
export type PlanRevision = z.infer<typeof planRevisionSchema>;
