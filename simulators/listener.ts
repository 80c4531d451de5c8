import { readdirSync, readlinkSync } from "node:fs";

/**
 * Tells whether another process has a terminal open, from the process table of this machine, so that
 * nothing is written which would wait there for the next reader and then come out stale.
 * Processes of other users cannot be seen and count as not listening; without a process table everybody
 * counts as listening.
 */
export class ListenerWatch {
  readonly #path: string;
  /** Processes that hold the terminal without listening. */
  readonly #ownIds: Set<string>;
  /** Where the listener was last seen, `/proc/id/fd/n`. */
  #seenAt: string | null = null;

  constructor(path: string, ownIds: readonly number[]) {
    this.#path = path;
    this.#ownIds = new Set(ownIds.map(String));
  }

  /** A process opens the terminal for a moment, and does not listen. */
  ignore(id: number): void {
    this.#ownIds.add(String(id));
  }

  /** That process has ended; its number may be another's tomorrow. */
  heed(id: number): void {
    this.#ownIds.delete(String(id));
  }

  /** Cheap while the listener stays; otherwise some milliseconds for a search of the whole table. */
  isListening(): boolean {
    if (this.#seenAt !== null && target(this.#seenAt) === this.#path) return true;
    const names = entries("/proc");
    if (names.length === 0) return true;
    const ids = names.filter((name) => /^\d+$/.test(name) && !this.#ownIds.has(name));
    this.#seenAt = null;
    for (const id of ids) this.#seenAt ??= this.#openIn(`/proc/${id}/fd`);
    return this.#seenAt !== null;
  }

  #openIn(folder: string): string | null {
    const number = entries(folder).find((name) => target(`${folder}/${name}`) === this.#path);
    return number === undefined ? null : `${folder}/${number}`;
  }
}

function entries(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

function target(link: string): string | null {
  try {
    return readlinkSync(link);
  } catch {
    return null;
  }
}
