/** What an instrument complains of, by its number (SCPI-1999, volume 2; the sentences as in tests/reference). */
const SENTENCES = {
  "0": "No error",
  "-101": "Invalid character",
  "-104": "Data type error",
  "-108": "Parameter not allowed",
  "-113": "Undefined header",
  "-222": "Data out of range",
  "-350": "Queue overflow",
  "-363": "Input buffer overrun",
} as const;

export type ScpiError = -101 | -104 | -108 | -113 | -222 | -363;

/** Complaints wait here until somebody asks; more are lost (invented size). */
const MOST_ERRORS = 8;

/** Bits of the standard event register (IEEE 488.2; from memory). */
const COMMAND_ERROR_BIT = 1 << 5;
const EXECUTION_ERROR_BIT = 1 << 4;
const DEVICE_ERROR_BIT = 1 << 3;

/**
 * The error queue of an instrument with its event register: first in, first out; when it is full its last
 * entry says so.
 */
export class ScpiErrors {
  #waiting: (ScpiError | -350)[] = [];
  #events = 0;

  push(error: ScpiError): void {
    this.#events |= eventBit(error);
    if (this.#waiting.length < MOST_ERRORS) this.#waiting.push(error);
    else this.#waiting[MOST_ERRORS - 1] = -350;
  }

  /** The oldest complaint, which is then gone, as an answer. */
  next(): string {
    const error = this.#waiting.shift() ?? 0;
    return `${error},"${SENTENCES[`${error}`]}"`;
  }

  /** The event register, which is then empty. */
  takenEvents(): number {
    const events = this.#events;
    this.#events = 0;
    return events;
  }

  clear(): void {
    this.#waiting = [];
    this.#events = 0;
  }
}

function eventBit(error: ScpiError): number {
  if (error > -200) return COMMAND_ERROR_BIT;
  return error > -300 ? EXECUTION_ERROR_BIT : DEVICE_ERROR_BIT;
}
