import * as z from "zod";
import { bakeCaseSchema, bakeOrdinalSchema, caseSizeSchema, frameworkSchema } from "#shared/bake-case";
import { materialRevisionSchema } from "#shared/material";

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

export const coolingSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("free"), openAtCelsius: celsius.optional() }),
  z.strictObject({ kind: z.literal("steady"), toCelsius: celsius, kelvinPerMinute }),
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
    cooling: coolingSchema
      .default({ kind: "free" })
      .describe("Free: nothing is planned but perhaps where the muffle opens. Steady: led down at a rate"),
    notes: z.string().max(500).optional(),
  })
  .describe("What a bake should do");
export type Plan = z.infer<typeof planSchema>;

export const adaptationConditionSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("framework"), framework: frameworkSchema }),
  z.strictObject({ kind: z.literal("case-size"), caseSize: caseSizeSchema }),
  z.strictObject({ kind: z.literal("bake"), bake: bakeOrdinalSchema }),
  z.strictObject({ kind: z.literal("furnace"), furnaceId: z.string().min(1).max(40) }),
]);
export type AdaptationCondition = z.infer<typeof adaptationConditionSchema>;

export const planNumberSchema = z.enum([
  "drying",
  "closing",
  "low",
  "low-hold",
  "climb-rate",
  "top",
  "top-hold",
  "vacuum-on",
  "vacuum-level",
]);
export type PlanNumber = z.infer<typeof planNumberSchema>;

export const planChangeSchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("shift"),
    number: planNumberSchema,
    by: z.number().min(-10_000).max(10_000),
  }),
  z.strictObject({ kind: z.literal("set"), number: planNumberSchema, to: z.number().min(0).max(86_400) }),
  z.strictObject({ kind: z.literal("cooling"), to: coolingSchema }),
]);
export type PlanChange = z.infer<typeof planChangeSchema>;

export const adaptationSchema = z.strictObject({
  when: adaptationConditionSchema,
  changes: z.array(planChangeSchema).min(1).max(20),
  basis: z.string().trim().max(200).optional(),
});
export type Adaptation = z.infer<typeof adaptationSchema>;

export const frameworkLimitSchema = z.strictObject({ framework: frameworkSchema, topCelsius: celsius });

/** A plan card as JSON: a base plan with what changes for a case. A plan alone is a card without adaptations. */
export const cardSchema = z.strictObject({
  plan: planSchema,
  adaptations: z.array(adaptationSchema).max(60).default([]),
  limits: z.array(frameworkLimitSchema).max(4).default([]),
  /** The material that it is made for; null when nobody said. */
  materialId: z.number().int().positive().nullable().default(null),
});
export type Card = z.infer<typeof cardSchema>;

/** A saved version of a card; never edited, a change makes the next revision. */
export const planRevisionSchema = cardSchema.extend({
  planId: z.number().int(),
  revision: z.number().int().min(1),
  savedAtEpochMilliseconds: z.number(),
  /** True for the invented plans that come with the program. */
  isDemonstration: z.boolean(),
  /** Not offered for new bakes any more. */
  isRetired: z.boolean().default(false),
});
export type PlanRevision = z.infer<typeof planRevisionSchema>;

/** Where a number of an effective plan comes from: the card's, and what changed it, in order. */
export const numberSourceSchema = z.object({
  number: z.union([planNumberSchema, z.literal("cooling")]),
  /** Null for what the base plan does not have, and for the cooling. */
  base: z.number().nullable(),
  parts: z.array(
    z.object({ when: adaptationConditionSchema, change: planChangeSchema, basis: z.string().nullable() }),
  ),
  value: z.number().nullable(),
});
export type NumberSource = z.infer<typeof numberSourceSchema>;

/** The plan that a bake runs: of a card's revision, fitted to its case where one was given. */
export const bakePlanSchema = z.object({
  planId: z.number().int(),
  revision: z.number().int().min(1),
  /** The effective plan: what is compared. */
  plan: planSchema,
  savedAtEpochMilliseconds: z.number(),
  isDemonstration: z.boolean(),
  case: bakeCaseSchema.nullable(),
  sources: z.array(numberSourceSchema),
  /** As it was when the bake was given the plan; its activation energy is the heat work's. */
  material: materialRevisionSchema.nullable(),
});
export type BakePlan = z.infer<typeof bakePlanSchema>;
