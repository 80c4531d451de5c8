import type { FieldText } from "#daemon/link/formats/fields";

/** What an instrument answered, as far as it could be understood. */
export type Answer =
  | { readonly kind: "values"; readonly fields: readonly FieldText[] }
  | {
      readonly kind: "refusal";
      /** Why there is no value, for the operator. */
      readonly why: string;
      /** True when these are the instrument's own words, which will be the same next time. */
      readonly isSaid: boolean;
      /** True when it is busy: asking again soon may help. */
      readonly isBusy: boolean;
      /** True when this may have been the answer to another question, so that the right one may still come. */
      readonly mayFollow: boolean;
    };

/** Something that an instrument is asked. */
export interface Question {
  /** What is asked for, in words: `input register 0`, `MEASure:TEMPerature?`. */
  readonly words: string;
  /** The same for the same question. */
  readonly key: string;
  /** The same for questions that the same instrument answers. */
  readonly askee: string;
  /** The same for questions whose answers cannot be told apart. */
  readonly shape: string;
  /** How long an answer is waited for, without the time of the bytes, s. */
  readonly timeoutSeconds: number;
  /** Bytes of question and answer together, for their time on the line. */
  readonly bytesOnLine: number;
  /** Asks it: everything that hears its answer is new each time, so that nothing of an earlier try is left. */
  begin(): Hearing;
}

/** The hearing of one answer. */
export interface Hearing {
  /** What is sent. */
  readonly request: Uint8Array;
  /** True while an answer has begun that has no checksum to tell its whole from its half. */
  readonly isMidAnswer: boolean;
  /** @returns the answer, once it is whole; afterwards nothing more is pushed */
  push(chunk: Uint8Array): Answer | null;
  /**
   * What was passed over because it belongs to no answer, the first of it; it is then forgotten.
   * @param isOver true when nobody waits any more: then an answer that is not whole counts too
   */
  takeNoise(isOver: boolean): Uint8Array;
  /** What came behind the answer. */
  readonly rest: Uint8Array;
}
