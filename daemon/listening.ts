import { realpath } from "node:fs/promises";
import type { z } from "zod";
import type { Clock } from "#daemon/clock";
import { portAddress } from "#daemon/config";
import { DaemonError } from "#daemon/errors";
import type { FurnaceLines } from "#daemon/furnace-lines";
import { type HeardPort, hearPort } from "#daemon/link/hear-port";
import { printable } from "#daemon/link/heard-words";
import type { FurnaceStatus } from "#shared/furnace";
import type { ListenAnswer, listenRequestSchema, Proposal } from "#shared/listening";

/** Whoever waits at the screen has an answer in this, s; a request may take no longer than 30 s. */
const MOST_SECONDS = 24;
const LINES_SHOWN = 5;

/** Listens to an unknown port for somebody who sets a furnace up: one port at a time, none that is recorded. */
export class Listening {
  readonly #lines: FurnaceLines;
  readonly #clock: Clock;
  readonly #hear: typeof hearPort;
  #port: string | null = null;

  constructor(lines: FurnaceLines, clock: Clock, hear: typeof hearPort = hearPort) {
    this.#lines = lines;
    this.#clock = clock;
    this.#hear = hear;
  }

  /**
   * The ways to read a port. One that a furnace hears well is answered from there; one that a furnace cannot
   * read is taken from it for the moment, unless a bake is open on it.
   * @throws DaemonError when another port is being listened to, the port is in use, or cannot be opened
   */
  async listen(request: z.output<typeof listenRequestSchema>, signal: AbortSignal): Promise<ListenAnswer> {
    if (this.#port !== null)
      throw new DaemonError(
        "conflict",
        `Somebody is listening to ${this.#port} already: wait until that is over, half a minute at most.`,
      );
    this.#port = request.port.slice(0, 100);
    try {
      return await this.#answer({ ...request, port: portAddress(request.port) }, signal);
    } finally {
      this.#port = null;
    }
  }

  async #answer(request: z.output<typeof listenRequestSchema>, signal: AbortSignal): Promise<ListenAnswer> {
    const { port } = request;
    const users = await usersOf(port, this.#lines.statuses());
    const well = users.find(isWell);
    if (well) return answerOf(well);
    const baking = users.find(({ openBakeId }) => openBakeId !== null);
    if (baking) throw new DaemonError("conflict", inUse(baking));
    const ids = users.map(({ furnace }) => furnace.id);
    return this.#lines.without(ids, async () => {
      const heard = await this.#hear(port, { ...request, mostSeconds: MOST_SECONDS, signal }, this.#clock);
      return heardAnswer(port, heard);
    });
  }
}

/** The furnaces that have a port; a recorded file may be read by any number. */
async function usersOf(port: string, statuses: readonly FurnaceStatus[]): Promise<FurnaceStatus[]> {
  if (port.startsWith("file:")) return [];
  const device = await deviceOf(port);
  const uses = await Promise.all(
    statuses.map(async ({ furnace }) => furnace.port !== null && (await deviceOf(furnace.port)) === device),
  );
  return statuses.filter((_, index) => uses[index]);
}

/** What a port's name leads to: `/dev/serial/by-id/…` and `/dev/ttyUSB0` may be one. */
async function deviceOf(port: string): Promise<string> {
  return port.startsWith("/") ? realpath(port).catch(() => port) : port.toLowerCase();
}

function isWell({ link, latest }: FurnaceStatus): boolean {
  return link.kind === "listening" && link.format !== null && link.acceptedLines > 0 && latest !== null;
}

function inUse({ furnace, openBakeId }: FurnaceStatus): string {
  return `${furnace.name} uses ${furnace.port?.slice(0, 100)}, and bake ${openBakeId} is open on it. Listen when the bake is over.`;
}

/** What a furnace's own line knows of the port. */
function answerOf({ furnace, link, latest }: FurnaceStatus): ListenAnswer {
  const proposal: Proposal = {
    format: link.format ?? furnace.format,
    baudRate: furnace.baudRate,
    framing: furnace.framing,
    isPolled: /^(?:modbus|modbus-tcp|scpi):/.test(link.format ?? ""),
    fits: link.acceptedLines,
    heard: link.acceptedLines + link.refusedLines,
    preview: latest?.sample ?? {},
  };
  const message = `${furnace.name} uses this port and reads it. Choose no port for ${furnace.name} to listen to it anew.`;
  return { port: furnace.port ?? "", proposals: [proposal], lines: [], message };
}

function heardAnswer(port: string, { proposals, best, answers, message }: HeardPort): ListenAnswer {
  const lines = [...(best?.lines ?? []), ...answers].slice(-LINES_SHOWN).map(printable);
  return { port, proposals: [...proposals], lines, message: message?.slice(0, 500) ?? null };
}
