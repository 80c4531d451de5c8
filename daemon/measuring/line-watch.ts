import type { Probe } from "#core/thermocouple/probe";
import { type FaultWatch, NEW_WATCH, nextFaultWatch } from "#core/thermocouple/sensor-faults";
import { heardAt, type MeasuredMoment } from "#daemon/measuring/measured-moment";

/** What is over for so long is no news of a line any more, s; a bake counts its own. */
const FORGOTTEN_SECONDS = 1800;

/** A watch over the probe of a line, bake or none, and the type that it watches for. */
export interface LineWatch {
  readonly type: Probe["type"];
  readonly watch: FaultWatch;
}

/** A line of which nothing has been heard. */
export const NEW_LINE_WATCH: LineWatch = { type: null, watch: NEW_WATCH };

/** The watch after one more moment on the stream's time; a new one when the type was changed. */
export function nextLineWatch(before: LineWatch, moment: MeasuredMoment, { type }: Probe): LineWatch {
  const watch = before.type === type ? before.watch : NEW_WATCH;
  const heard = heardAt(moment, moment.streamSeconds);
  if (!heard) return { type, watch };
  return { type, watch: withoutOldFaults(nextFaultWatch(watch, heard, type), heard.atSeconds) };
}

/** A line is heard for months: what is long over makes room, and does not add up to a warning. */
function withoutOldFaults(watch: FaultWatch, nowSeconds: number): FaultWatch {
  const isOld = watch.faults.every(
    ({ isActive, lastAtSeconds }) => !isActive && nowSeconds - lastAtSeconds > FORGOTTEN_SECONDS,
  );
  return isOld && watch.faults.length > 0 ? { ...watch, faults: [], episodes: [] } : watch;
}
