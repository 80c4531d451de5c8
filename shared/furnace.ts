import * as z from "zod";
import { sampleSchema } from "#shared/sample";

/** Furnace ids are short and stable, so that they read well in files and addresses. */
export const furnaceIdSchema = z
  .string()
  .regex(/^[a-z0-9][a-z0-9-]{0,39}$/, "small letters, digits and hyphens, 40 at most");

/** A furnace of the lab and the line on which it is heard. */
export const furnaceSchema = z.object({
  id: furnaceIdSchema,
  name: z.string().trim().min(1).max(40),
  /** `/dev/…`, `tcp://host:port`, `file:/path.csv`; null when none is connected yet. */
  port: z.string().min(1).max(300).nullable(),
  baudRate: z.number().int().min(50).max(4_000_000),
  /** How its lines read, as written by `daemon/link/formats` (see its page); `auto` listens first. */
  format: z.string().min(1).max(500),
  isDemonstration: z.boolean(),
});
export type Furnace = z.infer<typeof furnaceSchema>;

export const linkKindSchema = z.enum(["absent", "opening", "listening", "silent", "waiting"]);

/** What the line to a furnace is doing, and what to do about it. */
export const linkStatusSchema = z.object({
  kind: linkKindSchema,
  sinceEpochMilliseconds: z.number(),
  /** One line for the operator when the link is not well: what, and how to mend. */
  message: z.string().max(500).nullable(),
  acceptedLines: z.number().int().nonnegative(),
  refusedLines: z.number().int().nonnegative(),
  overlongLines: z.number().int().nonnegative(),
  /** The newest line that did not parse, cut to 120 characters, made printable. */
  lastRefusedLine: z.string().max(120).nullable(),
  /** The format in use once it is known. */
  format: z.string().nullable(),
});
export type LinkStatus = z.infer<typeof linkStatusSchema>;

/** The newest value heard from a furnace, bake or none. */
export const latestReadingSchema = z.object({
  sample: sampleSchema.omit({ atSeconds: true }),
  receivedAtEpochMilliseconds: z.number(),
});
export type LatestReading = z.infer<typeof latestReadingSchema>;

/** One furnace as the kiosk shows it. */
export const furnaceStatusSchema = z.object({
  furnace: furnaceSchema,
  link: linkStatusSchema,
  latest: latestReadingSchema.nullable(),
  /** The bake that is open on it: begun and waiting, or running. */
  openBakeId: z.number().int().nullable(),
});
export type FurnaceStatus = z.infer<typeof furnaceStatusSchema>;
