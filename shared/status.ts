import * as z from "zod";
import { bakeSummarySchema } from "#shared/bake";
import { comparisonSchema } from "#shared/comparison";
import { furnaceStatusSchema } from "#shared/furnace";
import { bakeLayerSchema } from "#shared/layer";
import { materialRevisionSchema } from "#shared/material";
import { heatWorkWindowSchema, outlookSchema, wareEstimateSchema } from "#shared/outlook";
import { bakePlanSchema, planRevisionSchema } from "#shared/plan";
import { probeSchema } from "#shared/probe";
import { sensorFaultSchema } from "#shared/sensor-fault";

/** A bake that is open now, with the comparison so far (null while it has no plan). */
export const openBakeSchema = z.object({
  bake: bakeSummarySchema,
  plan: bakePlanSchema.nullable(),
  comparison: comparisonSchema.nullable(),
  /** The probe it runs with. */
  probe: probeSchema.nullable(),
  sensorFaults: z.array(sensorFaultSchema),
  layers: z.array(bakeLayerSchema),
  /** Null while there is nothing to look ahead from. */
  outlook: outlookSchema.nullable(),
  /** Null where the case is not known. */
  ware: wareEstimateSchema.nullable(),
  /** Null where no layer states its window. */
  window: heatWorkWindowSchema.nullable(),
});
export type OpenBake = z.infer<typeof openBakeSchema>;

/** How this kiosk shows things. */
export const kioskSettingsSchema = z.object({
  temperatureUnit: z.enum(["celsius", "fahrenheit"]),
  /** Width of one CSS pixel on this panel, mm; 0.1695 on a 10.1 inch panel of 1280×800. */
  millimetresPerPixel: z.number().min(0.05).max(1),
});
export type KioskSettings = z.infer<typeof kioskSettingsSchema>;

/** Everything that a page needs on connecting; afterwards only changes come. */
export const kioskSnapshotSchema = z.object({
  protocolVersion: z.number().int(),
  /** The daemon's wall clock when this was written, for the age of readings. */
  sentAtEpochMilliseconds: z.number(),
  /** What is wrong with saving, in words for an operator; null when all is well. */
  problem: z.string().max(500).nullable(),
  /** True while any furnace here is simulated: the screens say so. */
  isDemonstration: z.boolean(),
  settings: kioskSettingsSchema,
  furnaces: z.array(furnaceStatusSchema),
  openBakes: z.array(openBakeSchema),
  /** The newest revision of every plan, retired ones marked. */
  plans: z.array(planRevisionSchema),
  /** The newest revision of every material, retired ones marked. */
  materials: z.array(materialRevisionSchema),
});
export type KioskSnapshot = z.infer<typeof kioskSnapshotSchema>;
