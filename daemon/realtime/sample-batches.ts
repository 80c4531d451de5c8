import type { SampleBatch } from "#shared/sample";

/** Between the batches of two bakes, ms: a volatile message behind another in one breath is dropped. */
const APART_MILLISECONDS = 10;

/**
 * Gathers samples of open bakes and sends those of each bake together, at most once in a time, one bake
 * after the other.
 */
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
    this.#timer ??= setTimeout(() => this.#sendNext(), this.#milliseconds);
  }

  #sendNext(): void {
    this.#timer = null;
    const [next] = this.#gathered.values();
    if (!next) return;
    this.#gathered.delete(next.bakeId);
    this.#send(next);
    if (this.#gathered.size > 0) this.#timer = setTimeout(() => this.#sendNext(), APART_MILLISECONDS);
  }

  /** Sends at once what has been gathered of a bake. */
  flush(bakeId: number): void {
    const batch = this.#gathered.get(bakeId);
    this.#gathered.delete(bakeId);
    if (batch) this.#send(batch);
  }

  /** Sends nothing more. */
  close(): void {
    this.#isClosed = true;
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    this.#gathered.clear();
  }
}
