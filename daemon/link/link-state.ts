import type { LinkStatus } from "#shared/furnace";

/** What a link remembers whatever it is doing. */
interface LinkMemory {
  /** Openings in a row that brought no line that could be read. */
  readonly failures: number;
  /** True from a silence until the next line. */
  readonly isSilent: boolean;
  /** The longest time between two lines of one opening, s: a slow instrument is not a silent one. */
  readonly longestGapSeconds: number;
}

/** What the link to a furnace is doing: one value, replaced whole, never edited. */
export type LinkState =
  | (LinkMemory & { readonly kind: "opening"; readonly sinceSeconds: number })
  | (LinkMemory & {
      readonly kind: "listening";
      /** The last line, or before the first one the opening. */
      readonly lastHeardAtSeconds: number;
      readonly hasLine: boolean;
    })
  | (LinkMemory & { readonly kind: "waiting"; readonly retryAtSeconds: number })
  | (LinkMemory & { readonly kind: "ended" });

/** What happened, and when by the monotonic clock. `line` is any whole line; `isRead` when it was understood. */
export type LinkEvent =
  | { readonly kind: "opened" | "lost" | "appeared" | "ended" | "tick"; readonly atSeconds: number }
  | { readonly kind: "line"; readonly atSeconds: number; readonly isRead: boolean };

/** When a link loses patience. */
export interface LinkLimits {
  /** No line for so long: closed and opened again; `Infinity` for a recording. */
  readonly silenceSeconds: number;
}

/** The first wait after a failure, s; each further one doubles it. */
export const SHORTEST_WAIT_SECONDS = 0.25;
/** The longest wait between two openings, s. */
export const LONGEST_WAIT_SECONDS = 5;
/** The longest that an opening may take, s. */
export const OPENING_LIMIT_SECONDS = 15;
/** A silence is longer than so many usual gaps. */
const SILENCE_IN_GAPS = 3;
const LONGEST_LEARNED_SILENCE_SECONDS = 60;

/** A link that begins now. */
export function firstLinkState(atSeconds: number): LinkState {
  return { kind: "opening", sinceSeconds: atSeconds, failures: 0, isSilent: false, longestGapSeconds: 0 };
}

/**
 * The state after an event; the same object when nothing changed.
 *
 *     opening ──opened──▶ listening ──lost, or silent too long──▶ waiting ──tick, appeared──▶ opening
 *        └──────lost, or too long──────────────────────────────────▲
 */
export function nextLinkState(state: LinkState, event: LinkEvent, limits: LinkLimits): LinkState {
  if (state.kind === "ended") return state;
  switch (event.kind) {
    case "opened":
      return state.kind === "opening"
        ? { ...memory(state), kind: "listening", lastHeardAtSeconds: event.atSeconds, hasLine: false }
        : state;
    case "line":
      return state.kind === "listening" ? afterLine(state, event.atSeconds, event.isRead) : state;
    case "lost":
      return state.kind === "waiting" ? state : waitAfter(state, state.isSilent, event.atSeconds);
    case "appeared":
      return state.kind === "waiting" ? openAgain(state, event.atSeconds) : state;
    case "ended":
      return { ...memory(state), kind: "ended" };
    case "tick":
      return afterTick(state, event.atSeconds, limits);
  }
}

/** The wait after so many failures in a row, s: 0.25, 0.5, 1, 2, 4, then 5. */
export function waitSeconds(failures: number): number {
  return Math.min(LONGEST_WAIT_SECONDS, SHORTEST_WAIT_SECONDS * 2 ** Math.max(0, failures - 1));
}

/** How long a link may be silent, s: the limit, or longer for an instrument that is known to be slow. */
export function patienceSeconds({ longestGapSeconds }: LinkState, { silenceSeconds }: LinkLimits): number {
  const learned = Math.min(LONGEST_LEARNED_SILENCE_SECONDS, SILENCE_IN_GAPS * longestGapSeconds);
  return Math.max(silenceSeconds, learned);
}

/** The word that the operator sees: a silent link stays silent while it is opened again and again. */
export function linkKind(state: LinkState): LinkStatus["kind"] {
  if (state.kind === "ended") return "absent";
  if (state.isSilent) return "silent";
  return state.kind === "opening" && state.failures > 0 ? "waiting" : state.kind;
}

function afterLine(
  state: Extract<LinkState, { kind: "listening" }>,
  atSeconds: number,
  isRead: boolean,
): LinkState {
  const gapSeconds = state.hasLine ? atSeconds - state.lastHeardAtSeconds : 0;
  return {
    kind: "listening",
    failures: isRead ? 0 : state.failures,
    isSilent: false,
    longestGapSeconds: Math.max(state.longestGapSeconds, gapSeconds),
    lastHeardAtSeconds: atSeconds,
    hasLine: true,
  };
}

function afterTick(state: LinkState, atSeconds: number, limits: LinkLimits): LinkState {
  switch (state.kind) {
    case "opening":
      return atSeconds - state.sinceSeconds >= OPENING_LIMIT_SECONDS
        ? waitAfter(state, state.isSilent, atSeconds)
        : state;
    case "listening":
      return atSeconds - state.lastHeardAtSeconds >= patienceSeconds(state, limits)
        ? waitAfter(state, true, atSeconds)
        : state;
    case "waiting":
      return atSeconds >= state.retryAtSeconds ? openAgain(state, atSeconds) : state;
    case "ended":
      return state;
  }
}

function waitAfter(state: LinkState, isSilent: boolean, atSeconds: number): LinkState {
  const failures = state.failures + 1;
  return {
    ...memory(state),
    kind: "waiting",
    failures,
    isSilent,
    retryAtSeconds: atSeconds + waitSeconds(failures),
  };
}

function openAgain(state: LinkState, atSeconds: number): LinkState {
  return { ...memory(state), kind: "opening", sinceSeconds: atSeconds };
}

function memory({ failures, isSilent, longestGapSeconds }: LinkState): LinkMemory {
  return { failures, isSilent, longestGapSeconds };
}
