import * as z from "zod";

const nullableNumber = z.number().nullable();

export const gapSchema = z.object({ fromSeconds: z.number(), toSeconds: z.number() });

export const stageKindSchema = z.enum(["drying", "climb", "hold", "cooling", "done"]);

/** Where a bake stands: the kind of stage, and which one of its kind, counted from 1. */
export const stageSchema = z.object({ kind: stageKindSchema, index: z.number().int().min(1) });
export type Stage = z.infer<typeof stageSchema>;

export const climbComparisonSchema = z.object({
  index: z.number().int().min(1),
  fromCelsius: z.number(),
  toCelsius: z.number(),
  planned: z.object({ startSeconds: z.number(), lengthSeconds: z.number(), kelvinPerMinute: z.number() }),
  /** On the trace's time; null until the climb is seen. */
  actual: z
    .object({
      startSeconds: z.number(),
      lengthSeconds: z.number(),
      kelvinPerMinute: nullableNumber,
      isComplete: z.boolean(),
    })
    .nullable(),
  /** Mean of plan minus trace over the climb, K; positive when the furnace is behind. */
  lagKelvin: nullableNumber,
});
export type ClimbComparison = z.infer<typeof climbComparisonSchema>;

export const holdComparisonSchema = z.object({
  index: z.number().int().min(1),
  celsius: z.number(),
  bandKelvin: z.number(),
  planned: z.object({ startSeconds: z.number(), lengthSeconds: z.number() }),
  actual: z
    .object({
      startSeconds: z.number(),
      lengthSeconds: z.number(),
      meanCelsius: nullableNumber,
      spreadKelvin: nullableNumber,
      secondsInBand: z.number(),
      isComplete: z.boolean(),
    })
    .nullable(),
  isReached: z.boolean(),
  overshootKelvin: z.number(),
  overshootSeconds: z.number(),
  undershootKelvin: z.number(),
});
export type HoldComparison = z.infer<typeof holdComparisonSchema>;

export const vacuumComparisonSchema = z.object({
  planned: z
    .object({
      onAtCelsius: z.number(),
      levelHectopascals: z.number(),
      releaseCelsius: z.number(),
      /** When air was to be let in, on the trace's time. */
      releaseDueSeconds: nullableNumber,
    })
    .nullable(),
  /** Null when nothing like a vacuum was seen. */
  actual: z
    .object({
      isStartSeen: z.boolean(),
      onAtSeconds: z.number(),
      onAtCelsius: z.number(),
      levelHectopascals: z.number(),
      /** Until the planned level, or where none is planned the lowest; null when never reached. */
      pumpDownSeconds: nullableNumber,
      releaseAtSeconds: nullableNumber,
      hectopascalsAtRelease: nullableNumber,
      releaseCelsius: nullableNumber,
    })
    .nullable(),
  isMeasured: z.boolean(),
});
export type VacuumComparison = z.infer<typeof vacuumComparisonSchema>;

export const heatWorkComparisonSchema = z.object({
  referenceCelsius: z.number(),
  activationEnergyJoulesPerMole: z.number(),
  plannedEquivalentSeconds: z.number(),
  deliveredEquivalentSeconds: z.number(),
  ratio: nullableNumber,
  equivalentOffsetKelvin: nullableNumber,
});
export type HeatWorkComparison = z.infer<typeof heatWorkComparisonSchema>;

/** How sure the numbers of a comparison are, from the probe it ran with. All expanded by `coverageFactor`. */
export const comparisonUncertaintySchema = z.object({
  coverageFactor: z.number().positive(),
  /** What the probe's part rests on: an accepted check, its class when new, or nothing that anybody said. */
  basis: z.enum(["check", "class", "none"]),
  /** Of a temperature at the plan's top, ± K: of the peak, of over- and undershoot there. */
  topKelvin: z.number().nonnegative(),
  /** Of the mean of each hold, ± K. */
  holds: z.array(z.object({ index: z.number().int().min(1), expandedKelvin: z.number().nonnegative() })),
  /** The heat-work ratio if the chamber was so much colder, and so much hotter, than it read. */
  heatWorkRatio: z.object({ low: z.number(), high: z.number() }).nullable(),
  /** What 5 K would do to this bake's heat work, as a share. */
  fiveKelvinFraction: z.number().nullable(),
});
export type ComparisonUncertainty = z.infer<typeof comparisonUncertaintySchema>;

export const findingCodeSchema = z.enum([
  "top-not-reached",
  "climb-slow",
  "climb-fast",
  "climb-stalled",
  "hold-short",
  "hold-long",
  "hold-low",
  "hold-high",
  "overshoot",
  "undershoot",
  "drying-short",
  "drying-long",
  "vacuum-absent",
  "vacuum-late",
  "vacuum-weak",
  "vacuum-released-early",
  "vacuum-released-late",
  "cooling-fast",
  "cooling-slow",
  "vacuum-leaked",
  "vacuum-not-measured",
  "gap",
  "wild-readings",
  "start-missed",
  "several-bakes",
  "heat-work-low",
  "heat-work-high",
  "not-finished",
  "as-planned",
]);
export type FindingCode = z.infer<typeof findingCodeSchema>;

/** One thing that differed from the plan. The unit of `planned` and `actual` follows from the code. */
export const findingSchema = z.object({
  code: findingCodeSchema,
  /** Which climb or hold, counted from 1; absent where there is only one of its kind. */
  index: z.number().int().min(1).optional(),
  planned: z.number().optional(),
  actual: z.number().optional(),
  /** What it did to the heat work, as a signed share of the planned heat work. */
  heatWorkEffectFraction: z.number(),
  /** True when somebody should look; false when it is only worth knowing. */
  needsPerson: z.boolean(),
});
export type Finding = z.infer<typeof findingSchema>;

/** A bake beside its plan: what `core/compare/comparison.ts` returns. */
export const comparisonSchema = z.object({
  modelVersion: z.number().int(),
  stage: stageSchema,
  /** Where the plan's zero stands on the trace's time, s. */
  planZeroSeconds: z.number(),
  peakCelsius: nullableNumber,
  peakAtSeconds: nullableNumber,
  overshootKelvin: z.number(),
  overshootSeconds: z.number(),
  undershootKelvin: z.number(),
  drying: z.object({
    planned: z.object({ lengthSeconds: z.number() }),
    actual: z.object({ lengthSeconds: z.number() }).nullable(),
  }),
  climbs: z.array(climbComparisonSchema),
  holds: z.array(holdComparisonSchema),
  cooling: z.object({
    planned: z.object({ kelvinPerMinute: nullableNumber, toCelsius: nullableNumber }),
    actual: z
      .object({ startSeconds: z.number(), lengthSeconds: z.number(), kelvinPerMinute: nullableNumber })
      .nullable(),
  }),
  vacuum: vacuumComparisonSchema,
  heatWork: heatWorkComparisonSchema,
  gaps: z.array(gapSchema),
  findings: z.array(findingSchema),
  /** Null where the probe is not known; absent in what was kept before it was reckoned. */
  uncertainty: comparisonUncertaintySchema.nullable().default(null),
});
export type Comparison = z.infer<typeof comparisonSchema>;
