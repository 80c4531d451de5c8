import type { CorrectionPoint } from "#core/thermocouple/correction";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import type { ToleranceClass } from "#core/thermocouple/tolerance";

/** What a check made of the probe, from the day that somebody accepted it. */
export interface ProbeCorrection {
  readonly checkId: number;
  readonly acceptedAtEpochMilliseconds: number;
  readonly acceptedBy: string | null;
  /** By rising reading. */
  readonly points: readonly CorrectionPoint[];
  /** Of the corrected reading, K. */
  readonly expandedUncertaintyKelvin: number;
  readonly coverageFactor: number;
}

/** What is known of a furnace's thermocouple and its adapter; null where nobody said. */
export interface Probe {
  readonly type: ThermocoupleType | null;
  readonly toleranceClass: ToleranceClass | null;
  /** Of the adapter's temperature, ± K. */
  readonly instrumentAccuracyKelvin: number | null;
  /** The last digit that it shows, K. */
  readonly instrumentResolutionKelvin: number | null;
  /** Of its cold junction, ± K. */
  readonly coldJunctionAccuracyKelvin: number | null;
  /** How far the ware's place may differ from the probe's, ± K. */
  readonly positionKelvin: number | null;
  readonly correction: ProbeCorrection | null;
}
