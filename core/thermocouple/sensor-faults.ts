import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";

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

/** What a watch over one probe holds; one value, replaced by each thing heard. */
export interface FaultWatch {
  readonly faults: readonly SensorFault[];
}

/** A watch that has heard nothing. */
export const NEW_WATCH: FaultWatch = { faults: [] };

/**
 * The watch after one more thing heard.
 * @param type of the thermocouple, null when nobody said
 */
export function nextFaultWatch(watch: FaultWatch, _heard: Heard, _type: ThermocoupleType | null): FaultWatch {
  return watch;
}
