/** The time of what a furnace says: one line of seconds, whatever clock they were told by. */
export interface StreamTime {
  readonly atSeconds: number;
  /** The daemon's monotonic clock, s. */
  readonly receivedAtSeconds: number;
  /** The instrument's clock at that moment, and what is added to it; null when its lines carry none. */
  readonly instrument: { readonly seconds: number; readonly offsetSeconds: number } | null;
  readonly toldBy: "instrument" | "received";
  /** How fast the instrument's clock runs beside ours: 1, or more on a bench that runs faster. */
  readonly speed: {
    readonly secondsPerSecond: number;
    readonly sinceSeconds: number;
    readonly sinceReceivedSeconds: number;
  };
}

interface Arrival {
  readonly receivedAtSeconds: number;
  readonly instrumentSeconds?: number | undefined;
}

/** Assumed until it has been measured: no bench runs faster. */
export const HIGHEST_SPEED = 1000;

/** An instrument may always be silent for so long, s. */
const ALWAYS_BELIEVED_SECONDS = 60;
const SPEED_SECONDS = 5;
/** Lines that came in one piece of bytes are kept apart by so much, s. */
const LEAST_STEP_SECONDS = 0.001;

/**
 * The time of the next line. The instrument's own clock counts where the lines carry one that rises; when it
 * jumps back, or further ahead than can be, the time on arrival bridges the jump and its clock counts again.
 * @param before null for the first line, which is at 0 s
 * @returns null when the instrument's clock did not move: the line is then to be dropped
 * @example nextStreamTime(null, { receivedAtSeconds: 20, instrumentSeconds: 300 })?.atSeconds // 0
 */
export function nextStreamTime(before: StreamTime | null, arrival: Arrival): StreamTime | null {
  const { receivedAtSeconds, instrumentSeconds } = arrival;
  if (!before) return firstStreamTime(arrival);
  const told = instrumentSeconds === undefined ? null : toldByInstrument(before, arrival, instrumentSeconds);
  if (told === "unmoved") return null;
  const passedSeconds = Math.max(LEAST_STEP_SECONDS, receivedAtSeconds - before.receivedAtSeconds);
  const atSeconds = told ?? before.atSeconds + passedSeconds;
  return {
    atSeconds,
    receivedAtSeconds,
    instrument:
      instrumentSeconds === undefined
        ? before.instrument
        : { seconds: instrumentSeconds, offsetSeconds: offset(before, told, atSeconds, instrumentSeconds) },
    toldBy: told === null ? "received" : "instrument",
    speed: nextSpeed(before.speed, atSeconds, receivedAtSeconds),
  };
}

function firstStreamTime({ receivedAtSeconds, instrumentSeconds }: Arrival): StreamTime {
  return {
    atSeconds: 0,
    receivedAtSeconds,
    instrument:
      instrumentSeconds === undefined
        ? null
        : { seconds: instrumentSeconds, offsetSeconds: -instrumentSeconds },
    toldBy: instrumentSeconds === undefined ? "received" : "instrument",
    speed: { secondsPerSecond: HIGHEST_SPEED, sinceSeconds: 0, sinceReceivedSeconds: receivedAtSeconds },
  };
}

function toldByInstrument(
  before: StreamTime,
  { receivedAtSeconds }: Arrival,
  instrumentSeconds: number,
): number | "unmoved" | null {
  if (!before.instrument) return null;
  const passedSeconds = instrumentSeconds - before.instrument.seconds;
  if (passedSeconds === 0) return "unmoved";
  const receivedSeconds = Math.max(0, receivedAtSeconds - before.receivedAtSeconds);
  const mostSeconds =
    ALWAYS_BELIEVED_SECONDS + 2 * Math.max(1, before.speed.secondsPerSecond) * receivedSeconds;
  const atSeconds = instrumentSeconds + before.instrument.offsetSeconds;
  const isBelievable = passedSeconds > 0 && passedSeconds <= mostSeconds && atSeconds > before.atSeconds;
  return isBelievable ? atSeconds : null;
}

/** Kept while the instrument's clock is believed, so that no rounding adds up. */
function offset(
  before: StreamTime,
  told: number | null,
  atSeconds: number,
  instrumentSeconds: number,
): number {
  return told !== null && before.instrument ? before.instrument.offsetSeconds : atSeconds - instrumentSeconds;
}

function nextSpeed(
  speed: StreamTime["speed"],
  atSeconds: number,
  receivedAtSeconds: number,
): StreamTime["speed"] {
  const receivedSeconds = receivedAtSeconds - speed.sinceReceivedSeconds;
  if (receivedSeconds < SPEED_SECONDS) return speed;
  return {
    secondsPerSecond: (atSeconds - speed.sinceSeconds) / receivedSeconds,
    sinceSeconds: atSeconds,
    sinceReceivedSeconds: receivedAtSeconds,
  };
}
