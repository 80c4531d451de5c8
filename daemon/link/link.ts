import { type FSWatcher, watch } from "node:fs";
import { basename, dirname } from "node:path";
import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import { type ByteSource, type ByteSourceEvents, portSource } from "#daemon/link/byte-source";
import { isPolled, parseFormat } from "#daemon/link/formats/formats";
import { LineFramer } from "#daemon/link/line-framer";
import { LineReader } from "#daemon/link/line-reader";
import {
  firstLinkState,
  type LinkEvent,
  type LinkState,
  linkKind,
  nextLinkState,
  patienceSeconds,
} from "#daemon/link/link-state";
import type { Reading } from "#daemon/link/reading";
import type { LinkStatus } from "#shared/furnace";

const DEFAULT_SILENCE_SECONDS = 10;
const TICK_MILLISECONDS = 250;
/** So many refused lines in a row are worth a word to the operator. */
const REFUSED_LINES_WORTH_A_WORD = 5;

/** What a link needs. */
export interface LinkOptions {
  readonly furnaceId: string;
  /** `/dev/…`, `tcp://host:port`, `file:/path?speed=60`. */
  readonly address: string;
  readonly baudRate: number;
  /** As in `formats.md`, or `auto`. */
  readonly format: string;
  readonly clock: Clock;
  /** No line for so long: closed and opened again, s. */
  readonly silenceSeconds?: number | undefined;
  readonly onReading: (reading: Reading) => void;
  /** Told at once when the kind, the message or the format changes, and the counts a few times a second. */
  readonly onStatus: (status: LinkStatus) => void;
  /** Opens the address; `portSource` unless something else is given. */
  readonly sourceFor?: typeof portSource | undefined;
}

/**
 * The line to one furnace: opened, listened to, and opened again for as long as it takes. Silence is the truth
 * about a port, events are only hints: a port may vanish without any.
 */
export class Link {
  readonly #options: LinkOptions;
  readonly #reader: LineReader;
  readonly #formatError: string | null;
  #state: LinkState;
  #message: string | null = null;
  #told: LinkStatus;
  #source: ByteSource | null = null;
  #framer: LineFramer | null = null;
  #overlongBefore = 0;
  /** Counts openings, so that a late word of an earlier one is known as such. */
  #opening = 0;
  #closing: Promise<void> = Promise.resolve();
  #timer: NodeJS.Timeout | null = null;
  #watcher: FSWatcher | null = null;

