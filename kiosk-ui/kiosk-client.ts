import { io } from "socket.io-client";
import * as z from "zod";
import type { KioskMessage } from "#kiosk-ui/kiosk-state";
import { type BakeDetail, bakeDetailSchema, bakeSummarySchema } from "#shared/bake";
import { type Check, type CheckRequest, checkListSchema, checkSchema } from "#shared/check";
import { type FurnaceStatus, furnaceStatusSchema } from "#shared/furnace";
import { type ListenAnswer, type ListenRequest, listenAnswerSchema } from "#shared/listening";
import { materialRevisionSchema } from "#shared/material";
import { planRevisionSchema } from "#shared/plan";
import { PROTOCOL_VERSION } from "#shared/protocol";
import {
  type BakeFilter,
  type BakePatch,
  type BeginRequest,
  type furnaceRequestSchema,
  type GradeRequest,
  refusalSchema,
} from "#shared/requests";
import { type Sample, sampleBatchSchema, sampleSchema } from "#shared/sample";
import { kioskSnapshotSchema, openBakeSchema } from "#shared/status";

const bakeListSchema = z.object({ bakes: z.array(bakeSummarySchema), total: z.number().int().nonnegative() });
const samplesSchema = z.object({ samples: z.array(sampleSchema) });
const answerSchema = sampleBatchSchema.extend({ isLast: z.boolean() });
const portListSchema = z.object({
  ports: z.array(z.object({ stableName: z.string(), device: z.string(), note: z.string().nullable() })),
});

/** Points that a curve across the whole screen can show. */
const DRAWN_POINTS = 3000;

/** One page of the bakes that a filter finds, newest first. */
export type BakeList = z.infer<typeof bakeListSchema>;
/** A serial port of the daemon's machine; `note` says what stands in the way of using it. */
export type ListedPort = z.infer<typeof portListSchema>["ports"][number];
/** How a furnace is to be heard. */
export type FurnaceRequest = z.input<typeof furnaceRequestSchema>;

/** What screens may ask of the daemon. Every refusal is an `Error` with the daemon's one line. */
export interface KioskRequests {
  bakes(filter?: BakeFilter): Promise<BakeList>;
  bake(bakeId: number): Promise<BakeDetail>;
  /** All samples of a bake, or thinned to about `maximumPoints` for drawing. */
  bakeSamples(bakeId: number, maximumPoints?: number): Promise<readonly Sample[]>;
  begin(furnaceId: string, request: BeginRequest): Promise<BakeDetail>;
  changeBake(bakeId: number, patch: BakePatch): Promise<BakeDetail>;
  closeBake(bakeId: number): Promise<BakeDetail>;
  gradeBake(bakeId: number, request: GradeRequest): Promise<BakeDetail>;
  ports(): Promise<readonly ListedPort[]>;
  changeFurnace(furnaceId: string, request: FurnaceRequest): Promise<FurnaceStatus>;
  /** The checks of a furnace's probe, newest first. */
  checks(furnaceId: string): Promise<readonly Check[]>;
  /** Keeps a check with its result; it corrects nothing until it is accepted. */
  addCheck(furnaceId: string, request: CheckRequest): Promise<Check>;
  /** From now on the probe is corrected by a check. */
  acceptCheck(furnaceId: string, checkId: number, by: string | null): Promise<FurnaceStatus>;
  /** From now on the probe is not corrected. */
  withdrawCorrection(furnaceId: string, by: string | null): Promise<FurnaceStatus>;
  /** When the next check is due, by the wall clock; null for never. */
  setCheckDue(furnaceId: string, dueEpochMilliseconds: number | null): Promise<FurnaceStatus>;
  /** Hears a port for some seconds; `signal` gives it up. */
  listen(request: ListenRequest, signal?: AbortSignal): Promise<ListenAnswer>;
  /**
   * Any other question of a page that is fetched late, which brings the schema of its answer with it.
   * @param body  sent as JSON by POST; without it the question is a GET
   */
  ask<Answer>(path: string, schema: z.ZodType<Answer>, body?: unknown): Promise<Answer>;
}

