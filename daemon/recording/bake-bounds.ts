/** What is looked at to find where bakes begin and end. */
export interface Moment {
  readonly atSeconds: number;
  readonly celsius: number;
}

/** What a plan says about the bake that it belongs to. */
export interface PlanBounds {
  readonly lowCelsius: number;
  readonly topCelsius: number;
  readonly lengthSeconds: number;
}

interface Watch {
  /** The last minute, two moments a second at most. */
  readonly recent: readonly Moment[];
  /** Where the furnace rests, cold or at stand-by, °C; null before the first moment. */
  readonly restCelsius: number | null;
  /** True once it was seen steady there; until then the lowest temperature seen stands in. */
  readonly isRestSure: boolean;
  /** Since when the temperature stands clearly above rest. */
  readonly aboveSinceSeconds: number | null;
}

/** No bake is open. */
export interface Resting extends Watch {
  readonly kind: "resting";
  /** True after a bake until it is steady: controllers swing wide on the way back to stand-by. */
  readonly isSettling: boolean;
  readonly nearRestSinceSeconds: number | null;
  /** The last moment at which it had stood at rest for a while. */
  readonly restedAtSeconds: number | null;
}

/** A bake was begun by hand and its climb has not been seen. */
export interface Waiting extends Watch {
  readonly kind: "waiting";
  readonly plan: PlanBounds | null;
  readonly sinceSeconds: number | null;
}

/** A bake is open and has climbed. */
export interface Running extends Watch {
  readonly kind: "running";
  readonly plan: PlanBounds | null;
  /** Where the bake begins when it opened by itself: some rest is part of it. */
  readonly openedFromSeconds: number;
  readonly peakCelsius: number;
  /** Since when it is back where a bake ends. */
  readonly returnedSinceSeconds: number | null;
  /** Since when it is low enough to be over, steady or not. */
  readonly lowSinceSeconds: number | null;
  /** The level at which it stands still, and since when. */
  readonly steady: Moment | null;
}

/** Where a furnace stands between two bakes, or in one. */
export type BakeBounds = Resting | Waiting | Running;

/** How much of the time before a climb the recorder keeps at hand, s. */
export const LONGEST_BEFORE_CLIMB_SECONDS = 900;

/** So much of the rest belongs to a bake that opened by itself, s. */
const REST_BEFORE_CLIMB_SECONDS = 120;

const RECENT_SECONDS = 60;
const RECENT_STEP_SECONDS = 0.5;
/** A silence after which nothing seen before it counts as "since". */
const SILENCE_SECONDS = 60;
/** A climb: so far above rest, for so long. Controllers overshoot less when the muffle closes. */
const CLIMB_KELVIN = 30;
const CLIMB_SECONDS = 8;
/** Furnaces stand by below this (common practice, no source: 400 to 520 °C). */
const STANDBY_TOP_CELSIUS = 520;
const STANDBY_NEAR_CELSIUS = 540;
const STANDBY_USUAL_CELSIUS = 500;
/** Below this a furnace is off, not at stand-by. */
const COLD_CELSIUS = 200;
const COLD_START_CELSIUS = 300;
/** A stretch is steady when the medians of its two halves differ by no more, K. */
const STEADY_KELVIN = 4;
const SAME_LEVEL_KELVIN = 10;
const NEAR_REST_KELVIN = 8;
/** A rest drifts no faster than this; what rises faster is a climb, K/s. */
const REST_RISE_KELVIN_PER_SECOND = 1 / 60;
/** Slow as well, so that an open muffle is not taken for a new rest, K/s. */
const REST_FALL_KELVIN_PER_SECOND = 5 / 60;
/** A door opened during a bake falls and comes back sooner than these. */
const STEADY_RETURN_SECONDS = 45;
const ANY_RETURN_SECONDS = 150;
/** The same for a bake that has not done what it was for, and for a probe that says cold all at once. */
const DOUBTFUL_RETURN_SECONDS = 300;
const DOUBTFUL_ANY_RETURN_SECONDS = 600;
const STANDBY_STEADY_SECONDS = 900;
const HOT_STEADY_SECONDS = 7200;
const LONGEST_WAIT_SECONDS = 7200;

/** A furnace that nothing is known of. */
export const unknownBounds: Resting = {
  kind: "resting",
  isSettling: false,
  recent: [],
  restCelsius: null,
  isRestSure: false,
  aboveSinceSeconds: null,
  nearRestSinceSeconds: null,
  restedAtSeconds: null,
};

