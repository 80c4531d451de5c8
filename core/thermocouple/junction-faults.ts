import { referenceRangeCelsius } from "#core/thermocouple/emf";
import type { Sign } from "#core/thermocouple/fault-episodes";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import type { Heard } from "#core/thermocouple/sensor-faults";

/** A cold junction beside a furnace is between these, °C (common practice, no source). */
const REASONABLE_COLD_CELSIUS = { from: -5, to: 70 };

/** A cold junction that moves by no digit for so long, while the chamber moved so much, is no measurement, s, K. */
const STUCK_SECONDS = 1200;
const STUCK_READINGS = 200;
const STUCK_WHILE_KELVIN = 200;
/** One that shows whole degrees only may stand for longer, s. */
const STUCK_WHOLE_SECONDS = 3600;

/** Leads are swapped when a furnace reads so far below its cold junction, K, that often in a row. */
const REVERSED_KELVIN = 15;
const REVERSED_MILLIVOLTS = 0.15;
const REVERSED_READINGS = 3;

/** The chamber is hot when it reads this much above its cold junction, K, or above a room, °C. */
const HOT_KELVIN = 50;
const ROOM_CELSIUS = 25;

/** A heater that gives this much for so long must show, s, K. */
const HEATING_FRACTION = 0.5;
const HEATING_SECONDS = 120;
const UNHEATED_KELVIN = 6;

/** What is known of the two junctions. */
export interface Junctions {
  readonly coldCelsius: number | null;
  readonly coldSinceSeconds: number;
  readonly coldReadings: number;
  /** False once a cold junction with a fraction was heard. */
  readonly isColdWhole: boolean;
  /** Lowest and highest chamber since the cold junction last moved, °C. */
  readonly chamber: { readonly lowest: number; readonly highest: number } | null;
  readonly unreasonableRun: number;
  /** True once the chamber read far above its cold junction: leads do not swap by themselves. */
  readonly hasReadHot: boolean;
  readonly reversedRun: number;
  readonly reversedSinceSeconds: number;
  /** Since when the heater has worked without effect; null while it does not. */
  readonly unheatedSinceSeconds: number | null;
}

/** Nothing has been heard yet. */
export const NEW_JUNCTIONS: Junctions = {
  coldCelsius: null,
  coldSinceSeconds: 0,
  coldReadings: 0,
  isColdWhole: true,
  chamber: null,
  unreasonableRun: 0,
  hasReadHot: false,
  reversedRun: 0,
  reversedSinceSeconds: 0,
  unheatedSinceSeconds: null,
};

type Step = { readonly state: Junctions; readonly signs: readonly Sign[] };

/**
 * Cold junctions that stand still or cannot be, leads that are swapped, a heater that heats nothing that the
 * probe could feel, and readings outside of what the thermocouple can give.
 */
export function nextJunctions(before: Junctions, heard: Heard, type: ThermocoupleType | null): Step {
  const cold = nextCold(before, heard);
  const reversed = nextReversed(cold.state, heard, type);
  const unheated = nextUnheated(reversed.state, heard);
  return {
    state: unheated.state,
    signs: [...cold.signs, ...reversed.signs, ...unheated.signs, ...rangeSigns(heard, type)],
  };
}

function nextCold(state: Junctions, heard: Heard): Step {
  const { coldJunctionCelsius: cold, celsius, atSeconds } = heard;
  if (cold === undefined) return { state, signs: [] };
  const isSame = cold === state.coldCelsius;
  const next: Junctions = {
    ...state,
    coldCelsius: cold,
    coldSinceSeconds: isSame ? state.coldSinceSeconds : atSeconds,
    coldReadings: isSame ? state.coldReadings + 1 : 1,
    isColdWhole: state.isColdWhole && Number.isInteger(cold),
    chamber: chamberSince(isSame ? state.chamber : null, celsius),
    unreasonableRun: isReasonable(cold) ? 0 : state.unreasonableRun + 1,
  };
  return { state: next, signs: [...unreasonableSigns(next, heard), ...stuckSigns(next, heard)] };
}

function isReasonable(cold: number): boolean {
  return cold >= REASONABLE_COLD_CELSIUS.from && cold <= REASONABLE_COLD_CELSIUS.to;
}

function unreasonableSigns({ unreasonableRun, coldCelsius }: Junctions, { atSeconds }: Heard): Sign[] {
  if (unreasonableRun < REVERSED_READINGS) return [];
  const readings = unreasonableRun === REVERSED_READINGS ? REVERSED_READINGS : 1;
  return [
    {
      kind: "cold-junction-unreasonable",
      fromSeconds: atSeconds,
      toSeconds: atSeconds,
      readings,
      celsius: coldCelsius,
    },
  ];
}

