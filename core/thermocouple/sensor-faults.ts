import { type Excursions, NO_EXCURSIONS, nextExcursions, withoutLast } from "#core/thermocouple/excursions";
import { type Episode, faultsOf, type Sign, withSign } from "#core/thermocouple/fault-episodes";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { type Junctions, NEW_JUNCTIONS, nextJunctions } from "#core/thermocouple/junction-faults";
import { type Missing, NOTHING_MISSING, nextMissing } from "#core/thermocouple/missing-readings";
import { NO_STANDSTILL, nextStandstill, type Standstill } from "#core/thermocouple/standstill";

/** What can be wrong with a thermocouple and its adapter, told apart in the stream. */
export type SensorFaultKind =
  | "open-circuit"
  | "short-circuit"
  | "reversed-polarity"
  | "wrong-type"
  | "cold-junction-stuck"
  | "cold-junction-unreasonable"
  | "frozen"
  | "spikes"
  | "intermittent"
  | "drop-outs"
  | "out-of-range";

/** One kind of fault as it was seen so far. */
export interface SensorFault {
  readonly kind: SensorFaultKind;
  /** True while it lasts. */
  readonly isActive: boolean;
  /** How often it came. */
  readonly episodes: number;
  /** Readings that it touched. */
  readonly readings: number;
  /** How long it lasted in all, s. */
  readonly seconds: number;
  readonly firstAtSeconds: number;
  readonly lastAtSeconds: number;
  /** The most telling reading, °C. */
  readonly celsius: number | null;
  /** The type that would explain the curve; for `wrong-type` only. */
  readonly likelyType: ThermocoupleType | null;
  /** True when somebody should look; a lone spike is only counted. */
  readonly needsPerson: boolean;
}

/** One thing heard of a probe: a reading, or that there is none. */
export interface Heard {
  readonly atSeconds: number;
  /** Uncorrected, °C; null when the instrument spoke without giving one. */
  readonly celsius: number | null;
  readonly millivolts?: number | undefined;
  readonly coldJunctionCelsius?: number | undefined;
  readonly heaterDutyFraction?: number | undefined;
  /** What the instrument says of its probe in place of a temperature. */
  readonly sensorWord?: "open-circuit" | "above-range" | "below-range" | "no-value" | undefined;
}

/** A cold junction that jumps by this takes the reading with it, K. */
const COLD_STEP_KELVIN = 8;

/** What a watch over one probe holds; one value, replaced by each thing heard. */
export interface FaultWatch {
  /** One a kind, by their first beginning. */
  readonly faults: readonly SensorFault[];
  /** Each stretch of a fault, by its beginning. */
  readonly episodes: readonly Episode[];
  readonly missing: Missing;
  readonly excursions: Excursions;
  readonly standstill: Standstill;
  readonly junctions: Junctions;
}

/** A watch that has heard nothing. */
export const NEW_WATCH: FaultWatch = {
  faults: [],
  episodes: [],
  missing: NOTHING_MISSING,
  excursions: NO_EXCURSIONS,
  standstill: NO_STANDSTILL,
  junctions: NEW_JUNCTIONS,
};

/**
 * The watch after one more thing heard. Nothing is repaired: readings stay as they are, faults are counted.
 * @param heard in rising time; also readings without a value
 * @param type  of the thermocouple, null when nobody said
 */
export function nextFaultWatch(watch: FaultWatch, heard: Heard, type: ThermocoupleType | null): FaultWatch {
  const missing = nextMissing(watch.missing, heard);
  const junctions = nextJunctions(watch.junctions, heard, type);
  const standing = standstillAfter(watch, heard);
  const excursions = excursionsAfter(watch, heard, type, junctions.state, standing.signs.length > 0);
  const signs = [...missing.signs, ...junctions.signs, ...excursions.signs, ...standing.signs];
  const isReversed = junctions.state.reversedRun > 0;
  const episodes = signs.filter((sign) => isOwn(sign, signs, isReversed)).reduce(withSign, watch.episodes);
  return {
    faults: episodes.length === 0 ? watch.faults : faultsOf(episodes, heard.atSeconds),
    episodes,
    missing: missing.state,
    excursions: excursions.state,
    standstill: standing.state,
    junctions: junctions.state,
  };
}

/**
 * The faults of everything heard of a probe.
 * @param heard in rising time
 * @example sensorFaults([{ atSeconds: 0, celsius: 510 }, { atSeconds: 1, celsius: 510 }], "K") // []
 */
export function sensorFaults(heard: readonly Heard[], type: ThermocoupleType | null): readonly SensorFault[] {
  let watch = NEW_WATCH;
  for (const one of heard) watch = nextFaultWatch(watch, one, type);
  return watch.faults;
}

/** What reads the cold junction, or full scale, stands still for that reason. */
function standstillAfter(watch: FaultWatch, heard: Heard) {
  if (!hasValue(heard) || watch.excursions.away?.isTold) return { state: watch.standstill, signs: [] };
  return nextStandstill(watch.standstill, heard);
}

function excursionsAfter(
  watch: FaultWatch,
  heard: Heard,
  type: ThermocoupleType | null,
  { coldCelsius }: Junctions,
  isStandstill: boolean,
) {
  if (!hasValue(heard)) return { state: watch.excursions, signs: [] };
  const coldBefore = watch.junctions.coldCelsius;
  const isColdStep =
    coldBefore !== null && coldCelsius !== null && Math.abs(coldCelsius - coldBefore) > COLD_STEP_KELVIN;
  const before =
    isColdStep || isStandstill || watch.standstill.isTold ? withoutLast(watch.excursions) : watch.excursions;
  return nextExcursions(before, heard, { type, coldJunctionCelsius: coldCelsius });
}

function hasValue(heard: Heard): heard is Heard & { celsius: number } {
  return heard.celsius !== null;
}

/** What is an open circuit, or swapped leads, is not also out of range. */
function isOwn(sign: Sign, signs: readonly Sign[], isReversed: boolean): boolean {
  return sign.kind !== "out-of-range" || !(isReversed || signs.some(({ kind }) => kind === "open-circuit"));
}