  constructor(options: LinkOptions) {
    const { clock, furnaceId, onReading } = options;
    const parsed = parseFormat(options.format);
    this.#options = options;
    this.#formatError = parsed.ok ? null : parsed.error;
    this.#reader = new LineReader(
      parsed.ok && !isPolled(parsed.format) ? parsed.format : { kind: "auto" },
      (channels, moment) =>
        onReading({
          ...channels,
          furnaceId,
          receivedAtSeconds: moment.seconds,
          receivedAtEpochMilliseconds: moment.epochMilliseconds,
        }),
    );
    this.#state = firstLinkState(clock.monotonicSeconds());
    this.#told = this.#statusSince(clock.epochMilliseconds());
  }

  /** What the link is doing now. */
  get status(): LinkStatus {
    return this.#statusSince(this.#told.sinceEpochMilliseconds);
  }

  /** Begins; called once. A format or an address that cannot be used is told in the status. */
  start(): void {
    if (this.#timer) throw new RangeError("Link requires to be started once");
    const { silenceSeconds = DEFAULT_SILENCE_SECONDS, onStatus } = this.#options;
    this.#timer = setInterval(() => this.#tick(), Math.min(TICK_MILLISECONDS, silenceSeconds * 250));
    onStatus(this.status);
    if (this.#formatError === null) void this.#open();
    else this.#giveUp(this.#formatError);
  }

  /** Ends it for good; settles when the port is closed. */
  async close(): Promise<void> {
    if (this.#timer) clearInterval(this.#timer);
    this.#leave();
    this.#stopWatching();
    this.#state = nextLinkState(this.#state, this.#now("ended"), { silenceSeconds: 0 });
    await this.#closing;
  }

  #now(kind: Exclude<LinkEvent["kind"], "line">): LinkEvent {
    return { kind, atSeconds: this.#options.clock.monotonicSeconds() };
  }

  #tick(): void {
    const { kind } = this.#state;
    this.#send(this.#now("tick"), () => {
      this.#message = kind === "listening" ? this.#silenceMessage() : this.#noAnswerMessage();
    });
    this.#tell(true);
  }

  /** @param onWaiting called before the status is told, when this event made the link wait */
  #send(event: LinkEvent, onWaiting?: () => void): void {
    const before = this.#state;
    this.#state = nextLinkState(before, event, { silenceSeconds: this.#silenceSeconds() });
    if (this.#state === before) return;
    if (this.#state.kind !== before.kind) this.#perform(onWaiting);
    this.#tell(false);
  }

  /** Does what a new state asks for. */
  #perform(onWaiting?: () => void): void {
    switch (this.#state.kind) {
      case "opening":
        this.#stopWatching();
        void this.#open();
        return;
      case "listening":
        if (!this.#state.isSilent) this.#message = null;
        return;
      case "waiting":
        onWaiting?.();
        this.#leave();
        this.#watchName();
        return;
      case "ended":
        this.#leave();
    }
  }

  async #open(): Promise<void> {
    this.#opening += 1;
    const opening = this.#opening;
    const { address, baudRate, format, clock, sourceFor = portSource } = this.#options;
    await this.#closing;
    const source = await sourceFor(address, { baudRate, format }, clock).catch((error: unknown) => {
      if (error instanceof DaemonError) return error;
      throw error;
    });
    if (opening !== this.#opening || this.#state.kind !== "opening") return;
    if (source instanceof DaemonError) {
      this.#giveUp(source.message);
      return;
    }
    const framer = new LineFramer((line) => this.#hear(line));
    this.#source = source;
    this.#framer = framer;
    source.open(this.#eventsOf(opening, framer));
  }

  #eventsOf(opening: number, framer: LineFramer): ByteSourceEvents {
    const whileCurrent = (act: () => void) => {
      if (opening === this.#opening) act();
    };
    return {
      opened: () => whileCurrent(() => this.#send(this.#now("opened"))),
      bytes: (chunk) => whileCurrent(() => framer.push(chunk)),
      lost: (cause) =>
        whileCurrent(() =>
          this.#send(this.#now("lost"), () => {
            this.#message = cause.message;
          }),
        ),
      ended: () => whileCurrent(() => this.#endRecording()),
    };
  }

  #hear(line: string): void {
    const { clock } = this.#options;
    const moment = { seconds: clock.monotonicSeconds(), epochMilliseconds: clock.epochMilliseconds() };
    const isRead = this.#reader.read(line, moment);
    this.#message = isRead ? null : this.#refusalMessage();
    this.#send({ kind: "line", atSeconds: moment.seconds, isRead });
  }

  /** A recording said all that it holds. */
  #endRecording(): void {
    const { address } = this.#options;
    this.#reader.end();
    const isRead = this.#reader.acceptedLines > 0;
    this.#giveUp(
      isRead
        ? `The recording ${address} is at its end.`
        : `No line of ${address} could be read. Say how they read with --format, or choose another file.`,
    );
  }

  #giveUp(message: string): void {
    this.#message = message;
    this.#send(this.#now("ended"));
  }

  /** Closes what is open; the next opening waits for it. */
  #leave(): void {
    this.#opening += 1;
    const source = this.#source;
    this.#overlongBefore += this.#framer?.overlongLines ?? 0;
    this.#framer?.close();
    this.#framer = null;
    this.#source = null;
    if (source) this.#closing = source.close();
  }

  /** A port that comes back is opened at once instead of at the next try. */
  #watchName(): void {
    const { address } = this.#options;
    if (!address.startsWith("/")) return;
    try {
      this.#watcher = watch(dirname(address), (_, name) => {
        if (name === basename(address)) this.#send(this.#now("appeared"));
      });
      this.#watcher.on("error", () => this.#stopWatching());
    } catch {
      this.#watcher = null; // The folder goes with its last port; the next try comes anyway.
    }
  }

  #stopWatching(): void {
    this.#watcher?.close();
    this.#watcher = null;
  }

  #silenceSeconds(): number {
    const { silenceSeconds = DEFAULT_SILENCE_SECONDS } = this.#options;
    return this.#source?.isRecording ? Number.POSITIVE_INFINITY : silenceSeconds;
  }

  #silenceMessage(): string {
    const { address, baudRate } = this.#options;
    const seconds = Number(
      patienceSeconds(this.#state, { silenceSeconds: this.#silenceSeconds() }).toPrecision(2),
    );
    return (this.#framer?.bytesSinceLineEnd ?? 0) > 0
      ? `Bytes come from ${address}, but no line for ${seconds} s. Check the baud rate (${baudRate}) and the instrument.`
      : `Nothing from ${address} for ${seconds} s. Check the instrument and its cable; another program may be reading this port.`;
  }

  #noAnswerMessage(): string {
    return `Cannot open ${this.#options.address}: it does not answer. Unplug the adapter and plug it in again.`;
  }

  #refusalMessage(): string | null {
    const { refusedInARow, fault, spec } = this.#reader;
    if (refusedInARow < REFUSED_LINES_WORTH_A_WORD) return null;
    const { address } = this.#options;
    return `Lines come, but they do not read as ${spec ?? "any known format"} (${fault}). Run \`bakeside listen ${address}\`.`;
  }

  #statusSince(sinceEpochMilliseconds: number): LinkStatus {
    return {
      kind: linkKind(this.#state),
      sinceEpochMilliseconds,
      message: this.#message?.slice(0, 500) ?? null,
      acceptedLines: this.#reader.acceptedLines,
      refusedLines: this.#reader.refusedLines,
      overlongLines: this.#overlongBefore + (this.#framer?.overlongLines ?? 0),
      unanswered: 0,
      lastRefusedLine: this.#reader.lastRefusedLine,
      format: this.#reader.spec,
    };
  }

  /** @param withCounts false when only a change of kind, message or format is worth a word */
  #tell(withCounts: boolean): void {
    const told = this.#told;
    const status = this.status;
    const isChanged =
      status.kind !== told.kind || status.message !== told.message || status.format !== told.format;
    const isCounted =
      status.acceptedLines !== told.acceptedLines ||
      status.refusedLines !== told.refusedLines ||
      status.overlongLines !== told.overlongLines;
    if (!isChanged && !(withCounts && isCounted)) return;
    this.#told =
      status.kind === told.kind
        ? status
        : { ...status, sinceEpochMilliseconds: this.#options.clock.epochMilliseconds() };
    this.#options.onStatus(this.#told);
  }
}
