import type { Stats } from "node:fs";
import { stat } from "node:fs/promises";
import { SerialPort } from "serialport";
import { DaemonError } from "#daemon/errors";
import type { ByteSource, ByteSourceEvents } from "#daemon/link/byte-source";
import type { SerialFraming } from "#shared/furnace";

/** How often the name of an open port is looked at, ms: a port that lost its name was unplugged. */
const NAME_CHECK_MILLISECONDS = 1000;

/** The longest that closing is waited for, ms; the system may keep a dead port longer. */
const CLOSE_LIMIT_MILLISECONDS = 2000;

interface PortSettings {
  readonly baudRate: number;
  readonly dataBits: 7 | 8;
  readonly parity: "none" | "even" | "odd";
  readonly stopBits: 1 | 2;
}

const framingSettings: Readonly<Record<SerialFraming, Omit<PortSettings, "baudRate">>> = {
  "8N1": { dataBits: 8, parity: "none", stopBits: 1 },
  "8N2": { dataBits: 8, parity: "none", stopBits: 2 },
  "8E1": { dataBits: 8, parity: "even", stopBits: 1 },
  "8O1": { dataBits: 8, parity: "odd", stopBits: 1 },
  "7E1": { dataBits: 7, parity: "even", stopBits: 1 },
  "7O1": { dataBits: 7, parity: "odd", stopBits: 1 },
};

/**
 * A serial port by its name. The library may lose a vanished port without any event, so the name is looked at
 * while the port is open, and whoever uses this still needs a limit on silence.
 */
export class SerialSource implements ByteSource {
  readonly isRecording = false;
  readonly #path: string;
  readonly #settings: PortSettings;
  #current: OpenPort | null = null;

  constructor(path: string, baudRate: number, framing: SerialFraming = "8N1") {
    if (!Number.isInteger(baudRate) || baudRate < 50)
      throw new RangeError(`SerialSource requires a whole baud rate of 50 or more, got ${baudRate}`);
    this.#path = path;
    this.#settings = { baudRate, ...framingSettings[framing] };
  }

  open(events: ByteSourceEvents): void {
    if (this.#current?.isLive) throw new RangeError("SerialSource requires close before it is opened again");
    this.#current = new OpenPort(this.#path, this.#settings, events);
  }

  write(bytes: Uint8Array): boolean {
    return this.#current?.write(bytes) ?? false;
  }

  async close(): Promise<void> {
    await this.#current?.close();
  }
}

/**
 * What went wrong on opening a port, in words that an operator can act on.
 * @param error as the library gives it: it has text only, no code
 */
export function openFault(path: string, error: Error): DaemonError {
  const cannot = `Cannot open ${path}`;
  const text = error.message;
  if (/permission denied|not permitted/i.test(text))
    return new DaemonError(
      "port-forbidden",
      `${cannot}: permission denied. Add this user to the dialout group and log in again.`,
      error,
    );
  if (/cannot lock|temporarily unavailable|busy/i.test(text))
    return new DaemonError(
      "port-busy",
      `${cannot}: it is in use; another program may be reading this port. Close that program.`,
      error,
    );
  if (/no such (file|device)/i.test(text)) return missingPort(path, error);
  if (/inappropriate ioctl|not a (tty|typewriter)/i.test(text))
    return new DaemonError("port-unusable", `${cannot}: it is not a serial port. ${seePorts}`, error);
  return new DaemonError(
    "port-unusable",
    `${cannot}: ${oneLine(text)}. Unplug the adapter and plug it in again.`,
    error,
  );
}

const seePorts = "Run `bakeside ports` for the ports here.";

/** One opening of a port, from the call to the close; never used twice. */
class OpenPort {
  readonly #path: string;
  #events: ByteSourceEvents | null;
  #port: SerialPort | null = null;
  #isSending = false;
  #nameCheck: NodeJS.Timeout | null = null;
  #shutting: Promise<void> | null = null;
  /** Settles when the port is open or has failed to. */
  readonly #opening: Promise<void>;

  constructor(path: string, settings: PortSettings, events: ByteSourceEvents) {
    this.#path = path;
    this.#events = events;
    this.#opening = this.#open(settings);
  }

  /** True until it is lost or closed. */
  get isLive(): boolean {
    return this.#events !== null;
  }

