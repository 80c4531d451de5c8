import { performance } from "node:perf_hooks";

/** The two times of the house. Lengths come from the first; the second only labels. */
export interface Clock {
  /** Seconds since some fixed moment; never steps, never runs backwards. */
  monotonicSeconds(): number;
  /** The wall clock, ms since 1970; may step at any time. */
  epochMilliseconds(): number;
}

/** The clock of this machine. */
export const systemClock: Clock = {
  monotonicSeconds: () => performance.now() / 1000,
  epochMilliseconds: () => Date.now(),
};
