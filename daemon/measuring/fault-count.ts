import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { type FaultWatch, type Heard, NEW_WATCH, nextFaultWatch } from "#core/thermocouple/sensor-faults";
import type { SensorFault } from "#shared/sensor-fault";

/** The faults of a bake: those of a watch, and those counted before the program was interrupted. */
export interface FaultCount {
  readonly before: readonly SensorFault[];
  readonly watch: FaultWatch;
}

/**
 * A count that goes on from what was kept.
 * @param kept as `countedFaults` gave them; what lasted then is over, or is found anew
 */
export function faultCountAfter(kept: readonly SensorFault[]): FaultCount {
  return { before: ended(kept), watch: NEW_WATCH };
}

/** The count after one more thing heard; the same object when nothing changed. */
export function nextFaultCount(count: FaultCount, heard: Heard, type: ThermocoupleType | null): FaultCount {
  const watch = nextFaultWatch(count.watch, heard, type);
  return watch === count.watch ? count : { ...count, watch };
}

/** All faults of the bake so far, one of each kind. */
export function countedFaults({ before, watch }: FaultCount): readonly SensorFault[] {
  if (before.length === 0) return watch.faults;
  const isNew = (fault: SensorFault) => !before.some(({ kind }) => kind === fault.kind);
  const together = before.map((fault) => {
    const since = watch.faults.find(({ kind }) => kind === fault.kind);
    return since ? sum(fault, since) : fault;
  });
  return [...together, ...watch.faults.filter(isNew)];
}

/** Faults of a bake that is over: nothing of it lasts any more. */
export function ended(faults: readonly SensorFault[]): readonly SensorFault[] {
  return faults.map((fault) => (fault.isActive ? { ...fault, isActive: false } : fault));
}

function sum(before: SensorFault, since: SensorFault): SensorFault {
  return {
    ...since,
    episodes: before.episodes + since.episodes,
    readings: before.readings + since.readings,
    seconds: before.seconds + since.seconds,
    firstAtSeconds: before.firstAtSeconds,
    celsius: since.celsius ?? before.celsius,
    likelyType: since.likelyType ?? before.likelyType,
    needsPerson: before.needsPerson || since.needsPerson,
  };
}
