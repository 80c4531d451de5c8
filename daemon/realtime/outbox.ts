/** Sends the newest value of each key, at most once in a time; what is overtaken on the way is dropped. */
export class Outbox<Key, Value> {
  readonly #milliseconds: number;
  readonly #send: (value: Value) => void;
  readonly #waiting = new Map<Key, Value>();
  readonly #pauses = new Map<Key, NodeJS.Timeout>();
  #isClosed = false;

  /**
   * @param milliseconds the shortest time between two sendings of one key
   * @param send called at once for a key that has rested, else when its pause is over
   */
  constructor(milliseconds: number, send: (value: Value) => void) {
    this.#milliseconds = milliseconds;
    this.#send = send;
  }

  /** Takes the newest value of a key. */
  put(key: Key, value: Value): void {
    if (this.#isClosed) return;
    if (this.#pauses.has(key)) {
      this.#waiting.set(key, value);
      return;
    }
    this.#pauses.set(
      key,
      setTimeout(() => this.#endPause(key), this.#milliseconds),
    );
    this.#send(value);
  }

  /** What waits for a key is not worth sending any more. */
  drop(key: Key): void {
    this.#waiting.delete(key);
  }

  /** Sends nothing more. */
  close(): void {
    this.#isClosed = true;
    for (const pause of this.#pauses.values()) clearTimeout(pause);
    this.#pauses.clear();
    this.#waiting.clear();
  }

  #endPause(key: Key): void {
    this.#pauses.delete(key);
    const value = this.#waiting.get(key);
    if (value === undefined) return;
    this.#waiting.delete(key);
    this.put(key, value);
  }
}
