import type { SampleBatch } from "#shared/sample";

/** Gathers samples of open bakes and sends those of each bake together, at most once in a time. */
export class SampleBatches {
  readonly #milliseconds: number;
  readonly #send: (batch: SampleBatch) => void;
  readonly #gathered = new Map<number, SampleBatch>();
  #timer: NodeJS.Timeout | null = null;
  #isClosed = false;

  constructor(milliseconds: number, send: (batch: SampleBatch) => void) {
    this.#milliseconds = milliseconds;
    this.#send = send;
  }

  /** Takes samples; those that do not follow on the gathered ones are sent on their own. */
  add(batch: SampleBatch): void {
    if (this.#isClosed) return;
    const before = this.#gathered.get(batch.bakeId);
    const follows = before && before.fromSequence + before.samples.length === batch.fromSequence;
    if (before && !follows) this.#send(before);
    this.#gathered.set(
      batch.bakeId,
      follows ? { ...before, samples: [...before.samples, ...batch.samples] } : batch,
    );
    this.#timer ??= setTimeout(() => this.flush(), this.#milliseconds);
  }

  /** Sends what has been gathered. */
  flush(): void {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    const batches = [...this.#gathered.values()];
    this.#gathered.clear();
    for (const batch of batches) this.#send(batch);
  }

  /** Sends nothing more. */
  close(): void {
    this.#isClosed = true;
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    this.#gathered.clear();
  }
}
