import { mkdir, readlink, rename, symlink, unlink } from "node:fs/promises";
import { dirname } from "node:path";
import { performance } from "node:perf_hooks";
import { type Caller, type LineOut, openLineOut, type Transport } from "#simulators/line-out";
import { heardBytes } from "#simulators/uart";

/** How often a line is asked whether anybody listens, and at what rate. */
const LISTENER_MILLISECONDS = 500;

/** How often while the rate is wrong: whoever listens is looking for the right one. */
const WRONG_RATE_MILLISECONDS = 50;

/** What a line is. */
export interface BenchLineOptions {
  readonly transport: Transport;
  /** Where the stable name of a pseudo-terminal is kept; null for none. */
  readonly linkPath: string | null;
  /** The rate at which the instrument speaks; null where any rate reads well. */
  readonly baud: number | null;
}

/** A line with a name that stays while the port behind it comes and goes. */
export class BenchLine {
  readonly #transport: Transport;
  readonly #linkPath: string | null;
  readonly #baud: number | null;
  #listener: (bytes: Buffer, caller: Caller) => void = () => {};
  #out: LineOut | null = null;
  #tcpPort = 0;
  #lastChange: Promise<void> = Promise.resolve();
  #isListened = false;
  #askedAtMilliseconds = Number.NEGATIVE_INFINITY;

  /** The far end's rate as it was last seen; null when it is not known. */
  #farBaud: number | null = null;
  #farBaudAtMilliseconds = Number.NEGATIVE_INFINITY;
  #farBaudAsked: Promise<void> = Promise.resolve();

  private constructor({ transport, linkPath, baud }: BenchLineOptions) {
    this.#transport = transport;
    this.#linkPath = linkPath;
    this.#baud = baud;
  }

  /** Opens the line and points its stable name at it. */
  static async open(options: BenchLineOptions): Promise<BenchLine> {
    const line = new BenchLine(options);
    await line.restore();
    return line;
  }

  /** What the daemon is given: the stable name, or the TCP address. */
  get port(): string {
    if (this.#linkPath !== null && this.#isPty) return this.#linkPath;
    return this.#out?.address ?? `tcp://127.0.0.1:${this.#tcpPort}`;
  }

  /** Says something; it is lost when nobody listens. Call it often, also with nothing to say. */
  write(bytes: Buffer): void {
    const now = performance.now();
    if (now - this.#askedAtMilliseconds >= LISTENER_MILLISECONDS) {
      this.#askedAtMilliseconds = now;
      this.#isListened = this.#out?.isListening() ?? false;
    }
    if (!this.#isListened || bytes.length === 0) return;
    if (this.#baud === null) this.#out?.write(bytes);
    else void this.#seenFarBaud().then(() => this.#out?.write(this.#heardThere(bytes)));
  }

  /** Answers somebody who asked. */
  reply(bytes: Buffer, caller: Caller): void {
    if (bytes.length > 0) caller.write(this.#heardThere(bytes));
  }

  /** Calls the listener with what is heard from the far end, and with the one whom it came from. */
  onInput(listener: (bytes: Buffer, caller: Caller) => void): void {
    this.#listener = listener;
  }

  /** The port goes away, as when somebody pulls the plug; the stable name goes with it. */
  vanish(): Promise<void> {
    return this.#inTurn(async () => {
      const out = this.#out;
      if (!out) return;
      const linkPath = this.#isPty ? this.#linkPath : null;
      this.#out = null;
      this.#isListened = false;
      if (linkPath !== null) await removeLink(linkPath, out.address);
      await out.close();
    });
  }

  /** The port is there, a new one behind the same name. */
  restore(): Promise<void> {
    return this.#inTurn(async () => {
      if (this.#out) return;
      const out = await openLineOut(this.#transport, this.#tcpPort);
      if (out.address.startsWith("tcp:")) this.#tcpPort = Number(new URL(out.address).port);
      else if (this.#linkPath !== null) await pointLink(this.#linkPath, out.address);
      out.onInput((bytes, caller) => void this.#hear(bytes, caller));
      this.#out = out;
    });
  }

  /** What comes in is heard at the rate that the far end has at the time. */
  async #hear(bytes: Buffer, caller: Caller): Promise<void> {
    if (this.#baud === null) return this.#listener(bytes, caller);
    await this.#seenFarBaud();
    this.#listener(heardBytes(bytes, this.#farBaud ?? this.#baud, this.#baud), caller);
  }

  #heardThere(bytes: Buffer): Buffer {
    return this.#baud === null ? bytes : heardBytes(bytes, this.#baud, this.#farBaud ?? this.#baud);
  }

  /** Looks at the far end's rate now and then, one look after the other; settles once it is as fresh as that. */
  #seenFarBaud(): Promise<void> {
    const now = performance.now();
    const freshMilliseconds = this.#farBaud === this.#baud ? LISTENER_MILLISECONDS : WRONG_RATE_MILLISECONDS;
    if (this.#baud === null || now - this.#farBaudAtMilliseconds < freshMilliseconds)
      return this.#farBaudAsked;
    this.#farBaudAtMilliseconds = now;
    this.#farBaudAsked = this.#farBaudAsked.then(async () => {
      this.#farBaud = (await this.#out?.farBaud()) ?? null;
    });
    return this.#farBaudAsked;
  }

  /** One change after the other, also when an earlier one failed. */
  #inTurn(change: () => Promise<void>): Promise<void> {
    this.#lastChange = this.#lastChange.then(change, change);
    return this.#lastChange;
  }

  get #isPty(): boolean {
    return this.#out !== null && !this.#out.address.startsWith("tcp:");
  }
}

/** Makes or turns a link in one move, so that nobody finds it missing. */
async function pointLink(linkPath: string, target: string): Promise<void> {
  await mkdir(dirname(linkPath), { recursive: true });
  const freshPath = `${linkPath}.${process.pid}`;
  await symlink(target, freshPath);
  await rename(freshPath, linkPath);
}

/** Removes a link, unless somebody else has turned it meanwhile. */
async function removeLink(linkPath: string, target: string): Promise<void> {
  try {
    if ((await readlink(linkPath)) === target) await unlink(linkPath);
  } catch {
    // It is gone already.
  }
}
