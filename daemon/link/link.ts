import type { Clock } from "#daemon/clock";
import type { portSource } from "#daemon/link/byte-source";
import { isPolled, type LineFormat, parseFormat } from "#daemon/link/formats/formats";
import { LineFramer } from "#daemon/link/line-framer";
import { LineReader } from "#daemon/link/line-reader";
import { PortKeeper, type PortUser } from "#daemon/link/port-keeper";
import type { Reading } from "#daemon/link/reading";
import { type LinkNow, StatusTeller } from "#daemon/link/status-teller";
import type { LinkStatus, SerialFraming } from "#shared/furnace";

/** The silence after which a port is opened anew, s, unless it is said otherwise. */
export const DEFAULT_SILENCE_SECONDS = 10;
/** So many refused lines in a row are worth a word to the operator. */
const REFUSED_LINES_WORTH_A_WORD = 5;

/** What a link needs. */
export interface LinkOptions {
  readonly furnaceId: string;
  /** `/dev/…`, `tcp://host:port`, `file:/path?speed=60`. */
  readonly address: string;
  readonly baudRate: number;
  /** Data bits, parity and stop bits of a serial port; 8N1 unless something else is given. */
  readonly framing?: SerialFraming | undefined;
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
 * The line to one furnace that speaks by itself: opened, listened to, and opened again for as long as it takes.
 * Nothing is ever written to it.
 */
export class Link {
  readonly #options: LinkOptions;
  readonly #reader: LineReader;
  readonly #refusal: string | null;
  readonly #keeper: PortKeeper;
  readonly #teller: StatusTeller;
  #framer: LineFramer | null = null;
  #overlongBefore = 0;

  constructor(options: LinkOptions) {
    const { clock, silenceSeconds = DEFAULT_SILENCE_SECONDS } = options;
    const format = lineFormat(options.format);
    this.#options = options;
    this.#refusal = typeof format === "string" ? format : null;
    this.#reader = new LineReader(
      typeof format === "string" ? { kind: "auto" } : format,
      (channels, moment) =>
        options.onReading({
          ...channels,
          furnaceId: options.furnaceId,
          receivedAtSeconds: moment.seconds,
          receivedAtEpochMilliseconds: moment.epochMilliseconds,
        }),
    );
    this.#keeper = new PortKeeper({
      ...options,
      silenceSeconds: () => silenceSeconds,
      userFor: () => this.#user(),
      silenceMessage: (seconds) => this.#silenceMessage(seconds),
      onEnded: () => this.#endRecording(),
      onChange: (isTick) => this.#teller.tell(isTick),
    });
    this.#teller = new StatusTeller(clock, () => this.#now(), options.onStatus);
  }

  /** What the link is doing now. */
  get status(): LinkStatus {
    return this.#teller.status;
  }

  /** Begins; called once. A format or an address that cannot be used is told in the status. */
  start(): void {
    this.#teller.begin();
    this.#keeper.start(this.#refusal);
  }

  /** Ends it for good; settles when the port is closed. */
  close(): Promise<void> {
    return this.#keeper.close();
  }

  #user(): PortUser {
    const framer = new LineFramer((line) => this.#hear(line));
    this.#framer = framer;
    return {
      opened: () => {},
      bytes: (chunk) => framer.push(chunk),
      closed: () => {
        this.#overlongBefore += framer.overlongLines;
        this.#framer = null;
        framer.close();
      },
    };
  }

  #hear(line: string): void {
    const { clock } = this.#options;
    const moment = { seconds: clock.monotonicSeconds(), epochMilliseconds: clock.epochMilliseconds() };
    const isRead = this.#reader.read(line, moment);
    this.#keeper.heard(isRead, isRead ? null : this.#refusalMessage());
  }

  /** A recording said all that it holds. */
  #endRecording(): void {
    const { address } = this.#options;
    this.#reader.end();
    const isRead = this.#reader.acceptedLines > 0;
    this.#keeper.giveUp(
      isRead
        ? `The recording ${address} is at its end.`
        : `No line of ${address} could be read. Say how they read with --format, or choose another file.`,
    );
  }

  #silenceMessage(seconds: number): string {
    const { address, baudRate } = this.#options;
    return (this.#framer?.bytesSinceLineEnd ?? 0) > 0
      ? `Bytes come from ${address}, but no line for ${seconds} s. Check the baud rate (${baudRate}) and the instrument.`
      : `Nothing from ${address} for ${seconds} s. Check the instrument and its cable; another program may be reading this port.`;
  }

  #refusalMessage(): string | null {
    const { refusedInARow, fault, spec } = this.#reader;
    if (refusedInARow < REFUSED_LINES_WORTH_A_WORD) return null;
    const { address } = this.#options;
    return `Lines come, but they do not read as ${spec ?? "any known format"} (${fault}). Run \`bakeside listen ${address}\`.`;
  }

  #now(): LinkNow {
    return {
      kind: this.#keeper.kind,
      message: this.#keeper.message,
      acceptedLines: this.#reader.acceptedLines,
      refusedLines: this.#reader.refusedLines,
      overlongLines: this.#overlongBefore + (this.#framer?.overlongLines ?? 0),
      unanswered: 0,
      lastRefusedLine: this.#reader.lastRefusedLine,
      format: this.#reader.spec,
    };
  }
}

/** The format of an instrument that speaks by itself, or what is wrong with its text. */
function lineFormat(spec: string): LineFormat | string {
  const parsed = parseFormat(spec);
  if (!parsed.ok) return parsed.error;
  return isPolled(parsed.format)
    ? `Cannot use this format here: ${parsed.format.kind} is for an instrument that is asked`
    : parsed.format;
}
