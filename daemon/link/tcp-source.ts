import { connect, type Socket } from "node:net";
import { DaemonError } from "#daemon/errors";
import type { ByteSource, ByteSourceEvents } from "#daemon/link/byte-source";

const CONNECT_LIMIT_MILLISECONDS = 5000;
const KEEP_ALIVE_MILLISECONDS = 10_000;
const addressPattern = /^tcp:\/\/(?:\[([0-9a-f:.%]+)\]|([a-z0-9._-]{1,253})):(\d{1,5})\/?$/i;

/** A serial line behind a network box, or a simulated furnace: `tcp://host:port`. */
export class TcpSource implements ByteSource {
  readonly isRecording = false;
  readonly #address: string;
  readonly #host: string;
  readonly #port: number;
  #socket: Socket | null = null;

  /** @throws DaemonError when the address is not `tcp://host:port` */
  constructor(address: string) {
    const [, bracketed, plain, digits] = addressPattern.exec(address) ?? [];
    const host = bracketed ?? plain;
    const port = Number(digits);
    if (host === undefined || !(port >= 1 && port <= 65_535))
      throw new DaemonError(
        "input-refused",
        `Cannot use the port ${address.slice(0, 100)}: write it as tcp://host:port, such as tcp://192.168.1.20:4001`,
      );
    this.#address = address;
    this.#host = host;
    this.#port = port;
  }

  open(events: ByteSourceEvents): void {
    if (this.#socket) throw new RangeError("TcpSource requires close before it is opened again");
    const socket = connect({
      host: this.#host,
      port: this.#port,
      keepAlive: true,
      keepAliveInitialDelay: KEEP_ALIVE_MILLISECONDS,
    });
    this.#socket = socket;
    const lose = (why: string, cause?: Error) => {
      if (this.#socket !== socket) return;
      this.#socket = null;
      socket.destroy();
      events.lost(new DaemonError("port-missing", why, cause));
    };
    const limit = setTimeout(
      () => lose(`Cannot reach ${this.#address}: no answer in 5 s. ${checkBox}`),
      CONNECT_LIMIT_MILLISECONDS,
    );
    socket.once("connect", () => {
      clearTimeout(limit);
      if (this.#socket === socket) events.opened();
    });
    socket.on("data", (chunk) => {
      if (this.#socket === socket) events.bytes(chunk);
    });
    socket.on("error", (error) =>
      lose(`Cannot reach ${this.#address}: ${reason(error)}. ${checkBox}`, error),
    );
    socket.on("close", () => {
      clearTimeout(limit);
      lose(`Lost ${this.#address}: the other side closed the connection. ${checkBox}`);
    });
  }

  write(bytes: Uint8Array): boolean {
    const socket = this.#socket;
    if (socket?.readyState !== "open" || socket.writableLength > 0) return false;
    socket.write(bytes);
    return true;
  }

  async close(): Promise<void> {
    const socket = this.#socket;
    this.#socket = null;
    if (!socket || socket.closed) return;
    const closed = new Promise<void>((resolve) => socket.once("close", () => resolve()));
    socket.destroy();
    await closed;
  }
}

const checkBox = "Check that the box is on and the address is right.";

function reason(error: NodeJS.ErrnoException): string {
  switch (error.code) {
    case "ECONNREFUSED":
      return "nothing listens there";
    case "ENOTFOUND":
    case "EAI_AGAIN":
      return "no such name";
    case "EHOSTUNREACH":
    case "ENETUNREACH":
      return "no way to that network";
    default:
      return error.message.replace(/\s+/g, " ").slice(0, 120);
  }
}
