import { DaemonError } from "#daemon/errors";
import type { ByteSource, ByteSourceEvents } from "#daemon/link/byte-source";

/** A port in memory: a test says what the instrument says, and unplugs it. */
export class MemoryPort implements ByteSource {
  readonly isRecording: boolean;
  /** How often it was opened and closed. */
  opens = 0;
  closes = 0;
  /** False: the next openings fail as if nothing were plugged in. */
  isPlugged = true;
  /** What was written to it while it was open. */
  readonly written: Buffer[] = [];
  /** Gets what is written: the instrument behind the port. */
  onWritten: ((bytes: Buffer) => void) | null = null;
  #events: ByteSourceEvents | null = null;

  constructor(isRecording = false) {
    this.isRecording = isRecording;
  }

  get isOpen(): boolean {
    return this.#events !== null;
  }

  open(events: ByteSourceEvents): void {
    this.opens += 1;
    if (!this.isPlugged) {
      events.lost(new DaemonError("port-missing", "Cannot open the memory port: it is not plugged in."));
      return;
    }
    this.#events = events;
    events.opened();
  }

  write(bytes: Uint8Array): boolean {
    if (!this.isOpen) return false;
    this.written.push(Buffer.from(bytes));
    this.onWritten?.(Buffer.from(bytes));
    return true;
  }

  async close(): Promise<void> {
    this.closes += 1;
    this.#events = null;
  }

  /** The instrument says this, as text or bytes; nobody hears it while the port is closed. */
  say(said: string | Uint8Array): void {
    this.#events?.bytes(typeof said === "string" ? Buffer.from(said) : said);
  }

  /** The cable is pulled, and the port says so. */
  unplug(): void {
    this.isPlugged = false;
    const events = this.#events;
    this.#events = null;
    events?.lost(new DaemonError("port-missing", "Lost the memory port: it was unplugged."));
  }

  /** A recording comes to its end. */
  end(): void {
    const events = this.#events;
    this.#events = null;
    events?.ended();
  }
}
