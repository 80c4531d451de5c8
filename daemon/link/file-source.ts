import { readFile, stat } from "node:fs/promises";
import { resolve } from "node:path";
import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import type { ByteSource, ByteSourceEvents } from "#daemon/link/byte-source";
import { isPolled, type KnownFormat, parseFormat, readLine } from "#daemon/link/formats/formats";
import { guessFormats } from "#daemon/link/listen";

const LARGEST_FILE_BYTES = 64 * 1024 * 1024;
const LINES_TO_GUESS_FROM = 20;
const MOST_LINES_AT_ONCE = 500;
const MILLISECONDS_BETWEEN_LOOKS = 1000;

/** One line of a recording and when it is due, s since its first. */
interface DueLine {
  readonly text: string;
  readonly dueSeconds: number;
}

/**
 * A recorded text or CSV file, said line by line: at the times of its own seconds column where it has one,
 * else one line a second; `?speed=60` says it sixty times as fast. It ends, and is not begun again.
 */
export class FileSource implements ByteSource {
  readonly isRecording = true;
  readonly #path: string;
  readonly #speed: number;
  readonly #format: string;
  readonly #clock: Clock;
  #playing: { timer: NodeJS.Timeout | null } | null = null;

  /**
   * @param address `file:/path`, with `?speed=` from 0.1 to 100000
   * @param format the format whose time column paces the replay; `auto` finds it in the first lines
   * @throws DaemonError when the address is not of this form
   */
  constructor(address: string, format: string, clock: Clock) {
    const [, path, speed] = /^file:(?:\/\/(?=\/))?([^\0]+?)(?:\?speed=([\d.]{1,9}))?$/.exec(address) ?? [];
    const times = speed === undefined ? 1 : Number(speed);
    if (path === undefined || !(times >= 0.1 && times <= 100_000))
      throw new DaemonError(
        "input-refused",
        `Cannot use the port ${address.slice(0, 100)}: write it as file:/path or file:/path?speed=60, speed 0.1 to 100000`,
      );
    this.#path = resolve(path);
    this.#speed = times;
    this.#format = format;
    this.#clock = clock;
  }

  open(events: ByteSourceEvents): void {
    if (this.#playing) throw new RangeError("FileSource requires close before it is opened again");
    const playing = { timer: null };
    this.#playing = playing;
    recordedLines(this.#path, this.#format).then(
      (lines) => this.#begin(playing, lines, events),
      (error) => {
        if (this.#playing !== playing) return;
        this.#playing = null;
        events.lost(fileFault(this.#path, error));
      },
    );
  }

  /** A recording cannot be asked. */
  write(): boolean {
    return false;
  }

  async close(): Promise<void> {
    if (this.#playing?.timer) clearTimeout(this.#playing.timer);
    this.#playing = null;
  }

  #begin(
    playing: { timer: NodeJS.Timeout | null },
    lines: readonly DueLine[],
    events: ByteSourceEvents,
  ): void {
    if (this.#playing !== playing) return;
    events.opened();
    events.bytes(Buffer.from("\n")); // a file begins at the beginning of a line; a port may not
    this.#play(playing, lines, 0, this.#clock.monotonicSeconds(), events);
  }

  #play(
    playing: { timer: NodeJS.Timeout | null },
    lines: readonly DueLine[],
    from: number,
    startSeconds: number,
    events: ByteSourceEvents,
  ): void {
    let next = from;
    while (this.#playing === playing) {
      const line = lines[next];
      if (!line) {
        this.#playing = null;
        events.ended();
        return;
      }
      const waitSeconds = startSeconds + line.dueSeconds / this.#speed - this.#clock.monotonicSeconds();
      if (waitSeconds > 0 || next - from >= MOST_LINES_AT_ONCE) {
        const milliseconds = Math.min(MILLISECONDS_BETWEEN_LOOKS, Math.max(0, waitSeconds * 1000));
        playing.timer = setTimeout(
          () => this.#play(playing, lines, next, startSeconds, events),
          milliseconds,
        );
        return;
      }
      events.bytes(Buffer.from(`${line.text}\n`));
      next += 1;
    }
  }
}

async function recordedLines(path: string, spec: string): Promise<DueLine[]> {
  const found = await stat(path);
  if (!found.isFile())
    throw new DaemonError("file-unreadable", `Cannot replay ${path}: it is not a regular file`);
  if (found.size > LARGEST_FILE_BYTES)
    throw new DaemonError(
      "file-unreadable",
      `Cannot replay ${path}: it is larger than 64 MB. Cut it into parts.`,
    );
  const texts = (await readFile(path, "utf8"))
    .replace(/^\uFEFF/, "")
    .split(/\r\n|\n|\r/)
    .filter((text) => text.trim() !== "");
  return dueLines(texts, timeFormat(texts, spec));
}

/** The format whose times pace the replay; null when the lines carry none that is known. */
function timeFormat(texts: readonly string[], spec: string): KnownFormat | null {
  const given = parseFormat(spec);
  if (given.ok && given.format.kind !== "auto" && !isPolled(given.format)) return given.format;
  return guessFormats(texts.slice(0, LINES_TO_GUESS_FROM))[0]?.format ?? null;
}

/** A line without a time is due with the one before it; where no line has a time, one is due each second. */
function dueLines(texts: readonly string[], format: KnownFormat | null): DueLine[] {
  const times = texts.map((text) => (format ? instrumentSeconds(format, text) : null));
  const first = times.find((time) => time !== null);
  if (first === undefined || first === null) return texts.map((text, index) => ({ text, dueSeconds: index }));
  let dueSeconds = 0;
  return texts.map((text, index) => {
    dueSeconds = Math.max(dueSeconds, (times[index] ?? first) - first);
    return { text, dueSeconds };
  });
}

function instrumentSeconds(format: KnownFormat, text: string): number | null {
  const result = readLine(format, text);
  return result.ok ? (result.channels.instrumentSeconds ?? null) : null;
}

function fileFault(path: string, error: unknown): DaemonError {
  if (error instanceof DaemonError) return error;
  const code = error instanceof Error && "code" in error ? error.code : "";
  if (code === "ENOENT" || code === "ENOTDIR")
    return new DaemonError(
      "file-missing",
      `Cannot replay ${path}: there is no such file. Check its name.`,
      error,
    );
  if (code === "EACCES")
    return new DaemonError(
      "file-unreadable",
      `Cannot replay ${path}: permission denied. Let this user read it.`,
      error,
    );
  return new DaemonError(
    "file-unreadable",
    `Cannot replay ${path}: it cannot be read (${code || "unknown"})`,
    error,
  );
}
