import { faultName } from "#core/thermocouple/fault-words";
import { thermocoupleWords as words } from "#kiosk-ui/components/thermocouple-words";
import { type TemperatureUnit, temperatureWithUnit } from "#kiosk-ui/format";
import type { FurnaceStatus } from "#shared/furnace";
import type { SensorFault, SensorFaultKind } from "#shared/sensor-fault";

/**
 * Whether the number that a furnace shows is the chamber's: `missing` while there is none to show, `doubted`
 * while it is one that nobody should act on.
 */
export type ReadingTrust =
  | { readonly kind: "believed" }
  | { readonly kind: "doubted" | "missing"; readonly fault: SensorFaultKind };

const BELIEVED: ReadingTrust = { kind: "believed" };

/** The more a fault spoils the number, the earlier it stands; what is not here leaves the number as it is. */
const DOUBTED: readonly SensorFaultKind[] = [
  "short-circuit",
  "reversed-polarity",
  "frozen",
  "out-of-range",
  "intermittent",
  "cold-junction-unreasonable",
  "wrong-type",
];

/** The faults that last and need a person, the most telling first. */
export function pressingFaults(faults: readonly SensorFault[]): readonly SensorFault[] {
  const rank = ({ kind }: SensorFault) => {
    if (kind === "open-circuit") return -1;
    const place = DOUBTED.indexOf(kind);
    return place < 0 ? DOUBTED.length : place;
  };
  return faults
    .filter(({ isActive, needsPerson }) => isActive && needsPerson)
    .sort((one, other) => rank(one) - rank(other));
}

/**
 * The faults of a furnace and of the bake on it in one list: one a kind, as the bake counted it where it did.
 * @param ofBake    counted since it began; empty without a bake
 * @param ofFurnace what lasts now, bake or none
 */
export function allFaults(
  ofBake: readonly SensorFault[],
  ofFurnace: readonly SensorFault[],
): readonly SensorFault[] {
  const lasting = new Set(ofFurnace.map(({ kind }) => kind));
  const counted = new Set(ofBake.map(({ kind }) => kind));
  return [
    ...ofBake.map((fault) => (lasting.has(fault.kind) ? { ...fault, isActive: true } : fault)),
    ...ofFurnace.filter(({ kind }) => !counted.has(kind)),
  ];
}

/** How far the newest reading is to be believed. */
export function readingTrust(faults: readonly SensorFault[]): ReadingTrust {
  const [first] = pressingFaults(faults);
  if (!first) return BELIEVED;
  if (first.kind === "open-circuit") return { kind: "missing", fault: first.kind };
  return DOUBTED.includes(first.kind) ? { kind: "doubted", fault: first.kind } : BELIEVED;
}

/** The tag under a number that is not the chamber's; empty where it is. */
export function trustText(trust: ReadingTrust): string {
  return trust.kind === "believed" ? "" : words[trust.kind](faultName(trust.fault));
}

/** A furnace's temperature on a button: with a question mark while doubted; null while there is none. */
export function briefTemperature(
  { latest, sensorFaults }: Pick<FurnaceStatus, "latest" | "sensorFaults">,
  unit: TemperatureUnit,
): string | null {
  const { kind } = readingTrust(sensorFaults);
  if (kind === "missing") return words.missingShort;
  if (!latest) return null;
  const temperature = temperatureWithUnit(latest.sample.celsius, unit);
  return kind === "doubted" ? words.doubtedShort(temperature) : temperature;
}

/**
 * What was wrong earlier in a bake, and what is only counted, as one quiet line: "3 spikes, 12 readings missing
 * so far". Empty where there is nothing.
 */
export function countedFaultsText(faults: readonly SensorFault[]): string {
  const pressing = pressingFaults(faults);
  const counts = faults.filter((fault) => !pressing.includes(fault)).map(countText);
  return counts.length === 0 ? "" : capitalised(words.soFar(counts.join(", ")));
}

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function countText({ kind, readings, episodes }: SensorFault): string {
  switch (kind) {
    case "spikes":
      return words.spikes(readings);
    case "drop-outs":
      return words.dropOuts(readings);
    case "out-of-range":
      return words.outOfRange(readings);
    default:
      return words.times(faultName(kind), episodes);
  }
}