  /** The library would keep what is written to a closed port, and send it after the next opening. */
  write(bytes: Uint8Array): boolean {
    const port = this.#port;
    if (!this.#events || !port?.isOpen || this.#isSending) return false;
    this.#isSending = true;
    port.write(bytes, () => {
      this.#isSending = false; // A failure is told by the port's own event.
    });
    return true;
  }

  async close(): Promise<void> {
    this.#events = null;
    this.#stopNameCheck();
    await this.#shut();
  }

  #shut(): Promise<void> {
    this.#shutting ??= withinLimit(this.#closePort());
    return this.#shutting;
  }

  async #closePort(): Promise<void> {
    await this.#opening;
    const port = this.#port;
    if (port?.isOpen) await new Promise<void>((resolve) => port.close(() => resolve()));
  }

  async #open(settings: PortSettings): Promise<void> {
    const found = await stat(this.#path).catch((error: Error) => error);
    const fault =
      found instanceof Error ? openFault(this.#path, statError(found)) : notAPort(this.#path, found);
    if (fault) return this.#lose(fault);
    const port = new SerialPort({ path: this.#path, ...settings, lock: true, autoOpen: false });
    port.on("data", (chunk: Buffer) => this.#events?.bytes(chunk));
    port.on("error", (error) => this.#lose(vanished(this.#path, error)));
    port.on("close", (error: Error | null) => this.#lose(vanished(this.#path, error)));
    this.#port = port;
    const error = await new Promise<Error | null>((resolve) => port.open(resolve));
    if (error) return this.#lose(openFault(this.#path, error));
    if (!this.#events) return;
    this.#events.opened();
    if (this.#events)
      this.#nameCheck = setInterval(() => this.#checkName(found as Stats), NAME_CHECK_MILLISECONDS);
  }

  async #checkName(opened: Stats): Promise<void> {
    const now = await stat(this.#path).catch(() => null);
    if (now?.rdev === opened.rdev && now.ino === opened.ino) return;
    this.#lose(vanished(this.#path, null));
    await this.#shut();
  }

  #lose(cause: DaemonError): void {
    const events = this.#events;
    this.#events = null;
    this.#stopNameCheck();
    events?.lost(cause);
  }

  #stopNameCheck(): void {
    if (this.#nameCheck) clearInterval(this.#nameCheck);
    this.#nameCheck = null;
  }
}

/** The refusal of a path that is there but cannot be a serial port; null for a character device. */
function notAPort(path: string, found: Stats): DaemonError | null {
  if (found.isCharacterDevice()) return null;
  const what = found.isDirectory()
    ? "a folder"
    : found.isFIFO()
      ? "a named pipe"
      : found.isFile()
        ? "a regular file"
        : "no character device";
  const hint = found.isFile() ? `Use file:${path} to replay a recording.` : seePorts;
  return new DaemonError("port-unusable", `Cannot open ${path}: it is ${what}, not a serial port. ${hint}`);
}

/** Settles with the work, or when closing has taken too long. */
async function withinLimit(work: Promise<void>): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const limit = new Promise<void>((resolve) => {
    timer = setTimeout(resolve, CLOSE_LIMIT_MILLISECONDS);
  });
  await Promise.race([work, limit]);
  clearTimeout(timer);
}

function missingPort(path: string, cause: unknown): DaemonError {
  return new DaemonError(
    "port-missing",
    `Cannot open ${path}: there is no such port. Plug the adapter in. ${seePorts}`,
    cause,
  );
}

function vanished(path: string, cause: Error | null): DaemonError {
  return new DaemonError(
    "port-missing",
    `Lost ${path}: the adapter was unplugged or its cable moved. Plug it in.`,
    cause,
  );
}

/** A failed look at a path, in the words of the library's own errors. */
function statError(error: Error): Error {
  const words: Readonly<Record<string, string>> = {
    ENOENT: "no such file",
    ENOTDIR: "no such file",
    EACCES: "permission denied",
  };
  const code = "code" in error ? String(error.code) : "";
  return new Error(words[code] ?? error.message, { cause: error });
}

function oneLine(text: string): string {
  return text
    .replace(/\s+/g, " ")
    .replace(/^Error:? /, "")
    .slice(0, 120);
}
