import type { SensorWord } from "#shared/sensor-fault";

/**
 * What one line of an instrument said, in canonical units. A line may carry the chamber temperature or
 * only some other channel; what it does not say is absent.
 */
export interface Channels {
  /** The instrument's own elapsed time, s, where its lines carry one. */
  readonly instrumentSeconds?: number | undefined;
  readonly celsius?: number | undefined;
  /** What the thermocouple gave; °C come of it with its type and the cold junction. */
  readonly millivolts?: number | undefined;
  readonly hectopascals?: number | undefined;
  readonly coldJunctionCelsius?: number | undefined;
  readonly heaterDutyFraction?: number | undefined;
  /** What the instrument says of its probe in place of a temperature. */
  readonly sensorWord?: SensorWord | undefined;
}

/** A line that was understood, with the moment at which it came. */
export interface Reading extends Channels {
  readonly furnaceId: string;
  /** The daemon's monotonic clock, s. */
  readonly receivedAtSeconds: number;
  /** The wall clock, for labels only. */
  readonly receivedAtEpochMilliseconds: number;
}