function stuckSigns(state: Junctions, { atSeconds }: Heard): Sign[] {
  const { coldSinceSeconds, coldReadings, isColdWhole, chamber, coldCelsius } = state;
  const patience = isColdWhole ? STUCK_WHOLE_SECONDS : STUCK_SECONDS;
  const movedKelvin = chamber ? chamber.highest - chamber.lowest : 0;
  if (
    atSeconds - coldSinceSeconds < patience ||
    coldReadings < STUCK_READINGS ||
    movedKelvin < STUCK_WHILE_KELVIN
  )
    return [];
  return [
    {
      kind: "cold-junction-stuck",
      fromSeconds: coldSinceSeconds,
      toSeconds: atSeconds,
      readings: 1,
      celsius: coldCelsius,
    },
  ];
}

function chamberSince(before: Junctions["chamber"], celsius: number | null): Junctions["chamber"] {
  if (celsius === null) return before;
  return {
    lowest: Math.min(before?.lowest ?? celsius, celsius),
    highest: Math.max(before?.highest ?? celsius, celsius),
  };
}

function nextReversed(state: Junctions, heard: Heard, type: ThermocoupleType | null): Step {
  const { atSeconds, celsius } = heard;
  if (!isReversed(state, heard, type))
    return { state: { ...state, reversedRun: 0, hasReadHot: readsHot(state, heard) }, signs: [] };
  const reversedRun = state.reversedRun + 1;
  const reversedSinceSeconds = state.reversedRun === 0 ? atSeconds : state.reversedSinceSeconds;
  const next = { ...state, reversedRun, reversedSinceSeconds };
  if (reversedRun < REVERSED_READINGS) return { state: next, signs: [] };
  const readings = reversedRun === REVERSED_READINGS ? REVERSED_READINGS : 1;
  return {
    state: next,
    signs: [
      {
        kind: "reversed-polarity",
        fromSeconds: reversedSinceSeconds,
        toSeconds: atSeconds,
        readings,
        celsius,
      },
    ],
  };
}

/**
 * A voltage says it plainly; degrees say it when they are far below the cold junction, or below any room;
 * and an instrument that says "below range" from the beginning, since a furnace is not so cold.
 */
function isReversed(
  { coldCelsius, hasReadHot }: Junctions,
  heard: Heard,
  type: ThermocoupleType | null,
): boolean {
  const { millivolts, celsius, sensorWord } = heard;
  if (millivolts !== undefined) return millivolts < -REVERSED_MILLIVOLTS;
  if (sensorWord === "below-range") return !hasReadHot;
  if (celsius === null) return false;
  const lowest = type === null ? -60 : Math.max(referenceRangeCelsius(type).from, -200);
  return celsius > lowest + 1 && celsius < (coldCelsius ?? 0) - REVERSED_KELVIN;
}

function readsHot({ hasReadHot, coldCelsius }: Junctions, { celsius }: Heard): boolean {
  return hasReadHot || (celsius !== null && celsius > (coldCelsius ?? ROOM_CELSIUS) + HOT_KELVIN);
}

function nextUnheated(state: Junctions, heard: Heard): Step {
  const { atSeconds, celsius, heaterDutyFraction } = heard;
  if (heaterDutyFraction === undefined) return { state, signs: [] };
  const isUnheated =
    heaterDutyFraction >= HEATING_FRACTION &&
    celsius !== null &&
    state.coldCelsius !== null &&
    Math.abs(celsius - state.coldCelsius) <= UNHEATED_KELVIN;
  if (!isUnheated) return { state: { ...state, unheatedSinceSeconds: null }, signs: [] };
  const sinceSeconds = state.unheatedSinceSeconds ?? atSeconds;
  const next = { ...state, unheatedSinceSeconds: sinceSeconds };
  if (atSeconds - sinceSeconds < HEATING_SECONDS) return { state: next, signs: [] };
  return {
    state: next,
    signs: [{ kind: "short-circuit", fromSeconds: sinceSeconds, toSeconds: atSeconds, readings: 1, celsius }],
  };
}

/** Outside of the reference range: tolerated by a kelvin, since printed limits are rounded. */
function rangeSigns({ atSeconds, celsius }: Heard, type: ThermocoupleType | null): Sign[] {
  if (celsius === null) return [];
  const { from, to } = type === null ? { from: -270, to: 1820 } : referenceRangeCelsius(type);
  if (celsius >= from - 1 && celsius <= to + 1) return [];
  return [{ kind: "out-of-range", fromSeconds: atSeconds, toSeconds: atSeconds, readings: 1, celsius }];
}
