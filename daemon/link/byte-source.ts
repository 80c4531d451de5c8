import { stat } from "node:fs/promises";
import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import { FileSource } from "#daemon/link/file-source";
import { SerialSource } from "#daemon/link/serial-source";
import { TcpSource } from "#daemon/link/tcp-source";
import type { SerialFraming } from "#shared/furnace";

/** What a source tells while it is open. After `lost` or `ended` it is closed and says no more. */
export interface ByteSourceEvents {
  opened(): void;
  bytes(chunk: Uint8Array): void;
  /** It could not be opened, or it went away; the message is for the operator. */
  lost(cause: DaemonError): void;
  /** A recording came to its end. */
  ended(): void;
}

/** A serial port, a TCP socket or a recorded file. */
export interface ByteSource {
  /** True for a recording: it may be silent for as long as it was when it was made, and it ends. */
  readonly isRecording: boolean;
  /** Opens it; what happens is told to `events`. May be called again once it is closed or lost. */
  open(events: ByteSourceEvents): void;
  /**
   * Sends a question, to an instrument that speaks only when asked; nothing else may ever be sent. While it is
   * not open, or what was sent before is still on its way, nothing is sent and nothing is kept: a question that
   * was kept would reach the instrument late.
   * @returns whether it is being sent
   */
  write(bytes: Uint8Array): boolean;
  /** Settles when it is closed, whatever state it was in; no event comes afterwards. */
  close(): Promise<void>;
}

/** How a source is opened; baud rate and framing are for serial ports, the format for a recording's times. */
export interface ByteSourceOptions {
  readonly baudRate: number;
  /** 8N1 unless something else is given. */
  readonly framing?: SerialFraming | undefined;
  readonly format?: string | undefined;
}

/**
 * The source for an address: `tcp://host:port`, `file:/path?speed=60`, a path to a recorded file, or a
 * serial port.
 * @throws DaemonError when the address cannot be one of these
 */
export async function portSource(
  address: string,
  options: ByteSourceOptions,
  clock: Clock,
): Promise<ByteSource> {
  if (address.startsWith("tcp:")) return new TcpSource(address);
  if (address.startsWith("file:")) return new FileSource(address, options.format ?? "auto", clock);
  if (await isRegularFile(address)) return new FileSource(`file:${address}`, options.format ?? "auto", clock);
  if (!address.startsWith("/"))
    throw new DaemonError(
      "input-refused",
      `Cannot use the port ${address.slice(0, 100)}: give a path such as /dev/ttyUSB0, tcp://host:port or file:/path`,
    );
  return new SerialSource(address, options.baudRate, options.framing);
}

async function isRegularFile(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isFile();
  } catch {
    return false;
  }
}
