import { hotJunctionCelsius, measuredMillivolts } from "#core/thermocouple/cold-junction";
import { referenceRangeCelsius } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#shared/probe";
import type { SensorWord } from "#shared/sensor-fault";
import type { BenchReading } from "#simulators/bench-furnace";
import { rounded } from "#simulators/probe";

/** Step of the cold junction that an adapter says, K. */
export const COLD_JUNCTION_STEP_KELVIN = 0.1;

/** Step of the EMF that an adapter says, mV. */
export const EMF_STEP_MILLIVOLTS = 0.0001;

/** What an instrument has to say of its thermocouple at a moment. */
export interface SensorReading {
  /** °C; null when it has no temperature to say. */
  readonly celsius: number | null;
  /** What it says instead; null when it has one. */
  readonly sensorWord: SensorWord | null;
  /** As measured, cold junction as it was, mV; null when it measured none. */
  readonly millivolts: number | null;
  /** What it takes its own cold junction for, °C. */
  readonly coldJunctionCelsius: number;
}

/** All that an instrument has to say at a moment, on whatever line. */
export interface InstrumentReading extends SensorReading {
  readonly elapsedSeconds: number;
  readonly hectopascals: number;
  readonly heaterDutyFraction: number;
}

/** Says a reading of its thermocouple for what the bench really has. */
export function instrumentReading(bench: BenchReading, sensor: SensorReading): InstrumentReading {
  const { elapsedSeconds, hectopascals, heaterDutyFraction } = bench;
  return { ...sensor, elapsedSeconds, hectopascals, heaterDutyFraction };
}

/** A healthy thermocouple of a type on its adapter. Where the type cannot go, the adapter says so. */
export function healthySensor(bench: BenchReading, type: ThermocoupleType): SensorReading {
  const millivolts = emfBetween(type, bench.sensedCelsius, bench.coldJunctionCelsius);
  if (millivolts === null) return wordReading("above-range", bench.coldJunctionCelsius);
  return {
    celsius: bench.celsius,
    sensorWord: null,
    millivolts: rounded(millivolts, EMF_STEP_MILLIVOLTS),
    coldJunctionCelsius: rounded(bench.coldJunctionCelsius, COLD_JUNCTION_STEP_KELVIN),
  };
}

/**
 * What an adapter makes of an EMF, with what it takes its cold junction for.
 * @param type             for which it is set
 * @param resolutionKelvin of the temperature that it says
 */
export function readAs(
  type: ThermocoupleType,
  millivolts: number,
  coldJunctionCelsius: number,
  resolutionKelvin: number,
): SensorReading {
  const read = hotJunctionCelsius(type, millivolts, coldJunctionCelsius);
  return {
    celsius: read.ok ? rounded(read.celsius, resolutionKelvin) : null,
    sensorWord: read.ok ? null : read.fault,
    millivolts: rounded(millivolts, EMF_STEP_MILLIVOLTS),
    coldJunctionCelsius: rounded(coldJunctionCelsius, COLD_JUNCTION_STEP_KELVIN),
  };
}

/** A word in place of the temperature and of the EMF. */
export function wordReading(sensorWord: SensorWord, coldJunctionCelsius: number): SensorReading {
  return {
    celsius: null,
    sensorWord,
    millivolts: null,
    coldJunctionCelsius: rounded(coldJunctionCelsius, COLD_JUNCTION_STEP_KELVIN),
  };
}

/** What a thermocouple gives between two junctions, mV; null where its type is not defined. */
export function emfBetween(
  type: ThermocoupleType,
  hotJunctionCelsius: number,
  coldJunctionCelsius: number,
): number | null {
  const { from, to } = referenceRangeCelsius(type);
  const isDefined = (celsius: number) => celsius >= from && celsius <= to;
  if (!isDefined(hotJunctionCelsius) || !isDefined(coldJunctionCelsius)) return null;
  return measuredMillivolts(type, hotJunctionCelsius, coldJunctionCelsius);
}
