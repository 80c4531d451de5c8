import type { MeasuredMoment } from "#daemon/measuring/measured-moment";
import type { SensorFault } from "#shared/sensor-fault";

/** How a furnace's probe is now. */
export interface ProbeHealth {
  /** What is wrong at the moment. */
  readonly faults: readonly SensorFault[];
  /** One line for the operator while nothing is measured for want of a setting: what, and how to mend. */
  readonly message: string | null;
}

/** Nothing is wrong, as far as is known. */
export const WELL: ProbeHealth = { faults: [], message: null };

/** The line for an operator when a moment has no temperature for want of a setting; null otherwise. */
export function settingMessage({ fault, said }: MeasuredMoment): string | null {
  if (fault === "type-unknown")
    return "The adapter gives millivolts: set the thermocouple's type in Upkeep, or no temperature comes of them.";
  if (fault === "cold-junction-unknown" && said.coldJunctionCelsius === undefined)
    return "The adapter gives millivolts without a cold junction: choose a format that reads it in Upkeep.";
  return null;
}
