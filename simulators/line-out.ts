import { createServer, type Socket } from "node:net";
import { openPty } from "#simulators/pty";

/** Bytes that wait for a reader beyond this are dropped, as on a wire that nobody listens to. */
export const MOST_WAITING_BYTES = 64 * 1024;

/** The near end of a line: what is written here arrives at whoever has opened `address`. */
export interface LineOut {
  /** `/dev/pts/N` or `tcp://127.0.0.1:port`. */
  readonly address: string;
  /** False when the bytes were dropped, since nobody reads or the line is closed. */
  write(bytes: string | Uint8Array): boolean;
  /** Whether anybody has it open. */
  isListening(): boolean;
  /** Calls the listener with what comes from the far end, and with the one whom it came from. */
  onInput(listener: (bytes: Buffer, caller: Caller) => void): void;
  /** The rate to which the far end has set the line; null where a line has none, or nobody can tell. */
  farBaud(): Promise<number | null>;
  /** Takes the line away; whoever has it open sees it vanish. */
  close(): Promise<void>;
}

/** Somebody who said something on a line, and hears what is answered; always the same one for one connection. */
export interface Caller {
  /** False when the bytes were dropped, since the caller has gone or does not read. */
  write(bytes: Uint8Array): boolean;
}

/** A pseudo-terminal, or a TCP port on this machine where none can be had. */
export type Transport = "pty" | "tcp";

/**
 * Opens a line. A pseudo-terminal that cannot be had is replaced by TCP.
 * @param transport what is wanted
 * @param tcpPort   the port to listen on with TCP; 0 takes any free one
 */
export async function openLineOut(transport: Transport, tcpPort = 0): Promise<LineOut> {
  if (transport === "tcp") return openTcpLine(tcpPort);
  try {
    return await openPty();
  } catch {
    return openTcpLine(tcpPort);
  }
}

/**
 * Listens on 127.0.0.1 and speaks to everyone who connects, like a serial-over-Ethernet box.
 * @throws Error when the port is taken
 */
export async function openTcpLine(tcpPort = 0): Promise<LineOut> {
  const sockets = new Set<Socket>();
  let listener: (bytes: Buffer, caller: Caller) => void = () => {};
  const server = createServer((socket) => {
    sockets.add(socket);
    const caller: Caller = { write: (bytes) => wasWritten(socket, bytes) };
    socket.on("data", (bytes) => listener(bytes, caller));
    socket.on("error", () => socket.destroy());
    socket.on("close", () => sockets.delete(socket));
  });
  await new Promise<void>((resolve, reject) => {
    server.once("error", reject);
    server.listen(tcpPort, "127.0.0.1", resolve);
  });
  const bound = server.address();
  return {
    address: `tcp://127.0.0.1:${typeof bound === "object" && bound ? bound.port : tcpPort}`,
    write: (bytes) => [...sockets].filter((socket) => wasWritten(socket, bytes)).length > 0,
    isListening: () => sockets.size > 0,
    onInput(next) {
      listener = next;
    },
    farBaud: async () => null,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        for (const socket of sockets) socket.destroy();
      }),
  };
}

/** False when the socket has gone, or what waits for it is too much already. */
function wasWritten(socket: Socket, bytes: string | Uint8Array): boolean {
  if (!socket.writable || socket.writableLength >= MOST_WAITING_BYTES) return false;
  socket.write(bytes);
  return true;
}
