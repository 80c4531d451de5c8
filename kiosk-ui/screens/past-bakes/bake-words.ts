import {
  dayText,
  differenceWithUnit,
  numberText,
  percentText,
  type TemperatureUnit,
  timeOfDayText,
} from "#kiosk-ui/format";
import { pastBakesWords as words } from "#kiosk-ui/screens/past-bakes/past-bakes-words";
import type { BakeSummary } from "#shared/bake";

/** "Wed 25 Nov, 14:05" */
export function startText({ startedAtEpochMilliseconds }: BakeSummary): string {
  return `${dayText(startedAtEpochMilliseconds)}, ${timeOfDayText(startedAtEpochMilliseconds)}`;
}

/** The plan's name, or that there is none. */
export function planText({ planName }: BakeSummary): string {
  return planName ?? words.noPlan;
}

/** The job number, or that there is none. */
export function jobText({ jobNumber }: BakeSummary): string {
  return jobNumber === null ? words.noJob : words.jobNumber(jobNumber);
}

/** Heat work against the plan: "88 %", or a dash. */
export function ratioText(ratio: number | null): string {
  return ratio === null ? "–" : `${percentText(ratio)} %`;
}

/** The uniform shift that would have done the same, in words: "4 K colder"; empty where there is none. */
export function offsetText(kelvin: number | null, unit: TemperatureUnit): string {
  if (kelvin === null) return "";
  const amount = differenceWithUnit(kelvin, unit, 1);
  if (numberText(Math.abs(kelvin), 1) === "0.0") return words.asHot;
  return kelvin > 0 ? words.hotter(amount) : words.colder(amount);
}

/** The same as a sentence: "Like the plan, but 4.0 K colder." */
export function likePlanText(kelvin: number, unit: TemperatureUnit): string {
  const offset = offsetText(kelvin, unit);
  return offset === words.asHot ? words.likePlanItself : words.likePlan(offset);
}
