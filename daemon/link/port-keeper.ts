import { type FSWatcher, watch } from "node:fs";
import { basename, dirname } from "node:path";
import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import {
  type ByteSource,
  type ByteSourceEvents,
  type ByteSourceOptions,
  portSource,
} from "#daemon/link/byte-source";
import {
  firstLinkState,
  type LinkEvent,
  type LinkState,
  linkKind,
  nextLinkState,
  patienceSeconds,
} from "#daemon/link/link-state";
import type { LinkStatus } from "#shared/furnace";

const TICK_MILLISECONDS = 250;

/** Who uses one opening of a port; the next opening has another. */
export interface PortUser {
  /** The port is open. */
  opened(): void;
  bytes(chunk: Uint8Array): void;
  /** The port is gone or being closed; nothing comes afterwards. */
  closed(): void;
}

/** What keeping a port open needs. */
export interface PortKeeperOptions extends ByteSourceOptions {
  readonly address: string;
  readonly clock: Clock;
  /** Nothing whole heard for so long: closed and opened again, s. Asked each time, so that it may change. */
  readonly silenceSeconds: () => number;
  /** Opens the address; `portSource` unless something else is given. */
  readonly sourceFor?: typeof portSource | undefined;
  /** @param write sends bytes while this opening lasts; see `ByteSource.write` */
  readonly userFor: (write: (bytes: Uint8Array) => boolean) => PortUser;
  /** The words for a silence of so many seconds; null when its user has its own. */
  readonly silenceMessage: (seconds: number) => string | null;
  /** A recording said all that it holds. */
  readonly onEnded: () => void;
  /** Something happened; true when it is only time that passed, so that counts may be told. */
  readonly onChange: (isTick: boolean) => void;
}

/**
 * Keeps a port open: opens it, notices that it is silent or gone, and opens it again for as long as it takes.
 * Silence is the truth about a port, events are only hints: a port may vanish without any.
 */
export class PortKeeper {
  /** What is not well, for the operator; null when all is. */
  message: string | null = null;
  readonly #options: PortKeeperOptions;
  #state: LinkState;
  #source: ByteSource | null = null;
  #user: PortUser | null = null;
  /** Counts openings, so that a late word of an earlier one is known as such. */
  #opening = 0;
  #closing: Promise<void> = Promise.resolve();
  #timer: NodeJS.Timeout | null = null;
  #watcher: FSWatcher | null = null;

  constructor(options: PortKeeperOptions) {
    this.#options = options;
    this.#state = firstLinkState(options.clock.monotonicSeconds());
  }

  /** The word that the operator sees. */
  get kind(): LinkStatus["kind"] {
    return linkKind(this.#state);
  }

  /** Begins; called once. @param refusal why it cannot be begun: then it only says so */
  start(refusal: string | null): void {
    if (this.#timer) throw new RangeError("PortKeeper requires to be started once");
    const ofSilence = this.#options.silenceSeconds() * 250;
    this.#timer = setInterval(() => this.#tick(), Math.min(TICK_MILLISECONDS, ofSilence));
    if (refusal === null) void this.#open();
    else this.giveUp(refusal);
  }

  /** Ends it for good; settles when the port is closed. */
  async close(): Promise<void> {
    if (this.#timer) clearInterval(this.#timer);
    this.#leave();
    this.#stopWatching();
    this.#state = nextLinkState(this.#state, this.#now("ended"), { silenceSeconds: 0 });
    await this.#closing;
  }

  /** Something whole came. @param isRead true when it was understood */
  heard(isRead: boolean, message: string | null): void {
    this.message = message;
    this.#send({ kind: "line", atSeconds: this.#options.clock.monotonicSeconds(), isRead });
  }

  /** There is nothing more to be had here. */
  giveUp(message: string): void {
    this.message = message;
    this.#send(this.#now("ended"));
  }

  #now(kind: Exclude<LinkEvent["kind"], "line">): LinkEvent {
    return { kind, atSeconds: this.#options.clock.monotonicSeconds() };
  }

  #tick(): void {
    const { kind } = this.#state;
    this.#send(this.#now("tick"), () => {
      this.message = kind === "listening" ? this.#silenceMessage() : this.#noAnswerMessage();
    });
    this.#options.onChange(true);
  }

  /** @param onWaiting called before the change is told, when this event made it wait */
  #send(event: LinkEvent, onWaiting?: () => void): void {
    const before = this.#state;
    this.#state = nextLinkState(before, event, { silenceSeconds: this.#silenceSeconds() });
    if (this.#state === before) return;
    if (this.#state.kind !== before.kind) this.#perform(onWaiting);
    this.#options.onChange(false);
  }

  /** Does what a new state asks for. */
  #perform(onWaiting?: () => void): void {
    switch (this.#state.kind) {
      case "opening":
        this.#stopWatching();
        void this.#open();
        return;
      case "listening":
        if (!this.#state.isSilent) this.message = null;
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
    const { address, baudRate, framing, format, clock, userFor, sourceFor = portSource } = this.#options;
    await this.#closing;
    const source = await sourceFor(address, { baudRate, framing, format }, clock).catch((error: unknown) => {
      if (error instanceof DaemonError) return error;
      throw error;
    });
    if (opening !== this.#opening || this.#state.kind !== "opening") return;
    if (source instanceof DaemonError) {
      this.giveUp(source.message);
      return;
    }
    const user = userFor((bytes) => opening === this.#opening && source.write(bytes));
    this.#source = source;
    this.#user = user;
    source.open(this.#eventsOf(opening, user));
  }

  #eventsOf(opening: number, user: PortUser): ByteSourceEvents {
    const whileCurrent = (act: () => void) => {
      if (opening === this.#opening) act();
    };
    return {
      opened: () =>
        whileCurrent(() => {
          this.#send(this.#now("opened"));
          user.opened();
        }),
      bytes: (chunk) => whileCurrent(() => user.bytes(chunk)),
      lost: (cause) =>
        whileCurrent(() =>
          this.#send(this.#now("lost"), () => {
            this.message = cause.message;
          }),
        ),
      ended: () => whileCurrent(() => this.#options.onEnded()),
    };
  }

  /** Closes what is open; the next opening waits for it. */
  #leave(): void {
    this.#opening += 1;
    const [source, user] = [this.#source, this.#user];
    this.#source = null;
    this.#user = null;
    user?.closed();
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
    return this.#source?.isRecording ? Number.POSITIVE_INFINITY : this.#options.silenceSeconds();
  }

  #silenceMessage(): string | null {
    const seconds = patienceSeconds(this.#state, { silenceSeconds: this.#silenceSeconds() });
    return this.#options.silenceMessage(Number(seconds.toPrecision(2)));
  }

  #noAnswerMessage(): string {
    return `Cannot open ${this.#options.address}: it does not answer. Unplug the adapter and plug it in again.`;
  }
}