/** Somebody began a bake by hand. */
export function begunBounds(before: BakeBounds, plan: PlanBounds | null): Waiting {
  const { recent, restCelsius, isRestSure } = before;
  return {
    kind: "waiting",
    recent,
    restCelsius,
    isRestSure,
    aboveSinceSeconds: null,
    plan,
    sinceSeconds: null,
  };
}

/** The bake was closed by hand: what the furnace stands at is its rest until it shows another. */
export function closedBounds(before: BakeBounds): Resting {
  return {
    ...unknownBounds,
    isSettling: true,
    recent: before.recent,
    restCelsius: before.recent.length > 0 ? level(before.recent) : null,
  };
}

/** A bake that opened by itself and is taken up again: its first samples are still to come. */
export function resumedBounds(restCelsius: number | null, plan: PlanBounds | null): Running {
  const watch = { recent: [], restCelsius, isRestSure: restCelsius !== null, aboveSinceSeconds: null, plan };
  return running(watch, { atSeconds: 0, celsius: Number.NEGATIVE_INFINITY }, 0);
}

/** The open bake was given another plan, or none. */
export function plannedBounds(before: BakeBounds, plan: PlanBounds | null): BakeBounds {
  return before.kind === "resting" ? before : { ...before, plan };
}

/** True when the open bake is as good as over, so that another may be begun in its stead. */
export function isReadyForNext(bounds: BakeBounds): boolean {
  if (bounds.kind !== "running") return false;
  const isWarmUp =
    bounds.plan === null && bounds.peakCelsius <= STANDBY_NEAR_CELSIUS && bounds.steady !== null;
  return bounds.returnedSinceSeconds !== null || isWarmUp;
}

/**
 * Finds where bakes begin and end in what a furnace says, one moment after the other. A change of `kind` is
 * what happened: `resting` to `running` opens a bake, `waiting` to `running` is the climb of one begun by
 * hand, back to `resting` closes it. Holds, stalls, a door opened and silences do not.
 *
 *                  ___ hold
 *                 /   \         a climb: 30 K above rest for 8 s
 *     rest  _____/     \____ rest    the end: fallen, near rest, and steady there
 *
 * @param moment °C at a time that rises from call to call; noise, lone spikes, 0.1 to 10 samples a second
 * @returns the same object when the moment came too soon after the last to matter
 */
export function nextBounds(state: BakeBounds, moment: Moment): BakeBounds {
  const last = state.recent.at(-1);
  if (last && moment.atSeconds - last.atSeconds < RECENT_STEP_SECONDS) return state;
  const isAfterSilence = last !== undefined && moment.atSeconds - last.atSeconds > SILENCE_SECONDS;
  const before = isAfterSilence ? withoutSince(state) : state;
  const recent = [...before.recent, moment].filter(
    ({ atSeconds }) => atSeconds >= moment.atSeconds - RECENT_SECONDS,
  );
  const now = { atSeconds: moment.atSeconds, celsius: level(recent) };
  switch (before.kind) {
    case "resting":
      return afterRest({ ...before, recent }, now, last?.atSeconds ?? moment.atSeconds);
    case "waiting":
      return afterWait({ ...before, recent }, now);
    case "running":
      return afterRun({ ...before, recent }, now);
  }
}

function afterRest(state: Resting, now: Moment, lastAtSeconds: number): BakeBounds {
  const rested = withRest(state, now, lastAtSeconds);
  const rest = rested.restCelsius ?? now.celsius;
  const isNear = Math.abs(now.celsius - rest) <= NEAR_REST_KELVIN;
  const nearRestSinceSeconds = isNear ? (state.nearRestSinceSeconds ?? now.atSeconds) : null;
  const hasRested = nearRestSinceSeconds !== null && now.atSeconds - nearRestSinceSeconds >= RECENT_SECONDS;
  const restedAtSeconds = hasRested ? now.atSeconds : state.restedAtSeconds;
  const climbKelvin = rested.isSettling ? 2 * CLIMB_KELVIN : CLIMB_KELVIN;
  const aboveSinceSeconds = sinceAbove(state, now, rest + climbKelvin);
  if (isClimb(aboveSinceSeconds, now)) return opened(rested, now, restedAtSeconds);
  return { ...rested, nearRestSinceSeconds, restedAtSeconds, aboveSinceSeconds };
}

