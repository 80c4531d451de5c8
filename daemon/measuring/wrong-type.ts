import type { Plan } from "#core/plan/plan";
import type { Probe } from "#core/thermocouple/probe";
import { typeThatFits } from "#core/thermocouple/wrong-type";
import type { Trace } from "#core/trace/trace";
import { uncorrectedTrace } from "#daemon/measuring/uncorrected-trace";
import type { SensorFault } from "#shared/sensor-fault";

/**
 * The fault of a thermocouple of another type than the one that was set, as far as a whole bake and its plan
 * tell; null where nothing says so, or no type was set.
 * @param trace as recorded, with the probe's correction
 */
export function wrongTypeFault(plan: Plan, trace: Trace, probe: Probe | null): SensorFault | null {
  if (!probe || probe.type === null) return null;
  return typeThatFits(plan, uncorrectedTrace(trace, probe), probe.type);
}

/** The faults of a bake with, or without, that of another type. */
export function withWrongType(
  faults: readonly SensorFault[],
  wrongType: SensorFault | null,
): readonly SensorFault[] {
  const others = faults.filter(({ kind }) => kind !== "wrong-type");
  return wrongType ? [...others, wrongType] : others;
}
