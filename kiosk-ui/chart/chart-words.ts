import { shownDegrees, type TemperatureUnit } from "#kiosk-ui/chart/axis-splits";
import type { StageSpan } from "#kiosk-ui/chart/stage-spans";

/** From here on a pressure is called air: the thinnest that a lab in the mountains breathes (common practice). */
const AIR_HECTOPASCALS = 600;

/** Words written into the chart. */
export const chartWords = {
  heatWorkStrip: "where the heat work is done",
  topCloseUp: "the top, close up",
  gap: "gap",
  pressure: (hectopascals: number) =>
    `${hectopascals < AIR_HECTOPASCALS ? "vacuum" : "air"} ${shownPressure(hectopascals)} hPa`,
  vacuumNotMeasured: "vacuum planned, not measured",
  vacuumPlanned: "vacuum planned",
  noVacuum: "no vacuum seen",
  wholeBake: "Whole bake",
  lookAt: "Look at",
  nothingYet: "Nothing measured yet.",
  noPlan: "No plan.",
} as const;

/** A stage by name: "drying", "climb 2". */
export function stageName({ kind, index, isOneOfSeveral }: Omit<StageSpan, "fromSeconds" | "toSeconds">) {
  const name = { drying: "Drying", climb: "Climb", hold: "Hold", cooling: "Cooling" }[kind];
  return isOneOfSeveral ? `${name} ${index}` : name;
}

/** Pressure with the digits that matter. */
export function shownPressure(hectopascals: number): string {
  return hectopascals.toFixed(hectopascals < 10 ? 1 : 0);
}

/** A temperature without its unit, for axes. */
export function shownTemperature(celsius: number, unit: TemperatureUnit): string {
  return String(Math.round(shownDegrees(celsius, unit)));
}

/** °C or °F. */
export function unitSign(unit: TemperatureUnit): string {
  return unit === "celsius" ? "°C" : "°F";
}

/** A difference in the unit shown, said in words: "12 below", "3 above", "on plan". */
export function shownDifference(kelvin: number, unit: TemperatureUnit): string {
  const degrees = Math.round(unit === "celsius" ? kelvin : (kelvin * 9) / 5);
  if (degrees === 0) return "on plan";
  return degrees > 0 ? `${degrees} above` : `${-degrees} below`;
}

/** A moment or length as minutes and seconds: "11:31". */
export function shownClock(seconds: number): string {
  const whole = Math.round(Math.abs(seconds));
  const sign = seconds < 0 && whole > 0 ? "−" : "";
  return `${sign}${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** A mark of the time axis: "12 min", or "11:30" where it is not a whole minute. */
export function shownMinutes(seconds: number): string {
  return seconds % 60 === 0 ? `${seconds / 60} min`.replace("-", "−") : shownClock(seconds);
}
