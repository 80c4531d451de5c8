import { realpath } from "node:fs/promises";
import type { z } from "zod";
import type { Clock } from "#daemon/clock";
import { portAddress } from "#daemon/config";
import { DaemonError } from "#daemon/errors";
import type { FurnaceLines } from "#daemon/furnace-lines";
import { isPolled, parseFormat } from "#daemon/link/formats/formats";
import { type HeardPort, hearPort } from "#daemon/link/hear-port";
import { printable } from "#daemon/link/heard-words";
import type { FurnaceStatus } from "#shared/furnace";
import type { ListenAnswer, listenRequestSchema, Proposal } from "#shared/listening";

/** Whoever waits at the screen has an answer in this, s; a request may take no longer than 30 s. */
const MOST_SECONDS = 23;
/** What is not over by then, a port that does not open say, is given up, s. */
const LAST_SECONDS = 24;
/** Whoever gave up is waited for until the port is closed, s. */
const LEAVING_SECONDS = 2;
const LINES_SHOWN = 5;

/** Listens to an unknown port for somebody who sets a furnace up: one port at a time, none that is recorded. */
export class Listening {
  readonly #lines: FurnaceLines;
  readonly #clock: Clock;
  readonly #hear: typeof hearPort;
  #current: { readonly port: string; readonly over: Promise<unknown> } | null = null;

  constructor(lines: FurnaceLines, clock: Clock, hear: typeof hearPort = hearPort) {
    this.#lines = lines;
    this.#clock = clock;
    this.#hear = hear;
  }

  /**
   * The ways to read a port. One that a furnace hears well is answered from there; one that a furnace cannot
   * read is taken from it for the moment, unless a bake is open on it.
   * @param signal ends it at once; whoever listens next then waits until the port is closed
   * @throws DaemonError when another port is being listened to, the port is in use, or cannot be opened
   */
  async listen(request: z.output<typeof listenRequestSchema>, signal: AbortSignal): Promise<ListenAnswer> {
    const untilSeconds = this.#clock.monotonicSeconds() + LEAVING_SECONDS;
    for (let other = this.#current; other; other = this.#current) {
      const left = untilSeconds - this.#clock.monotonicSeconds();
      if (left <= 0 || !(await isOverWithin(other.over, left))) throw isTaken(other.port);
    }
    const current = { port: request.port.slice(0, 100), over: this.#answer(request, signal) };
    this.#current = current;
    try {
      return await current.over;
    } finally {
      if (this.#current === current) this.#current = null;
    }
  }

  async #answer(request: z.output<typeof listenRequestSchema>, signal: AbortSignal): Promise<ListenAnswer> {
    const port = portAddress(request.port);
    const users = await usersOf(port, this.#lines.statuses());
    const well = users.find(isWell);
    if (well) return answerOf(well);
    const baking = users.find(({ openBakeId }) => openBakeId !== null);
    if (baking) throw new DaemonError("conflict", inUse(baking));
    const ids = users.map(({ furnace }) => furnace.id);
    const end = AbortSignal.any([signal, AbortSignal.timeout(LAST_SECONDS * 1000)]);
    const options = { ...request, mostSeconds: MOST_SECONDS, signal: end };
    return this.#lines.without(ids, async () =>
      heardAnswer(port, await this.#hear(port, options, this.#clock)),
    );
  }
}

function isTaken(port: string): DaemonError {
  return new DaemonError(
    "conflict",
    `Somebody is listening to ${port} already: wait until that is over, half a minute at most.`,
  );
}

/** Whether something is over in time, well or not. */
async function isOverWithin(work: Promise<unknown>, seconds: number): Promise<boolean> {
  let timer: NodeJS.Timeout | undefined;
  const tooLong = new Promise<boolean>((resolve) => {
    timer = setTimeout(() => resolve(false), seconds * 1000);
  });
  const over = work.then(
    () => true,
    () => true,
  );
  const isOver = await Promise.race([over, tooLong]);
  clearTimeout(timer);
  return isOver;
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
  const format = link.format ?? furnace.format;
  const parsed = parseFormat(format);
  const isAsked = parsed.ok && isPolled(parsed.format);
  const proposal: Proposal = {
    format,
    baudRate: furnace.baudRate,
    framing: furnace.framing,
    isPolled: isAsked,
    fits: link.acceptedLines,
    heard: link.acceptedLines + link.refusedLines,
    preview: saysTemperature(format) ? (latest?.sample ?? {}) : { ...latest?.sample, celsius: undefined },
  };
  const other = isAsked
    ? "Another furnace on it needs its own unit: type this format with that unit's number"
    : "Another furnace needs another port";
  const message = `${furnace.name} uses this port and reads it so. ${other}; to listen anew, choose No line for ${furnace.name} first.`;
  return { port: furnace.port ?? "", proposals: [proposal], lines: [], message };
}

/** Whether a format has a temperature of the chamber; else °C came of millivolts, by the furnace's own probe. */
function saysTemperature(format: string): boolean {
  return /(?<!cold-)\b(?:celsius|fahrenheit|kelvin)\b/.test(format);
}

function heardAnswer(port: string, { proposals, best, answers, message }: HeardPort): ListenAnswer {
  const lines = [...(best?.lines ?? []), ...answers].slice(-LINES_SHOWN).map(printable);
  return { port, proposals: [...proposals], lines, message: message?.slice(0, 500) ?? null };
}
