import type { Clock } from "#daemon/clock";
import type { LinkStatus } from "#shared/furnace";

/** A status without the moment since when its kind holds. */
export type LinkNow = Omit<LinkStatus, "sinceEpochMilliseconds">;

const LONGEST_MESSAGE = 500;

/** Tells a status: at once when kind, message or format changed, the counts when asked to. */
export class StatusTeller {
  readonly #clock: Clock;
  readonly #now: () => LinkNow;
  readonly #onStatus: (status: LinkStatus) => void;
  #told: LinkStatus;

  constructor(clock: Clock, now: () => LinkNow, onStatus: (status: LinkStatus) => void) {
    this.#clock = clock;
    this.#now = now;
    this.#onStatus = onStatus;
    this.#told = this.#statusSince(clock.epochMilliseconds());
  }

  /** What it is now. */
  get status(): LinkStatus {
    return this.#statusSince(this.#told.sinceEpochMilliseconds);
  }

  /** Tells it whatever was told before. */
  begin(): void {
    this.#onStatus(this.status);
  }

  /** @param withCounts false when only a change of kind, message or format is worth a word */
  tell(withCounts: boolean): void {
    const told = this.#told;
    const status = this.status;
    const isChanged =
      status.kind !== told.kind || status.message !== told.message || status.format !== told.format;
    const isCounted =
      status.acceptedLines !== told.acceptedLines ||
      status.refusedLines !== told.refusedLines ||
      status.overlongLines !== told.overlongLines ||
      status.unanswered !== told.unanswered;
    if (!isChanged && !(withCounts && isCounted)) return;
    this.#told =
      status.kind === told.kind
        ? status
        : { ...status, sinceEpochMilliseconds: this.#clock.epochMilliseconds() };
    this.#onStatus(this.#told);
  }

  #statusSince(sinceEpochMilliseconds: number): LinkStatus {
    const now = this.#now();
    return { ...now, message: now.message?.slice(0, LONGEST_MESSAGE) ?? null, sinceEpochMilliseconds };
  }
}