function afterWait(state: Waiting, now: Moment): BakeBounds {
  const sinceSeconds = state.sinceSeconds ?? now.atSeconds;
  const restCelsius = state.isRestSure
    ? state.restCelsius
    : Math.min(state.restCelsius ?? now.celsius, now.celsius);
  const base = Math.max(
    restCelsius ?? now.celsius,
    Math.min(state.plan?.lowCelsius ?? 0, STANDBY_TOP_CELSIUS),
  );
  const aboveSinceSeconds = sinceAbove(state, now, base + CLIMB_KELVIN);
  if (isClimb(aboveSinceSeconds, now)) return running({ ...state, restCelsius }, now, sinceSeconds);
  if (now.atSeconds - sinceSeconds > LONGEST_WAIT_SECONDS + (state.plan?.lengthSeconds ?? 0))
    return closedBounds(state);
  return { ...state, restCelsius, sinceSeconds, aboveSinceSeconds };
}

function afterRun(state: Running, now: Moment): BakeBounds {
  const peakCelsius = Math.max(state.peakCelsius, now.celsius);
  const levels = returnLevels(state);
  const fallenKelvin = peakCelsius - now.celsius;
  const isReturned =
    (fallenKelvin >= 2 * CLIMB_KELVIN && now.celsius <= Math.max(levels.far + 20, STANDBY_NEAR_CELSIUS)) ||
    (fallenKelvin >= 20 && now.celsius <= levels.near + 20);
  const isLow = fallenKelvin >= 2 * CLIMB_KELVIN && now.celsius <= levels.far + 40;
  const next: Running = {
    ...state,
    peakCelsius,
    returnedSinceSeconds: isReturned ? (state.returnedSinceSeconds ?? now.atSeconds) : null,
    lowSinceSeconds: isLow ? (state.lowSinceSeconds ?? now.atSeconds) : null,
    steady: steadyLevel(state, now),
  };
  return isOver(next, now) ? closedAtRest(next, now) : next;
}

function isOver(state: Running, now: Moment): boolean {
  const isDoubtful = !isLikelyDone(state) || now.celsius < COLD_CELSIUS;
  const lasts = (sinceSeconds: number | null, seconds: number) =>
    sinceSeconds !== null && now.atSeconds - sinceSeconds >= seconds;
  const plannedSeconds = state.plan?.lengthSeconds ?? 0;
  const stillSeconds = now.celsius <= STANDBY_NEAR_CELSIUS ? STANDBY_STEADY_SECONDS : HOT_STEADY_SECONDS;
  return (
    (state.steady !== null &&
      lasts(state.returnedSinceSeconds, isDoubtful ? DOUBTFUL_RETURN_SECONDS : STEADY_RETURN_SECONDS)) ||
    lasts(state.lowSinceSeconds, isDoubtful ? DOUBTFUL_ANY_RETURN_SECONDS : ANY_RETURN_SECONDS) ||
    lasts(state.steady?.atSeconds ?? null, stillSeconds + plannedSeconds)
  );
}

/** Whether the bake has been where it was to go, or where only a bake goes. */
function isLikelyDone({ plan, peakCelsius, restCelsius }: Running): boolean {
  if (plan) return peakCelsius >= plan.topCelsius - CLIMB_KELVIN;
  const rest = restCelsius ?? peakCelsius;
  return peakCelsius >= (rest < COLD_START_CELSIUS ? STANDBY_NEAR_CELSIUS : rest + 2 * CLIMB_KELVIN);
}

/** Where a bake may end: `near` counts after a small fall, `far` after a large one. */
function returnLevels({ plan, restCelsius, isRestSure }: Running): { near: number; far: number } {
  const seen = restCelsius ?? 0;
  const rest = isRestSure ? seen : Math.min(seen, STANDBY_USUAL_CELSIUS);
  if (rest < COLD_START_CELSIUS)
    return { near: rest, far: Math.max(STANDBY_USUAL_CELSIUS, plan?.lowCelsius ?? 0) };
  const atStandby = Math.max(rest, plan?.lowCelsius ?? 0);
  return { near: atStandby, far: atStandby };
}

