import * as z from "zod";

/** The letter-designated thermocouples of IEC 60584-1. */
export const thermocoupleTypeSchema = z.enum(["B", "E", "J", "K", "N", "R", "S", "T"]);
export type ThermocoupleType = z.infer<typeof thermocoupleTypeSchema>;

/** Tolerance as bought: IEC 60584-1 classes 1 to 3, ASTM E230 standard and special. */
export const toleranceClassSchema = z.enum(["iec-1", "iec-2", "iec-3", "astm-standard", "astm-special"]);
export type ToleranceClass = z.infer<typeof toleranceClassSchema>;

/** Added to a reading: straight between its points, level beyond the first and the last. */
export const correctionPointSchema = z.object({
  /** What the uncorrected reading was, °C. */
  readingCelsius: z.number().min(-270).max(2000),
  /** What is to be added to it, K. */
  correctionKelvin: z.number().min(-200).max(200),
});

/** What a check made of the probe, from the day that somebody accepted it. */
export const probeCorrectionSchema = z.object({
  checkId: z.number().int().positive(),
  acceptedAtEpochMilliseconds: z.number(),
  acceptedBy: z.string().max(40).nullable(),
  /** By rising reading. */
  points: z.array(correctionPointSchema).min(1).max(20),
  /** Of the corrected reading, K. */
  expandedUncertaintyKelvin: z.number().nonnegative(),
  coverageFactor: z.number().positive(),
});
export type ProbeCorrection = z.infer<typeof probeCorrectionSchema>;

/** A half-width in kelvins, as a data sheet gives it; null when nobody said. */
const halfWidthKelvin = z.number().min(0).max(200).nullable();

/** What is known of a furnace's thermocouple and its adapter, as somebody set it. */
export const probeSettingsSchema = z.object({
  type: thermocoupleTypeSchema.nullable(),
  toleranceClass: toleranceClassSchema.nullable(),
  /** Of the adapter's temperature, ± K. */
  instrumentAccuracyKelvin: halfWidthKelvin,
  /** The last digit that it shows, K. */
  instrumentResolutionKelvin: halfWidthKelvin,
  /** Of its cold junction, ± K. */
  coldJunctionAccuracyKelvin: halfWidthKelvin,
  /** How far the ware's place may differ from the probe's, ± K. */
  positionKelvin: halfWidthKelvin,
});
export type ProbeSettings = z.infer<typeof probeSettingsSchema>;

/** The settings and, once a check was accepted, its correction. A bake keeps the one it ran with. */
export const probeSchema = probeSettingsSchema.extend({ correction: probeCorrectionSchema.nullable() });
export type Probe = z.infer<typeof probeSchema>;

/** A probe of which nobody said anything. */
export const UNKNOWN_PROBE: Probe = {
  type: null,
  toleranceClass: null,
  instrumentAccuracyKelvin: null,
  instrumentResolutionKelvin: null,
  coldJunctionAccuracyKelvin: null,
  positionKelvin: null,
  correction: null,
};
