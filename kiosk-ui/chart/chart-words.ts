import type { StageSpan } from "#kiosk-ui/chart/stage-spans";
import {
  differenceInUnit,
  durationText,
  numberText,
  pressureText,
  type TemperatureUnit,
} from "#kiosk-ui/format";

/** From here on a pressure is called air: the thinnest that a lab in the mountains breathes (common practice). */
const AIR_HECTOPASCALS = 600;

/** True for air, false for a vacuum. */
export function isAir(hectopascals: number): boolean {
  return hectopascals >= AIR_HECTOPASCALS;
}

/** Words written into the chart. */
export const chartWords = {
  heatWorkStrip: "where the heat work is done",
  topCloseUp: "the top, close up",
  gap: "gap",
  pressure: (hectopascals: number) =>
    `${isAir(hectopascals) ? "air" : "vacuum"} ${pressureText(hectopascals)}`,
  vacuumNotMeasured: "vacuum planned, not measured",
  vacuumPlanned: "vacuum planned",
  /** Where a vacuum is planned and the pump has not begun. */
  vacuumToCome: (hectopascals: number) => `vacuum planned; now air, ${pressureText(hectopascals)}`,
  nowAir: (hectopascals: number) => `now air, ${pressureText(hectopascals)}`,
  noVacuum: "no vacuum seen",
  inAir: "in air",
  wholeBake: "Whole bake",
  lookAt: "Look at",
  nothingYet: "Nothing measured yet.",
  noPlan: "No plan.",
  onPlan: "on plan",
  above: (degrees: number) => `${degrees} above`,
  below: (degrees: number) => `${degrees} below`,
  now: (temperature: string, at: string) => `Chamber ${temperature} at ${at}`,
  ended: (temperature: string, at: string) => `Ended at ${temperature} at ${at}`,
  beside: (planned: string, difference: string) => `plan ${planned}, ${difference}`,
  planCalled: (name: string) => `Plan: ${name}.`,
  coming: (temperature: string, inTime: string) => `Coming peak ${temperature}, in ${inTime}.`,
  peak: (temperature: string) => `Peak ${temperature}.`,
  peakAt: (temperature: string, at: string) => `Peak ${temperature} at ${at}.`,
  heatWork: (percent: string) => `Heat work ${percent} % of the plan.`,
  gaps: (count: number, seconds: string) =>
    `${count === 1 ? "One gap" : `${count} gaps`}, ${seconds} s not measured.`,
  overlay: (temperature: string) => `Laid over it: a second bake with a peak of ${temperature}.`,
} as const;

/** A stage by name: "drying", "climb 2". */
export function stageName({ kind, index, isOneOfSeveral }: Omit<StageSpan, "fromSeconds" | "toSeconds">) {
  const name = { drying: "Drying", climb: "Climb", hold: "Hold", cooling: "Cooling" }[kind];
  return isOneOfSeveral ? `${name} ${index}` : name;
}

/** A difference from the plan, said in words: "12 below", "3 above", "on plan". */
export function differenceWords(kelvin: number, unit: TemperatureUnit): string {
  const degrees = Math.round(differenceInUnit(kelvin, unit));
  if (degrees === 0) return chartWords.onPlan;
  return degrees > 0 ? chartWords.above(degrees) : chartWords.below(-degrees);
}

/** A mark of the time axis: "12 min", or "11:30" where it is not a whole minute. */
export function timeMark(seconds: number): string {
  if (seconds % 60 === 0) return `${numberText(seconds / 60)} min`;
  return seconds < 0 ? `−${durationText(-seconds)}` : durationText(seconds);
}