function opened(state: Resting, now: Moment, restedAtSeconds: number | null): Running {
  const leftRestAtSeconds = restedAtSeconds ?? Number.NEGATIVE_INFINITY;
  const openedFromSeconds = Math.max(
    leftRestAtSeconds - REST_BEFORE_CLIMB_SECONDS,
    now.atSeconds - LONGEST_BEFORE_CLIMB_SECONDS,
  );
  return running({ ...state, plan: null }, now, openedFromSeconds);
}

function running(
  state: Watch & { readonly plan: PlanBounds | null },
  now: Moment,
  openedFromSeconds: number,
): Running {
  return {
    kind: "running",
    recent: state.recent,
    restCelsius: state.restCelsius,
    isRestSure: state.isRestSure,
    aboveSinceSeconds: null,
    plan: state.plan,
    openedFromSeconds,
    peakCelsius: now.celsius,
    returnedSinceSeconds: null,
    lowSinceSeconds: null,
    steady: null,
  };
}

/** Back at the rest that it left, or at the new one where the furnace now stands. */
function closedAtRest(state: Running, now: Moment): Resting {
  const rest = state.restCelsius ?? now.celsius;
  const isSameRest = Math.abs(now.celsius - rest) <= 40;
  return {
    ...closedBounds(state),
    restCelsius: isSameRest ? rest : now.celsius,
    isRestSure: isSameRest ? state.isRestSure : state.steady !== null,
  };
}

function withRest(state: Resting, now: Moment, lastAtSeconds: number): Resting {
  const rest = state.restCelsius ?? now.celsius;
  const isStill = isSteady(state.recent);
  if (isStill && (state.isSettling || !state.isRestSure))
    return { ...state, isSettling: false, isRestSure: true, restCelsius: now.celsius };
  if (!state.isRestSure) return { ...state, restCelsius: Math.min(rest, now.celsius) };
  if (!isStill) return state;
  const passedSeconds = Math.min(RECENT_SECONDS, now.atSeconds - lastAtSeconds);
  const drift = Math.max(
    -REST_FALL_KELVIN_PER_SECOND * passedSeconds,
    Math.min(REST_RISE_KELVIN_PER_SECOND * passedSeconds, now.celsius - rest),
  );
  return { ...state, restCelsius: rest + drift };
}

function sinceAbove({ recent, aboveSinceSeconds }: Watch, now: Moment, celsius: number): number | null {
  return now.celsius > celsius && halvesDifferKelvin(recent) > -STEADY_KELVIN
    ? (aboveSinceSeconds ?? now.atSeconds)
    : null;
}

function isClimb(aboveSinceSeconds: number | null, now: Moment): boolean {
  return aboveSinceSeconds !== null && now.atSeconds - aboveSinceSeconds >= CLIMB_SECONDS;
}

/** A slow climb is not steady for long: it leaves the level at which it began to be. */
function steadyLevel({ recent, steady }: Running, now: Moment): Moment | null {
  if (!isSteady(recent)) return null;
  if (steady && Math.abs(now.celsius - steady.celsius) <= SAME_LEVEL_KELVIN) return steady;
  return { atSeconds: recent[0]?.atSeconds ?? now.atSeconds, celsius: now.celsius };
}

function isSteady(recent: readonly Moment[]): boolean {
  const first = recent[0];
  const last = recent.at(-1);
  if (!first || !last || recent.length < 5 || last.atSeconds - first.atSeconds < 40) return false;
  return Math.abs(halvesDifferKelvin(recent)) <= STEADY_KELVIN;
}

/** By how much the later half of a stretch stands above the earlier, K. */
function halvesDifferKelvin(recent: readonly Moment[]): number {
  const half = Math.ceil(recent.length / 2);
  return median(recent.slice(-half)) - median(recent.slice(0, half));
}

/** The temperature now, blind to lone spikes: the median of the last five. */
function level(recent: readonly Moment[]): number {
  return median(recent.slice(-5));
}

function median(moments: readonly Moment[]): number {
  const sorted = moments.map(({ celsius }) => celsius).sort((a, b) => a - b);
  return sorted[Math.floor((sorted.length - 1) / 2)] ?? Number.NaN;
}

function withoutSince(state: BakeBounds): BakeBounds {
  const silent = { recent: [], aboveSinceSeconds: null };
  if (state.kind === "resting") return { ...state, ...silent, nearRestSinceSeconds: null };
  if (state.kind === "waiting") return { ...state, ...silent };
  return { ...state, ...silent, returnedSinceSeconds: null, lowSinceSeconds: null, steady: null };
}
