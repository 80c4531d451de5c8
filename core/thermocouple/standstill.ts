import type { Sign } from "#core/thermocouple/fault-episodes";
import type { Heard } from "#core/thermocouple/sensor-faults";

/** A reading that flickered stands still when so many, for so long, are the same to the last digit, s. */
const FROZEN_READINGS = 20;
const FROZEN_SECONDS = 20;
/** It flickered: of this many steps before, such shares moved, and went back and forth. */
const STEPS_BEFORE = 60;
const LEAST_MOVED = 0.5;
const LEAST_TURNED = 0.15;
/** Or it leaves its standstill by such a jump, K: about what the climb before would have given meanwhile. */
const LEAVES_BY_KELVIN = 8;
const CAUGHT_UP_SHARE = { least: 0.5, most: 1.6 };
/** The climb before is known from so many changes. */
const TRAIL_CHANGES = 10;
/** A standstill as long as usual is none: it must be longer by this factor than any before. */
const TIMES_LONGEST = 4;

/** What is known of a value that may stand still. */
export interface Standstill {
  readonly value: number | null;
  readonly sinceSeconds: number;
  /** How often the value was heard in a row. */
  readonly run: number;
  readonly longestRun: number;
  /** Signs of the newest steps before this run: 1 up, −1 down, 0 none. */
  readonly steps: readonly number[];
  /** The newest changes before this run, oldest first. */
  readonly trail: readonly { readonly atSeconds: number; readonly celsius: number }[];
  /** True once the present run has been told. */
  readonly isTold: boolean;
}

/** Nothing has been heard yet. */
export const NO_STANDSTILL: Standstill = {
  value: null,
  sinceSeconds: 0,
  run: 0,
  longestRun: 0,
  steps: [],
  trail: [],
  isTold: false,
};

type Step = { readonly state: Standstill; readonly signs: readonly Sign[] };

/**
 * A chamber reading that stands still to the last digit after it flickered, or that stood still and then
 * jumped to where it should have been: an instrument that repeats itself. A quiet hold on an instrument
 * with coarse digits is none.
 */
export function nextStandstill(state: Standstill, { atSeconds, celsius }: Heard & { celsius: number }): Step {
  if (state.value === null)
    return { state: { ...NO_STANDSTILL, value: celsius, sinceSeconds: atSeconds, run: 1 }, signs: [] };
  if (celsius === state.value) return stillSame(state, atSeconds, celsius);
  const steps = [
    ...state.steps,
    ...Array<number>(Math.min(state.run - 1, STEPS_BEFORE)).fill(0),
    Math.sign(celsius - state.value),
  ];
  const next: Standstill = {
    value: celsius,
    sinceSeconds: atSeconds,
    run: 1,
    longestRun: state.isTold ? state.longestRun : Math.max(state.longestRun, state.run),
    steps: steps.slice(-STEPS_BEFORE),
    trail: [...state.trail, { atSeconds: state.sinceSeconds, celsius: state.value }].slice(-TRAIL_CHANGES),
    isTold: false,
  };
  return { state: next, signs: leavingSigns(state, atSeconds, celsius) };
}

function stillSame(state: Standstill, atSeconds: number, celsius: number): Step {
  const next = { ...state, run: state.run + 1 };
  if (state.isTold)
    return {
      state: next,
      signs: [{ kind: "frozen", fromSeconds: atSeconds, toSeconds: atSeconds, readings: 1, celsius }],
    };
  if (!isFrozen(next, atSeconds)) return { state: next, signs: [] };
  return {
    state: { ...next, isTold: true },
    signs: [
      { kind: "frozen", fromSeconds: state.sinceSeconds, toSeconds: atSeconds, readings: next.run, celsius },
    ],
  };
}

function isFrozen({ run, sinceSeconds, longestRun, steps }: Standstill, atSeconds: number): boolean {
  if (run < Math.max(FROZEN_READINGS, TIMES_LONGEST * longestRun)) return false;
  if (atSeconds - sinceSeconds < FROZEN_SECONDS || steps.length < STEPS_BEFORE) return false;
  const moved = steps.filter((step) => step !== 0);
  const turned = moved.filter((step, index) => index > 0 && step !== moved[index - 1]);
  return moved.length >= LEAST_MOVED * steps.length && turned.length >= LEAST_TURNED * steps.length;
}

function leavingSigns(state: Standstill, atSeconds: number, celsius: number): Sign[] {
  const { value, run, sinceSeconds, isTold, longestRun } = state;
  if (isTold || value === null) return [];
  const isLong =
    run >= Math.max(FROZEN_READINGS, TIMES_LONGEST * longestRun) &&
    atSeconds - sinceSeconds >= FROZEN_SECONDS;
  if (!isLong || !isCaughtUp(state, atSeconds, celsius - value)) return [];
  return [{ kind: "frozen", fromSeconds: sinceSeconds, toSeconds: atSeconds, readings: run, celsius: value }];
}

/** Whether a jump out of a standstill is where the climb, or the cooling, before it would have led. */
function isCaughtUp(
  { trail, sinceSeconds, value }: Standstill,
  atSeconds: number,
  jumpKelvin: number,
): boolean {
  const first = trail[0];
  if (!first || trail.length < TRAIL_CHANGES || Math.abs(jumpKelvin) < LEAVES_BY_KELVIN) return false;
  const rate = ((value ?? 0) - first.celsius) / (sinceSeconds - first.atSeconds);
  const share = jumpKelvin / (rate * (atSeconds - sinceSeconds));
  return share >= CAUGHT_UP_SHARE.least && share <= CAUGHT_UP_SHARE.most;
}
