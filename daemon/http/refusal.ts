import type { ErrorRequestHandler, Request } from "express";
import { z } from "zod";
import { DaemonError, type DaemonErrorCode } from "#daemon/errors";
import { parsed } from "#daemon/input";
import type { Log } from "#daemon/log";

/** A request that is refused with a status of its own. */
export class Refusal extends Error {
  readonly status: number;

  constructor(status: number, message: string) {
    super(message);
    this.name = "Refusal";
    this.status = status;
  }
}

const STATUS: Partial<Record<DaemonErrorCode, number>> = {
  "input-refused": 400,
  "not-found": 404,
  conflict: 409,
};

/**
 * The JSON body of a request.
 * @throws DaemonError `input-refused`, one line
 */
export function requestBody<S extends z.ZodType>(schema: S, request: Request): z.output<S> {
  if (request.body === undefined)
    throw new Refusal(400, "The request has no JSON body. Send one with Content-Type: application/json.");
  return parsed(schema, request.body, "The request");
}

const wholeNumber = z
  .string()
  .regex(/^[1-9]\d{0,14}$/)
  .transform(Number);

/**
 * A number in an address: `/api/bakes/12`.
 * @throws Refusal 404 when it is none, since nothing is there
 */
export function numberInPath(text: unknown, what: string): number {
  const result = wholeNumber.safeParse(text);
  if (result.success) return result.data;
  throw new Refusal(404, `There is no ${what} of that number. Numbers are whole and begin at 1.`);
}

/** Answers every error with `{ error }`: one line that says what, where and how to mend. */
export function refusalHandler(log: Log): ErrorRequestHandler {
  return (error: unknown, request, response, next) => {
    if (response.headersSent) return next(error);
    const { status, line } = refusalOf(error);
    if (status >= 500) log.error({ err: error, address: request.path }, "a request failed");
    response.status(status).json({ error: line });
  };
}

function refusalOf(error: unknown): { status: number; line: string } {
  if (error instanceof Refusal) return { status: error.status, line: error.message };
  if (error instanceof DaemonError)
    return { status: STATUS[error.code] ?? 500, line: error.message.replace(/\s+/g, " ") };
  const { type, status, limit } = error as { type?: unknown; status?: unknown; limit?: unknown };
  if (type === "entity.too.large")
    return { status: 413, line: `The request is too large: ${Number(limit) / 1024} kB at most.` };
  if (type === "entity.parse.failed") return { status: 400, line: "The request is not JSON." };
  if (typeof status === "number" && status >= 400 && status < 500)
    return { status: 400, line: "The request cannot be understood as it was written." };
  return { status: 500, line: "The daemon met a fault of its own. Try again; its log says more." };
}
