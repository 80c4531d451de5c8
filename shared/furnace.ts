import * as z from "zod";
import { probeSchema } from "#shared/probe";
import { sampleSchema } from "#shared/sample";
import { sensorFaultSchema } from "#shared/sensor-fault";

/** Furnace ids are short and stable, so that they read well in files and addresses. */
export const furnaceIdSchema = z
  .string()
  .regex(/^[a-z0-9][a-z0-9-]{0,39}$/, "small letters, digits and hyphens, 40 at most");

/** Data bits, parity (none, even, odd) and stop bits of a serial line. */
export const serialFramingSchema = z.enum(["8N1", "8N2", "8E1", "8O1", "7E1", "7O1"]);
export type SerialFraming = z.infer<typeof serialFramingSchema>;

/** A furnace of the lab and the line on which it is heard. */
export const furnaceSchema = z.object({
  id: furnaceIdSchema,
  name: z.string().trim().min(1).max(40),
  /** `/dev/…`, `tcp://host:port`, `file:/path.csv`; null when none is connected yet. */
  port: z.string().min(1).max(300).nullable(),
  baudRate: z.number().int().min(50).max(4_000_000),
  framing: serialFramingSchema,
  /** How its lines read, as written by `daemon/link/formats` (see its page); `auto` listens first. */
  format: z.string().min(1).max(500),
  /** Its thermocouple and adapter, as somebody set them, with the correction that was accepted. */
  probe: probeSchema,
  /** When the next check is due, by the wall clock; null when nobody said. */
  checkDueEpochMilliseconds: z.number().int().nullable(),
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
  /** Questions to a polled instrument that no answer came to in time; 0 for one that speaks by itself. */
  unanswered: z.number().int().nonnegative(),
  /** The newest line that did not parse, cut to 120 characters, made printable. */
  lastRefusedLine: z.string().max(120).nullable(),
  /** The format in use once it is known. */
  format: z.string().nullable(),
});
export type LinkStatus = z.infer<typeof linkStatusSchema>;

/** The newest value heard from a furnace, bake or none. */
export const latestReadingSchema = z.object({
  /** Corrected, as it is recorded. */
  sample: sampleSchema.omit({ atSeconds: true }),
  receivedAtEpochMilliseconds: z.number(),
});
export type LatestReading = z.infer<typeof latestReadingSchema>;

/** One furnace as the kiosk shows it. */
export const furnaceStatusSchema = z.object({
  furnace: furnaceSchema,
  link: linkStatusSchema,
  latest: latestReadingSchema.nullable(),
  /** What is wrong with its probe now, bake or none. */
  sensorFaults: z.array(sensorFaultSchema),
  /** The bake that is open on it: begun and waiting, or running. */
  openBakeId: z.number().int().nullable(),
});
export type FurnaceStatus = z.infer<typeof furnaceStatusSchema>;