/** The part of a socket that the client needs: socket.io's, or a stand-in in tests. */
export interface KioskSocket {
  on(event: string, listener: (...values: unknown[]) => void): unknown;
  emit(event: string, ...values: unknown[]): unknown;
  close(): unknown;
}

/** What the client is built from; the last four have defaults that a browser provides. */
export interface KioskClientParts {
  /** Takes each message; the time is the page's own clock. */
  readonly onMessage: (message: KioskMessage) => void;
  /** How many samples of a bake the page holds without a hole. */
  readonly samplesHeld: (bakeId: number) => number;
  readonly socket?: KioskSocket;
  readonly fetch?: typeof fetch;
  readonly nowSeconds?: () => number;
  readonly reload?: () => void;
}

type Unstamped = KioskMessage extends infer Message
  ? Message extends KioskMessage
    ? Omit<Message, "atSeconds">
    : never
  : never;

/** The page's line to the daemon: what comes is parsed, what is missed is asked for. */
export class KioskClient implements KioskRequests {
  readonly #parts: KioskClientParts;
  readonly #socket: KioskSocket;
  readonly #fetch: typeof fetch;
  readonly #nowSeconds: () => number;
  readonly #catchingUp = new Set<number>();
  #openBakeIds = new Set<number>();

  constructor(parts: KioskClientParts) {
    this.#parts = parts;
    this.#fetch = parts.fetch ?? ((...request) => fetch(...request));
    this.#nowSeconds = parts.nowSeconds ?? (() => performance.now() / 1000);
    this.#socket = parts.socket ?? sameOriginSocket();
    this.#listen();
  }

  /** Lets go of the socket. */
  close(): void {
    this.#socket.close();
  }

  bakes(filter: BakeFilter = {}): Promise<BakeList> {
    const query = new URLSearchParams();
    for (const [name, value] of Object.entries(filter))
      if (value !== undefined) query.set(name, String(value));
    return this.#request(`/api/bakes?${query}`, bakeListSchema);
  }

  bake(bakeId: number): Promise<BakeDetail> {
    return this.#request(`/api/bakes/${bakeId}`, bakeDetailSchema);
  }

