interface Waiting {
  readonly dueMilliseconds: number;
  readonly act: () => void;
}

/** Does things later, one after the other: what was put off longer is not overtaken by what comes after it. */
export class Delayed {
  #waiting: Waiting[] = [];
  #timer: NodeJS.Timeout | null = null;

  /** Does it after a time, or at once when nothing waits and there is no time to pass. */
  after(milliseconds: number, act: () => void): void {
    const now = performance.now();
    const dueMilliseconds = Math.max(now + milliseconds, this.#waiting.at(-1)?.dueMilliseconds ?? now);
    if (dueMilliseconds <= now && this.#waiting.length === 0) act();
    else {
      this.#waiting.push({ dueMilliseconds, act });
      this.#timer ??= setTimeout(() => this.#act(), dueMilliseconds - now);
    }
  }

  /** Leaves undone whatever waits. */
  clear(): void {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    this.#waiting = [];
  }

  #act(): void {
    const now = performance.now();
    const isDue = ({ dueMilliseconds }: Waiting) => dueMilliseconds <= now;
    const due = this.#waiting.filter(isDue);
    this.#waiting = this.#waiting.slice(due.length);
    const [next] = this.#waiting;
    this.#timer = next ? setTimeout(() => this.#act(), Math.max(1, next.dueMilliseconds - now)) : null;
    for (const { act } of due) act();
  }
}
