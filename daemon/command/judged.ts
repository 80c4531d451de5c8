import type { Comparison } from "#core/compare/comparison";
import type { SensorFault } from "#core/thermocouple/sensor-faults";
import type { ProbeBudget } from "#core/thermocouple/uncertainty";
import type { TraceFile } from "#daemon/command/trace-file";
import type { Plan } from "#shared/plan";

/** A record that was judged, with all that its verdict says. */
export interface Judged {
  readonly plan: Plan;
  readonly file: TraceFile;
  readonly comparison: Comparison;
  readonly sensorFaults: readonly SensorFault[];
  /** Of a temperature at the plan's top; null where nothing was said of the probe. */
  readonly budget: ProbeBudget | null;
}
