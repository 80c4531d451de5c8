import { mkdir, readlink, rename, symlink, unlink } from "node:fs/promises";
import { dirname } from "node:path";
import { performance } from "node:perf_hooks";
import { type LineOut, openLineOut, type Transport } from "#simulators/line-out";

/** How often a line is asked whether anybody listens. */
const LISTENER_MILLISECONDS = 500;

/** A line with a name that stays while the port behind it comes and goes. */
export class BenchLine {
  readonly #transport: Transport;
  readonly #linkPath: string | null;
  #out: LineOut | null = null;
  #tcpPort = 0;
  #lastChange: Promise<void> = Promise.resolve();
  #isListened = false;
  #askedAtMilliseconds = Number.NEGATIVE_INFINITY;

  private constructor(transport: Transport, linkPath: string | null) {
    this.#transport = transport;
    this.#linkPath = linkPath;
  }

  /**
   * Opens the line and points its stable name at it.
   * @param linkPath where the stable name of a pseudo-terminal is kept; null for none
   */
  static async open(transport: Transport, linkPath: string | null): Promise<BenchLine> {
    const line = new BenchLine(transport, linkPath);
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
    if (this.#isListened && bytes.length > 0) this.#out?.write(bytes);
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
      this.#out = out;
    });
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
