import * as z from "zod";

export const frameworkSchema = z.enum(["zirconia", "lithium-disilicate", "metal", "none"]);
export type Framework = z.infer<typeof frameworkSchema>;

export const caseSizeSchema = z.enum(["small", "medium", "large"]);
export type CaseSize = z.infer<typeof caseSizeSchema>;

export const bakeOrdinalSchema = z.enum(["first", "second", "correction"]);
export type BakeOrdinal = z.infer<typeof bakeOrdinalSchema>;

/** What is fired, as far as a plan can be fitted to it. */
export const bakeCaseSchema = z.strictObject({
  framework: frameworkSchema,
  caseSize: caseSizeSchema,
  bake: bakeOrdinalSchema,
});
export type BakeCase = z.infer<typeof bakeCaseSchema>;
