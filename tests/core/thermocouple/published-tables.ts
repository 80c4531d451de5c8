import { readFileSync } from "node:fs";
import { z } from "zod";

const typeSchema = z.enum(["B", "E", "J", "K", "N", "R", "S", "T"]);

const emfSchema = z.object({
  types: z.record(
    typeSchema,
    z.object({ count: z.number(), points: z.array(z.tuple([z.number(), z.number()])) }),
  ),
  cold_junction_examples: z.array(
    z.object({
      type: typeSchema,
      measured_emf_mv: z.number(),
      reference_junction_c: z.number(),
      true_temperature_c: z.number(),
      wrong_if_no_compensation_c: z.number(),
      wrong_if_junction_temperature_is_simply_added_c: z.number(),
    }),
  ),
});

/** NIST Standard Reference Database 60, every 10 °C of the eight tables, with its sources inside. */
export const EMF_TABLES = emfSchema.parse(read("thermocouple-emf.json"));

const toleranceSchema = z.object({
  checks: z.array(
    z.object({
      standard: z.enum(["IEC", "ASTM"]),
      type: z.string(),
      class: z.string(),
      t_c: z.number(),
      tolerance_c: z.number().nullable(),
    }),
  ),
});

/** Tolerances worked out from public summaries of IEC 60584-1 and ASTM E230, with their sources inside. */
export const TOLERANCE_CHECKS = toleranceSchema.parse(read("thermocouple-tolerance.json")).checks;

const fixedPointSchema = z.object({
  points: z.array(
    z.object({
      symbol: z.string(),
      t90_c: z.number(),
      reference_emf_uv_computed: z.partialRecord(typeSchema, z.number()),
    }),
  ),
});

/** ITS-90 defining fixed points, with their sources inside. */
export const FIXED_POINT_TABLE = fixedPointSchema.parse(read("fixed-points.json")).points;

function read(name: string): unknown {
  return JSON.parse(readFileSync(new URL(`../../reference/${name}`, import.meta.url), "utf8"));
}
