import * as z from "zod";

/** A layer material as JSON. What is not known is null. */
export const materialSchema = z
  .strictObject({
    name: z.string().trim().min(1).max(80),
    origin: z
      .strictObject({
        kind: z.enum(["invented", "maker", "measured", "fitted", "estimated"]),
        statement: z.string().trim().min(1).max(300),
      })
      .describe("Where the numbers come from"),
    activationEnergyJoulesPerMole: z.number().min(50_000).max(1_000_000).describe("Of its heat work, J/mol"),
    referenceCelsius: z.number().min(300).max(1300).describe("Where its seconds are counted, °C"),
    viscosity: z
      .strictObject({
        logPascalSeconds: z.number().min(-20).max(20).describe("A: log10 of Pa·s"),
        kelvin: z.number().positive().max(30_000).describe("B, K"),
        zeroCelsius: z.number().min(-273).max(800).describe("T0, °C"),
      })
      .nullable()
      .default(null)
      .describe("Vogel, Fulcher and Tammann: log10(eta/Pa.s) = A + B/(t - T0)"),
    surfaceTensionNewtonsPerMetre: z.number().min(0.01).max(2).default(0.3).describe("N/m"),
    packing: z
      .strictObject({
        cellMicrometres: z.number().min(0.1).max(1000).describe("Edge of the sintering cell, µm"),
        relativeDensity: z.number().min(0.2).max(0.9).describe("Solid share of the unfired layer"),
      })
      .nullable()
      .default(null),
    closure: z
      .strictObject({
        fromCelsius: z.number().min(300).max(1300),
        toCelsius: z.number().min(300).max(1300),
      })
      .refine(({ fromCelsius, toCelsius }) => fromCelsius <= toCelsius, "fromCelsius above toCelsius")
      .nullable()
      .default(null)
      .describe("Where its pores close on an ordinary climb, °C"),
    window: z
      .strictObject({
        leastEquivalentSeconds: z.number().min(0).max(1e6),
        mostEquivalentSeconds: z.number().positive().max(1e6),
      })
      .refine(
        (window) => window.leastEquivalentSeconds < window.mostEquivalentSeconds,
        "least not below most",
      )
      .nullable()
      .default(null)
      .describe("Heat work over all its bakes within which a layer comes out right, s"),
    notes: z.string().max(500).optional(),
  })
  .describe("A layer material");
export type Material = z.infer<typeof materialSchema>;

/** A saved version of a material; never edited, a change makes the next revision. */
export const materialRevisionSchema = z.object({
  materialId: z.number().int(),
  revision: z.number().int().min(1),
  material: materialSchema,
  savedAtEpochMilliseconds: z.number(),
  isDemonstration: z.boolean(),
  isRetired: z.boolean(),
});
export type MaterialRevision = z.infer<typeof materialRevisionSchema>;
