import * as z from "zod";
import { serialFramingSchema } from "#shared/furnace";
import { sensorWordSchema } from "#shared/sensor-fault";

/** POST /api/listen → ListenAnswer: a few seconds of a port, and the formats that fit. */
export const listenRequestSchema = z.strictObject({
  port: z.string().min(1).max(300),
  /** Null tries the common rates. */
  baudRate: z.number().int().min(50).max(4_000_000).nullable().default(null),
  /** Also ask what only speaks when asked, with questions that change nothing. */
  asks: z.boolean().default(false),
  /** At each rate at most, s. */
  seconds: z.number().min(0.2).max(10).default(2),
});
export type ListenRequest = z.input<typeof listenRequestSchema>;

/** What a line said, for a preview. */
export const channelsSchema = z.object({
  instrumentSeconds: z.number().optional(),
  celsius: z.number().optional(),
  millivolts: z.number().optional(),
  coldJunctionCelsius: z.number().optional(),
  hectopascals: z.number().optional(),
  heaterDutyFraction: z.number().optional(),
  sensorWord: sensorWordSchema.optional(),
});

/** A way to read the port that fits what was heard. */
export const proposalSchema = z.object({
  format: z.string(),
  baudRate: z.number().int(),
  framing: serialFramingSchema,
  /** True when it speaks only when asked. */
  isPolled: z.boolean(),
  /** Of `heard` lines or answers so many fit. */
  fits: z.number().int().nonnegative(),
  heard: z.number().int().nonnegative(),
  preview: channelsSchema,
});
export type Proposal = z.infer<typeof proposalSchema>;

export const listenAnswerSchema = z.object({
  port: z.string(),
  /** Best first. */
  proposals: z.array(proposalSchema).max(10),
  /** The last lines heard, made printable. */
  lines: z.array(z.string().max(120)).max(5),
  /** One line when nothing fits: what was heard, and what to try. */
  message: z.string().max(500).nullable(),
});
export type ListenAnswer = z.infer<typeof listenAnswerSchema>;
