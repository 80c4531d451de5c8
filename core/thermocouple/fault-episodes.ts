import type { SensorFault, SensorFaultKind } from "#core/thermocouple/sensor-faults";

/** A stretch of readings that showed a fault. */
export interface Sign {
  readonly kind: SensorFaultKind;
  readonly fromSeconds: number;
  readonly toSeconds: number;
  /** Readings that are new in this sign. */
  readonly readings: number;
  /** The most telling of them, °C. */
  readonly celsius: number | null;
}

/** Signs of one kind that came close behind each other. */
export type Episode = Sign;

/** Signs of a kind that follow each other within this time are one episode, s. */
const MERGE_SECONDS: Readonly<Record<SensorFaultKind, number>> = {
  "open-circuit": 5,
  "short-circuit": 5,
  "reversed-polarity": 30,
  "wrong-type": Number.POSITIVE_INFINITY,
  "cold-junction-stuck": Number.POSITIVE_INFINITY,
  "cold-junction-unreasonable": 30,
  frozen: 5,
  spikes: 0,
  intermittent: 60,
  "drop-outs": 0,
  "out-of-range": 5,
};

/** A fault counts as lasting so long after its last sign, s. */
const LASTS_SECONDS = 10;

/** So many of these are worth a look; fewer are only counted. */
const WORTH_A_LOOK: Partial<Readonly<Record<SensorFaultKind, number>>> = { spikes: 5, "drop-outs": 5 };

/** An open circuit this short that came once is only counted, s. */
const SHORT_OPENING_SECONDS = 3;

/** More are not kept one by one; the counts go on. */
const MOST_EPISODES = 1000;

/** Episodes by their beginning, with a sign put in: a new one, or a longer last one of its kind. */
export function withSign(episodes: readonly Episode[], sign: Sign): readonly Episode[] {
  const last = episodes.findLastIndex(({ kind }) => kind === sign.kind);
  const before = episodes[last];
  if (!before) return [...episodes, sign];
  const isNew = sign.fromSeconds - before.toSeconds > MERGE_SECONDS[sign.kind];
  return isNew && episodes.length < MOST_EPISODES ? [...episodes, sign] : grown(episodes, last, sign);
}

function grown(episodes: readonly Episode[], index: number, sign: Sign): readonly Episode[] {
  return episodes.map((episode, at) => (at === index ? joined(episode, sign) : episode));
}

function joined(episode: Episode, sign: Sign): Episode {
  return {
    ...episode,
    fromSeconds: Math.min(episode.fromSeconds, sign.fromSeconds),
    toSeconds: Math.max(episode.toSeconds, sign.toSeconds),
    readings: episode.readings + sign.readings,
    celsius: sign.celsius ?? episode.celsius,
  };
}

/** What the episodes come to, one fault a kind, by their first beginning. */
export function faultsOf(episodes: readonly Episode[], nowSeconds: number): SensorFault[] {
  const kinds = [...new Set(episodes.map(({ kind }) => kind))];
  return kinds.map((kind) =>
    faultOf(
      kind,
      episodes.filter((episode) => episode.kind === kind),
      nowSeconds,
    ),
  );
}

function faultOf(kind: SensorFaultKind, episodes: readonly Episode[], nowSeconds: number): SensorFault {
  const lastAtSeconds = Math.max(...episodes.map(({ toSeconds }) => toSeconds));
  const seconds = episodes.reduce((sum, { fromSeconds, toSeconds }) => sum + toSeconds - fromSeconds, 0);
  const lasts = Math.max(LASTS_SECONDS, Math.min(MERGE_SECONDS[kind], 60));
  const isShortOpening = kind === "open-circuit" && episodes.length === 1 && seconds < SHORT_OPENING_SECONDS;
  return {
    kind,
    isActive: nowSeconds - lastAtSeconds <= lasts,
    episodes: episodes.length,
    readings: episodes.reduce((sum, { readings }) => sum + readings, 0),
    seconds,
    firstAtSeconds: Math.min(...episodes.map(({ fromSeconds }) => fromSeconds)),
    lastAtSeconds,
    celsius: episodes.findLast(({ celsius }) => celsius !== null)?.celsius ?? null,
    likelyType: null,
    needsPerson: episodes.length >= (WORTH_A_LOOK[kind] ?? 1) && !isShortOpening,
  };
}
