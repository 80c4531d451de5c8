import type { Sign } from "#core/thermocouple/fault-episodes";
import type { Heard } from "#core/thermocouple/sensor-faults";

/** An instrument that speaks without a value for so long, and so often, has an open thermocouple. */
const OPEN_SECONDS = 5;
const OPEN_READINGS = 3;

/** A silence this many usual steps long, and at least so long, is a drop-out, s. */
const SILENT_STEPS = 3.5;
const SHORTEST_SILENCE_SECONDS = 3;

/** What is known of readings that do not come. */
export interface Missing {
  /** Since when readings have no value; null while they have. */
  readonly sinceSeconds: number | null;
  readonly readings: number;
  readonly isOpen: boolean;
  readonly lastHeardSeconds: number | null;
  /** The usual step between two readings, a moving mean, s; null before it is known. */
  readonly usualStepSeconds: number | null;
}

/** Nothing has been heard yet. */
export const NOTHING_MISSING: Missing = {
  sinceSeconds: null,
  readings: 0,
  isOpen: false,
  lastHeardSeconds: null,
  usualStepSeconds: null,
};

type Step = { readonly state: Missing; readonly signs: readonly Sign[] };

/**
 * Readings without a value: the instrument's own word is believed; without a word a few are drop-outs and
 * a row of them an open circuit. Silences of the line are drop-outs, too.
 */
export function nextMissing(before: Missing, heard: Heard): Step {
  const silence = silenceSigns(before, heard);
  const timed = withStep(before, heard);
  const step = heard.celsius === null ? withoutValue(timed, heard) : withValue(timed);
  return { state: step.state, signs: [...silence, ...step.signs] };
}

function withoutValue(state: Missing, heard: Heard): Step {
  const { atSeconds, sensorWord } = heard;
  if (sensorWord === "above-range" || sensorWord === "below-range")
    return { state, signs: [point("out-of-range", atSeconds)] };
  const sinceSeconds = state.sinceSeconds ?? atSeconds;
  const readings = state.readings + 1;
  const isOpen =
    state.isOpen ||
    sensorWord === "open-circuit" ||
    (atSeconds - sinceSeconds >= OPEN_SECONDS && readings >= OPEN_READINGS);
  const next = { ...state, sinceSeconds, isOpen, readings: isOpen ? 0 : readings };
  if (!isOpen) return { state: next, signs: [] };
  return {
    state: next,
    signs: [
      { kind: "open-circuit", fromSeconds: sinceSeconds, toSeconds: atSeconds, readings, celsius: null },
    ],
  };
}

/** A value again: what was missing meanwhile is told, unless it was told as an open circuit already. */
function withValue(state: Missing): Step {
  const { sinceSeconds, readings, isOpen, lastHeardSeconds } = state;
  const next = { ...state, sinceSeconds: null, readings: 0, isOpen: false };
  if (sinceSeconds === null || isOpen) return { state: next, signs: [] };
  const toSeconds = lastHeardSeconds ?? sinceSeconds;
  return {
    state: next,
    signs: [{ kind: "drop-outs", fromSeconds: sinceSeconds, toSeconds, readings, celsius: null }],
  };
}

function silenceSigns({ lastHeardSeconds, usualStepSeconds }: Missing, { atSeconds }: Heard): Sign[] {
  if (lastHeardSeconds === null || usualStepSeconds === null) return [];
  const silentSeconds = atSeconds - lastHeardSeconds;
  if (silentSeconds < Math.max(SHORTEST_SILENCE_SECONDS, SILENT_STEPS * usualStepSeconds)) return [];
  const readings = Math.round(silentSeconds / usualStepSeconds) - 1;
  return [
    { kind: "drop-outs", fromSeconds: lastHeardSeconds, toSeconds: atSeconds, readings, celsius: null },
  ];
}

function withStep(state: Missing, { atSeconds }: Heard): Missing {
  if (state.lastHeardSeconds === null) return { ...state, lastHeardSeconds: atSeconds };
  const step = atSeconds - state.lastHeardSeconds;
  const usual = state.usualStepSeconds ?? step;
  // A long silence is no habit: it moves the mean like an ordinary step.
  const usualStepSeconds = usual + 0.1 * (Math.min(step, 2 * usual) - usual);
  return { ...state, lastHeardSeconds: atSeconds, usualStepSeconds };
}

function point(kind: Sign["kind"], atSeconds: number, celsius: number | null = null): Sign {
  return { kind, fromSeconds: atSeconds, toSeconds: atSeconds, readings: 1, celsius };
}
