import * as z from "zod";
import { correctionPointSchema } from "#shared/probe";

const by = z.string().trim().max(40).nullable().default(null);
const note = z.string().trim().max(500).nullable().default(null);

/** The metals that a wire is melted of: ITS-90 fixed points (`core/upkeep/fixed-points.ts`). */
export const wireMetalSchema = z.enum(["silver", "gold", "aluminium"]);
export type WireMetal = z.infer<typeof wireMetalSchema>;

/** What was around the wire; silver takes up oxygen from air and then melts lower. */
export const wireAtmosphereSchema = z.enum(["vacuum", "inert", "air"]);

/** Where the reading at the melt comes from. */
export const wireReadingSchema = z.discriminatedUnion("kind", [
  /** The plateau that the daemon finds in the samples of a bake. */
  z.strictObject({ kind: z.literal("plateau"), bakeId: z.number().int().positive() }),
  /** The moment at which somebody pressed *melted*, on the bake's own time. */
  z.strictObject({
    kind: z.literal("pressed"),
    bakeId: z.number().int().positive(),
    atSeconds: z.number().min(0),
  }),
  /** Read off by a person: the uncorrected reading, and the climb at that moment. */
  z.strictObject({
    kind: z.literal("by-hand"),
    readingCelsius: z.number().min(0).max(1800),
    kelvinPerMinute: z.number().min(0).max(100),
  }),
]);
export type WireReading = z.infer<typeof wireReadingSchema>;

/** A wire of known melting point in the ware's place. */
export const wireCheckRequestSchema = z.strictObject({
  kind: z.literal("melting-wire"),
  metal: wireMetalSchema,
  atmosphere: wireAtmosphereSchema,
  reading: wireReadingSchema,
  /** Of the wire's own melting point for its purity, ± K. */
  wireKelvin: z.number().min(0).max(50).default(0.5),
  limitKelvin: z.number().min(0.1).max(100).default(5),
  note,
  by,
});

/** Readings beside a reference thermocouple, in the manner of a system accuracy test. */
export const referenceCheckRequestSchema = z.strictObject({
  kind: z.literal("reference"),
  points: z
    .array(
      z.strictObject({
        /** The furnace's own reading, uncorrected, °C. */
        readingCelsius: z.number().min(-50).max(1800),
        /** The reference thermocouple's reading, °C. */
        referenceCelsius: z.number().min(-50).max(1800),
        /** From the reference's certificate, added to its reading, K. */
        referenceCorrectionKelvin: z.number().min(-100).max(100).default(0),
        /** From the certificate of the instrument that reads it, added too, K. */
        instrumentCorrectionKelvin: z.number().min(-100).max(100).default(0),
      }),
    )
    .min(1)
    .max(20),
  /** Of the reference and its instrument together, expanded, ± K. */
  referenceExpandedKelvin: z.number().min(0).max(100),
  referenceCoverageFactor: z.number().min(1).max(4).default(2),
  /** How far the two junctions may have stood apart in temperature, ± K. */
  positionKelvin: z.number().min(0).max(100).default(0),
  limitKelvin: z.number().min(0.1).max(100).default(5),
  note,
  by,
});

/** POST /api/furnaces/:id/checks → Check */
export const checkRequestSchema = z.discriminatedUnion("kind", [
  wireCheckRequestSchema,
  referenceCheckRequestSchema,
]);
export type CheckRequest = z.input<typeof checkRequestSchema>;

/** What a check came to: computed by the daemon with `core/upkeep`, kept with it. */
export const checkResultSchema = z.object({
  points: z
    .array(
      z.object({
        /** The uncorrected reading of the furnace's probe, °C. */
        readingCelsius: z.number(),
        /** What it should have been, °C. */
        trueCelsius: z.number(),
        /** Reading − true, K. */
        differenceKelvin: z.number(),
      }),
    )
    .min(1),
  /** The point furthest from true, K. */
  worstDifferenceKelvin: z.number(),
  expandedUncertaintyKelvin: z.number().nonnegative(),
  coverageFactor: z.number().positive(),
  limitKelvin: z.number().positive(),
  verdict: z.enum(["within", "outside", "cannot-tell"]),
  /** What would be added to readings if it is accepted. */
  correction: z.array(correctionPointSchema).min(1),
  /** The plateau that was found; null for other checks. */
  plateau: z
    .object({
      fromSeconds: z.number(),
      toSeconds: z.number(),
      celsius: z.number(),
      climbKelvinPerMinute: z.number(),
    })
    .nullable(),
});
export type CheckResult = z.infer<typeof checkResultSchema>;

/** A check as kept: never edited; accepted or not. */
export const checkSchema = z.object({
  id: z.number().int().positive(),
  furnaceId: z.string(),
  checkedAtEpochMilliseconds: z.number(),
  request: checkRequestSchema,
  result: checkResultSchema,
  accepted: z.object({ atEpochMilliseconds: z.number(), by: z.string().nullable() }).nullable(),
});
export type Check = z.infer<typeof checkSchema>;

/** GET /api/furnaces/:id/checks, newest first */
export const checkListSchema = z.object({ checks: z.array(checkSchema) });

/** POST /api/furnaces/:id/checks/:checkId/accept and …/correction/withdraw → FurnaceStatus */
export const acceptRequestSchema = z.strictObject({ by });

/** PUT /api/furnaces/:id/check-due → FurnaceStatus */
export const checkDueRequestSchema = z.strictObject({
  dueEpochMilliseconds: z.number().int().min(0).max(8.64e15).nullable(),
});
