import * as z from "zod";
import { thermocoupleTypeSchema } from "#shared/probe";

/** What can be wrong with a thermocouple and its adapter, told apart in the stream. */
export const sensorFaultKindSchema = z.enum([
  "open-circuit",
  "short-circuit",
  "reversed-polarity",
  "wrong-type",
  "cold-junction-stuck",
  "cold-junction-unreasonable",
  "frozen",
  "spikes",
  "intermittent",
  "drop-outs",
  "out-of-range",
]);
export type SensorFaultKind = z.infer<typeof sensorFaultKindSchema>;

/** One kind of fault as it was seen so far: in a bake, or on a line. */
export const sensorFaultSchema = z.object({
  kind: sensorFaultKindSchema,
  /** True while it lasts. */
  isActive: z.boolean(),
  /** How often it came. */
  episodes: z.number().int().positive(),
  /** Readings that it touched. */
  readings: z.number().int().nonnegative(),
  /** How long it lasted in all, s. */
  seconds: z.number().nonnegative(),
  firstAtSeconds: z.number(),
  lastAtSeconds: z.number(),
  /** The most telling reading, °C. */
  celsius: z.number().nullable(),
  /** The type that would explain the curve; for `wrong-type` only. */
  likelyType: thermocoupleTypeSchema.nullable(),
  /** True when somebody should look; a lone spike is only counted. */
  needsPerson: z.boolean(),
});
export type SensorFault = z.infer<typeof sensorFaultSchema>;

/** What an instrument says of its own probe in place of a temperature. */
export const sensorWordSchema = z.enum(["open-circuit", "above-range", "below-range", "no-value"]);
export type SensorWord = z.infer<typeof sensorWordSchema>;
