import * as z from "zod";
import { materialSchema } from "#shared/material";
import { cardSchema } from "#shared/plan";

/** A card as it is carried to another kiosk; adaptations for furnaces stay at home. */
export const cardFileSchema = z.strictObject({
  format: z.literal("bakeside-card"),
  version: z.literal(1),
  card: cardSchema.omit({ materialId: true }),
  /** The material that it is made for, whole: ids mean nothing elsewhere. */
  material: materialSchema.nullable().default(null),
});
export type CardFile = z.infer<typeof cardFileSchema>;
