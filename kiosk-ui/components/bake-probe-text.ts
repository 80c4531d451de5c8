import { thermocoupleWords as words } from "#kiosk-ui/components/thermocouple-words";
import type { TemperatureUnit } from "#kiosk-ui/format";
import {
  checkDayText,
  daysBetween,
  probeKindText,
  signedDifference,
} from "#kiosk-ui/screens/upkeep/probe-text";
import type { Probe } from "#shared/probe";

/**
 * The probe that a bake ran with: type, class, and the correction with the day that its check was accepted.
 * @param probe null where it was not kept
 */
export function bakeProbeText(
  probe: Probe | null,
  startedAtEpochMilliseconds: number,
  unit: TemperatureUnit,
): string {
  if (!probe || (probe.type === null && probe.correction === null)) return words.probeUnknown;
  return `${probeKindText(probe)}, ${correctionText(probe.correction, startedAtEpochMilliseconds, unit)}`;
}

function correctionText(
  correction: Probe["correction"],
  startedAtEpochMilliseconds: number,
  unit: TemperatureUnit,
): string {
  if (!correction) return words.notCorrected;
  const { points, acceptedAtEpochMilliseconds: at } = correction;
  const days = Math.max(0, daysBetween(at, startedAtEpochMilliseconds));
  const day = checkDayText(at, startedAtEpochMilliseconds);
  const ago = days === 0 ? words.sameDay : words.daysBefore(days);
  const [only] = points;
  return points.length === 1 && only
    ? words.corrected(signedDifference(only.correctionKelvin, unit), day, ago)
    : words.correctedAt(points.length, day, ago);
}
