/** No frame is longer; what is older can be no part of one that is still to come. */
const LONGEST_FRAME_BYTES = 264;
const MOST_NOISE_BYTES = 32;

/** How a reply is known. */
export interface ReplyForm {
  /** The length of the reply that may begin at `at`, as far as its first bytes say; null when none does. */
  lengthAt(bytes: Uint8Array, at: number): number | null;
  /** Whether all of it is right. */
  isWhole(frame: Uint8Array): boolean;
  /** What a line may give back of the question itself: an adapter with two wires hears what it sends. */
  readonly echo: Uint8Array | null;
}

/**
 * Finds the one reply that belongs to a question in what a line brings: noise, other units' frames and frames
 * with a wrong checksum are passed over. In bounded memory, and for one question only.
 */
export class ReplyFinder {
  readonly #form: ReplyForm;
  #bytes: Uint8Array = new Uint8Array();
  #noise: number[] = [];
  #isEchoAwaited: boolean;

  constructor(form: ReplyForm) {
    this.#form = form;
    this.#isEchoAwaited = form.echo !== null;
  }

  /** Bytes that are kept. */
  get bufferedBytes(): number {
    return this.#bytes.length;
  }

  /** What came behind the reply. */
  get rest(): Uint8Array {
    return this.#bytes;
  }

  /** @returns the reply, once it is whole */
  push(chunk: Uint8Array): Uint8Array | null {
    for (let from = 0; from < chunk.length; from += LONGEST_FRAME_BYTES) {
      this.#bytes = Buffer.concat([this.#bytes, chunk.subarray(from, from + LONGEST_FRAME_BYTES)]);
      this.#dropEcho();
      const frame = this.#find();
      if (frame) {
        this.#bytes = Buffer.concat([
          this.#bytes,
          chunk.subarray(from + LONGEST_FRAME_BYTES).subarray(0, 64),
        ]);
        return frame;
      }
      this.#passOver(this.#bytes.length - LONGEST_FRAME_BYTES);
    }
    return null;
  }

  /** The first bytes that belong to no reply; all that is kept counts as such once nobody waits any more. */
  takeNoise(isOver: boolean): Uint8Array {
    if (isOver) this.#passOver(this.#bytes.length);
    const noise = Uint8Array.from(this.#noise);
    this.#noise = [];
    return noise;
  }

  #find(): Uint8Array | null {
    for (let at = 0; at < this.#bytes.length; at++) {
      const length = this.#form.lengthAt(this.#bytes, at);
      if (length === null || at + length > this.#bytes.length) continue;
      const frame = this.#bytes.slice(at, at + length);
      if (!this.#form.isWhole(frame)) continue;
      this.#passOver(at);
      this.#bytes = this.#bytes.subarray(length);
      return frame;
    }
    return null;
  }

  #dropEcho(): void {
    const { echo } = this.#form;
    if (!echo || !this.#isEchoAwaited || this.#bytes.length < echo.length) return;
    this.#isEchoAwaited = false;
    if (echo.every((byte, index) => byte === this.#bytes[index]))
      this.#bytes = this.#bytes.subarray(echo.length);
  }

  #passOver(count: number): void {
    if (count <= 0) return;
    for (const byte of this.#bytes.subarray(0, Math.min(count, MOST_NOISE_BYTES - this.#noise.length)))
      this.#noise.push(byte);
    this.#bytes = this.#bytes.slice(count);
  }
}
