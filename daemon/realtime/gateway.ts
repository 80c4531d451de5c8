import type { Server as HttpServer } from "node:http";
import { Server, type Socket } from "socket.io";
import { z } from "zod";
import { strangerRefusal } from "#daemon/http/own-page";
import type { Log } from "#daemon/log";
import { Outbox } from "#daemon/realtime/outbox";
import { SampleBatches } from "#daemon/realtime/sample-batches";
import type { Recorder } from "#daemon/recording/recorder";
import type { BakeSummary } from "#shared/bake";
import type { FurnaceStatus } from "#shared/furnace";
import type { MaterialRevision } from "#shared/material";
import type { PlanRevision } from "#shared/plan";
import type { DaemonEvents, PageEvents } from "#shared/protocol";
import type { SampleBatch } from "#shared/sample";
import type { KioskSnapshot, OpenBake } from "#shared/status";

const FURNACE_MILLISECONDS = 250;
const BAKE_MILLISECONDS = 500;
const SAMPLES_MILLISECONDS = 100;

/** Samples in one answer. */
const MOST_SAMPLES = 5_000;
/** Questions of one page that may wait; one that asks faster is let go and may connect again. */
const MOST_QUESTIONS = 50;
/** Pages here never send more than a short question. */
const LARGEST_MESSAGE_BYTES = 4_096;
/** Pages of this name have had their snapshot and are told of changes. */
const INFORMED = "informed";

const samplesAfterSchema = z.strictObject({
  bakeId: z.number().int().positive(),
  afterSequence: z.number().int().min(-1).max(Number.MAX_SAFE_INTEGER),
});

/** What the gateway asks for. */
export interface GatewayParts {
  readonly log: Log;
  /** Everything, as it stands this moment. */
  readonly snapshot: () => KioskSnapshot;
  /** Samples of a bake after a sequence number; none for a bake that is not known. */
  readonly samplesAfter: Recorder["samplesAfter"];
}

type PageSocket = Socket<PageEvents, DaemonEvents>;

/**
 * The live side: a page that connects is told everything, then changes. A slow page loses intermediate values,
 * never the newest; samples are volatile, and what a page missed it asks for by sequence number.
 */
export class Gateway {
  readonly #parts: GatewayParts;
  readonly #server: Server<PageEvents, DaemonEvents>;
  readonly #furnaces: Outbox<string, FurnaceStatus>;
  readonly #bakes: Outbox<number, OpenBake>;
  readonly #samples: SampleBatches;

  constructor(httpServer: HttpServer, parts: GatewayParts) {
    this.#parts = parts;
    this.#server = new Server(httpServer, {
      serveClient: false,
      pingInterval: 2000,
      pingTimeout: 1500,
      connectTimeout: 5000,
      maxHttpBufferSize: LARGEST_MESSAGE_BYTES,
      allowRequest: (request, allow) => {
        const refusal = strangerRefusal(request.headers, true);
        allow(refusal, refusal === null);
      },
    });
    const pages = () => this.#server.to(INFORMED);
    this.#furnaces = new Outbox(FURNACE_MILLISECONDS, (status) => pages().emit("furnace", status));
    this.#bakes = new Outbox(BAKE_MILLISECONDS, (bake) => pages().emit("bake", bake));
    this.#samples = new SampleBatches(SAMPLES_MILLISECONDS, (batch) =>
      pages().volatile.emit("samples", batch),
    );
    this.#server.on("connection", (socket) => this.#welcome(socket));
  }

  /** A furnace, its line or its newest reading changed. */
  furnaceChanged(status: FurnaceStatus): void {
    this.#furnaces.put(status.furnace.id, status);
  }

  /** An open bake has new samples. */
  samplesAdded(batch: SampleBatch): void {
    this.#samples.add(batch);
  }

  /** An open bake, its plan or its comparison changed. */
  bakeChanged(bake: OpenBake): void {
    this.#bakes.put(bake.bake.id, bake);
  }

  /** A bake was closed. */
  finished(bake: BakeSummary): void {
    this.#bakes.drop(bake.id);
    this.#samples.flush(bake.id);
    this.#server.to(INFORMED).emit("finished", bake);
  }

  /** Saving went wrong, or is well again. */
  problemChanged(problem: string | null): void {
    this.#server.to(INFORMED).emit("problem", problem);
  }

  /** A material was added, revised or retired. */
  materialsChanged(materials: readonly MaterialRevision[]): void {
    this.#server.to(INFORMED).emit("materials", [...materials]);
  }

  /** A plan was added, revised or retired. */
  plansChanged(plans: readonly PlanRevision[]): void {
    this.#server.to(INFORMED).emit("plans", [...plans]);
  }

  /** Lets every page go; the HTTP server is closed with it. */
  async close(): Promise<void> {
    this.#furnaces.close();
    this.#bakes.close();
    this.#samples.close();
    await this.#server.close();
  }

  #welcome(socket: PageSocket): void {
    socket.emit("snapshot", this.#parts.snapshot());
    void socket.join(INFORMED);
    let waiting = 0;
    let last: Promise<void> = Promise.resolve();
    socket.on("samples-after", (request, answer) => {
      waiting += 1;
      if (waiting > MOST_QUESTIONS) {
        socket.disconnect(true);
        return;
      }
      last = last
        .then(() => this.#answer(request, answer))
        .finally(() => {
          waiting -= 1;
        });
    });
  }

  /** What cannot be understood is left without an answer: no page of ours sends it. */
  async #answer(request: unknown, answer: unknown): Promise<void> {
    const asked = samplesAfterSchema.safeParse(request);
    if (!asked.success || typeof answer !== "function") {
      this.#parts.log.debug({ request }, "a page asked for samples in no known way");
      return;
    }
    const { bakeId, afterSequence } = asked.data;
    try {
      answer(await this.#parts.samplesAfter(bakeId, afterSequence, MOST_SAMPLES));
    } catch (error) {
      this.#parts.log.error({ err: error, bakeId }, "samples could not be read for a page");
      answer({ bakeId, fromSequence: afterSequence + 1, samples: [], isLast: true });
    }
  }
}