  async bakeSamples(bakeId: number, maximumPoints?: number): Promise<readonly Sample[]> {
    const query = maximumPoints === undefined ? "" : `?maximumPoints=${maximumPoints}`;
    return (await this.#request(`/api/bakes/${bakeId}/samples${query}`, samplesSchema)).samples;
  }

  begin(furnaceId: string, request: BeginRequest): Promise<BakeDetail> {
    return this.#request(`/api/furnaces/${furnaceId}/begin`, bakeDetailSchema, "POST", request);
  }

  changeBake(bakeId: number, patch: BakePatch): Promise<BakeDetail> {
    return this.#request(`/api/bakes/${bakeId}`, bakeDetailSchema, "PATCH", patch);
  }

  closeBake(bakeId: number): Promise<BakeDetail> {
    return this.#request(`/api/bakes/${bakeId}/close`, bakeDetailSchema, "POST", {});
  }

  gradeBake(bakeId: number, request: GradeRequest): Promise<BakeDetail> {
    return this.#request(`/api/bakes/${bakeId}/grades`, bakeDetailSchema, "POST", request);
  }

  async ports(): Promise<readonly ListedPort[]> {
    return (await this.#request("/api/ports", portListSchema)).ports;
  }

  changeFurnace(furnaceId: string, request: FurnaceRequest): Promise<FurnaceStatus> {
    return this.#request(`/api/furnaces/${furnaceId}`, furnaceStatusSchema, "PUT", request);
  }

  async checks(furnaceId: string): Promise<readonly Check[]> {
    return (await this.#request(`/api/furnaces/${furnaceId}/checks`, checkListSchema)).checks;
  }

  addCheck(furnaceId: string, request: CheckRequest): Promise<Check> {
    return this.#request(`/api/furnaces/${furnaceId}/checks`, checkSchema, "POST", request);
  }

  acceptCheck(furnaceId: string, checkId: number, by: string | null): Promise<FurnaceStatus> {
    const path = `/api/furnaces/${furnaceId}/checks/${checkId}/accept`;
    return this.#request(path, furnaceStatusSchema, "POST", { by });
  }

  withdrawCorrection(furnaceId: string, by: string | null): Promise<FurnaceStatus> {
    return this.#request(`/api/furnaces/${furnaceId}/correction/withdraw`, furnaceStatusSchema, "POST", {
      by,
    });
  }

  setCheckDue(furnaceId: string, dueEpochMilliseconds: number | null): Promise<FurnaceStatus> {
    return this.#request(`/api/furnaces/${furnaceId}/check-due`, furnaceStatusSchema, "PUT", {
      dueEpochMilliseconds,
    });
  }

  listen(request: ListenRequest, signal?: AbortSignal): Promise<ListenAnswer> {
    return this.#request("/api/listen", listenAnswerSchema, "POST", request, signal);
  }

  ask<Answer>(path: string, schema: z.ZodType<Answer>, body?: unknown): Promise<Answer> {
    return this.#request(path, schema, body === undefined ? "GET" : "POST", body);
  }

  /** Registered once on the socket object, which outlives every reconnect: no handler is ever doubled. */
  #listen(): void {
    const lost = () => this.#tell({ kind: "lost", atEpochMilliseconds: Date.now() });
    this.#socket.on("connect", () => this.#tell({ kind: "connected" }));
    this.#socket.on("disconnect", lost);
    this.#socket.on("connect_error", lost);
    this.#socket.on("snapshot", (value) => this.#takeSnapshot(value));
    this.#socket.on("furnace", (value) => {
      const status = parsed("furnace", furnaceStatusSchema, value);
      if (status) this.#tell({ kind: "furnace", status });
    });
    this.#socket.on("samples", (value) => this.#takeSamples(value));
    this.#socket.on("bake", (value) => {
      const bake = parsed("bake", openBakeSchema, value);
      if (!bake) return;
      this.#openBakeIds.add(bake.bake.id);
      this.#tell({ kind: "bake", bake });
      if (this.#parts.samplesHeld(bake.bake.id) < bake.bake.sampleCount) this.#catchUp(bake.bake.id);
    });
    this.#socket.on("finished", (value) => {
      const bake = parsed("finished", bakeSummarySchema, value);
      if (bake) void this.#takeFinished(bake.id, bake);
    });
    this.#socket.on("problem", (value) => {
      const problem = z.string().nullable().safeParse(value);
      if (problem.success) this.#tell({ kind: "problem", problem: problem.data });
    });
    this.#socket.on("plans", (value) => {
      const plans = parsed("plans", z.array(planRevisionSchema), value);
      if (plans) this.#tell({ kind: "plans", plans });
    });
    this.#socket.on("materials", (value) => {
      const materials = parsed("materials", z.array(materialRevisionSchema), value);
      if (materials) this.#tell({ kind: "materials", materials });
    });
  }

  #takeSnapshot(value: unknown): void {
    const version = z.object({ protocolVersion: z.number() }).safeParse(value);
    if (version.success && version.data.protocolVersion !== PROTOCOL_VERSION) {
      (this.#parts.reload ?? reloadOnce)();
      return;
    }
    const snapshot = parsed("snapshot", kioskSnapshotSchema, value);
    if (!snapshot) return;
    const openNow = new Set(snapshot.openBakes.map(({ bake }) => bake.id));
    const endedUnseen = [...this.#openBakeIds].filter((bakeId) => !openNow.has(bakeId));
    for (const bakeId of endedUnseen) void this.#takeFinished(bakeId, null);
    this.#openBakeIds = openNow;
    this.#catchingUp.clear();
    this.#tell({ kind: "snapshot", snapshot });
    for (const { bake } of snapshot.openBakes)
      if (this.#parts.samplesHeld(bake.id) < bake.sampleCount) this.#catchUp(bake.id);
  }

  #takeSamples(value: unknown): void {
    const batch = parsed("samples", sampleBatchSchema, value);
    if (!batch) return;
    if (batch.fromSequence > this.#parts.samplesHeld(batch.bakeId)) this.#catchUp(batch.bakeId);
    else this.#tell({ kind: "samples", batch });
  }

  /** Asks for everything after what the page holds, batch by batch; one asking at a time for a bake. */
  #catchUp(bakeId: number): void {
    if (this.#catchingUp.has(bakeId) || !this.#openBakeIds.has(bakeId)) return;
    this.#catchingUp.add(bakeId);
    const held = this.#parts.samplesHeld(bakeId);
    this.#socket.emit("samples-after", { bakeId, afterSequence: held - 1 }, (value: unknown) => {
      this.#catchingUp.delete(bakeId);
      const answer = parsed("samples-after", answerSchema, value);
      if (!answer) return;
      this.#tell({ kind: "samples", batch: answer });
      if (!answer.isLast && this.#parts.samplesHeld(bakeId) > held) this.#catchUp(bakeId);
    });
  }

  async #takeFinished(bakeId: number, summary: BakeDetail["bake"] | null): Promise<void> {
    this.#openBakeIds.delete(bakeId);
    const held = this.#parts.samplesHeld(bakeId);
    if (summary) this.#tell({ kind: "finished", bake: summary });
    try {
      const detail = await this.bake(bakeId);
      if (!summary) this.#tell({ kind: "finished", bake: detail.bake });
      const isHeld = held >= detail.bake.sampleCount;
      const samples = isHeld ? null : await this.bakeSamples(bakeId, DRAWN_POINTS);
      this.#tell({ kind: "detail", detail, samples });
    } catch (error) {
      this.#tell({ kind: "refused", message: error instanceof Error ? error.message : String(error) });
    }
  }

  #tell(message: Unstamped): void {
    this.#parts.onMessage({ ...message, atSeconds: this.#nowSeconds() });
  }

  async #request<Answer>(
    path: string,
    schema: z.ZodType<Answer>,
    method = "GET",
    body?: unknown,
    signal?: AbortSignal,
  ): Promise<Answer> {
    const response = await this.#fetch(path, {
      method,
      ...(signal ? { signal } : {}),
      headers: { accept: "application/json", ...(body ? { "content-type": "application/json" } : {}) },
      ...(body ? { body: JSON.stringify(body) } : {}),
    }).catch((cause: unknown) => {
      throw new Error("The recording program does not answer. Look whether it runs, then try again.", {
        cause,
      });
    });
    const value: unknown = await response.json().catch(() => null);
    if (!response.ok) throw new Error(refusalLine(value, response.status));
    const answer = schema.safeParse(value);
    if (!answer.success)
      throw new Error(
        `The recording program answered ${path} in a way this page does not read. Reload the page.`,
      );
    return answer.data;
  }
}

function sameOriginSocket(): KioskSocket {
  return io({
    transports: ["websocket", "polling"],
    reconnectionDelay: 200,
    reconnectionDelayMax: 1000,
  });
}

/** A payload by its schema; one that does not fit is told to the console and left out. */
function parsed<Value>(event: string, schema: z.ZodType<Value>, value: unknown): Value | null {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  console.error(`A ${event} message does not fit: ${z.prettifyError(result.error)}`);
  return null;
}

function refusalLine(value: unknown, status: number): string {
  const refusal = refusalSchema.safeParse(value);
  return refusal.success ? refusal.data.error : `The recording program refused with status ${status}.`;
}

const RELOADED_KEY = "bakeside-reloaded-for-protocol";

/** Reloads for another protocol, but only once per version: a stale page in a cache must not loop. */
function reloadOnce(): void {
  if (sessionStorage.getItem(RELOADED_KEY) === String(PROTOCOL_VERSION)) return;
  sessionStorage.setItem(RELOADED_KEY, String(PROTOCOL_VERSION));
  location.reload();
}
