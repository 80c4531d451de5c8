import type { Clock } from "#daemon/clock";

/** A clock that stands still until a test moves it; its wall clock may step alone, as real ones do. */
export class FakeClock implements Clock {
  #seconds: number;
  #epochMilliseconds: number;

  constructor(seconds = 1000, epochMilliseconds = Date.UTC(2024, 0, 1, 8)) {
    this.#seconds = seconds;
    this.#epochMilliseconds = epochMilliseconds;
  }

  monotonicSeconds(): number {
    return this.#seconds;
  }

  epochMilliseconds(): number {
    return this.#epochMilliseconds;
  }

  /** Both times go on together. */
  advanceSeconds(seconds: number): void {
    this.#seconds += seconds;
    this.#epochMilliseconds += seconds * 1000;
  }

  /** Somebody sets the wall clock; negative for backwards. */
  stepWallSeconds(seconds: number): void {
    this.#epochMilliseconds += seconds * 1000;
  }
}
