import type { Finding } from "#core/compare/findings";
import { fahrenheitDifferenceFromKelvin, fahrenheitFromCelsius } from "#core/units";

/** The unit in which temperatures are read out. */
export type TemperatureUnit = "celsius" | "fahrenheit";

/**
 * A finding as one plain sentence with its numbers, and what it did to the heat work.
 * @param finding as the comparison returns it
 * @param unit    of temperatures; differences and rates follow it
 * @example findingSentence({ code: "climb-slow", index: 1, planned: 45, actual: 38.2, heatWorkEffectFraction: 0.11, needsPerson: true }, "celsius") // "Climb 1 ran at 38 K/min instead of 45: 11 % more heat work."
 */
export function findingSentence(finding: Finding, unit: TemperatureUnit): string {
  return `${findingClaim(finding, unit)}${effectWords(finding.heatWorkEffectFraction)}.`;
}

/**
 * The claim alone, without a full stop and without the heat work.
 * @example findingClaim({ code: "hold-short", index: 1, planned: 60, actual: 42, heatWorkEffectFraction: -0.2, needsPerson: true }, "celsius") // "Hold 1 lasted 42 s instead of 60 s"
 */
export function findingClaim(finding: Finding, unit: TemperatureUnit): string {
  const { index = 1, planned = 0, actual = 0 } = finding;
  switch (finding.code) {
    case "top-not-reached":
      return `Hold ${index} never reached ${degrees(planned, unit)}; the highest was ${degrees(actual, unit)}`;
    case "climb-slow":
    case "climb-fast":
      return `Climb ${index} ran at ${rate(actual, unit)} instead of ${rate(planned, unit, false)}`;
    case "climb-stalled":
      return `Climb ${index} stood still for ${seconds(actual)}`;
    case "hold-short":
    case "hold-long":
      return `Hold ${index} lasted ${seconds(actual)} instead of ${seconds(planned)}`;
    case "hold-low":
      return `Hold ${index} was ${difference(planned - actual, unit)} below ${degrees(planned, unit)} on average`;
    case "hold-high":
      return `Hold ${index} was ${difference(actual - planned, unit)} above ${degrees(planned, unit)} on average`;
    case "overshoot":
      return `Hold ${index} overshot ${degrees(planned, unit)} by ${difference(actual, unit)}`;
    case "undershoot":
      return `Hold ${index} sank ${difference(actual, unit)} below ${degrees(planned, unit)}`;
    case "drying-short":
    case "drying-long":
      return `Drying and closing took ${seconds(actual)} instead of ${seconds(planned)}`;
    case "vacuum-absent":
      return `No vacuum came; ${pressure(planned)} was planned`;
    case "vacuum-late":
      return `The vacuum began at ${degrees(actual, unit)} instead of ${degrees(planned, unit)}`;
    case "vacuum-weak":
      return `The vacuum only came down to ${pressure(actual)}; ${pressure(planned)} was planned`;
    case "vacuum-released-early":
      return `Air was let in early, at ${degrees(actual, unit)}`;
    case "vacuum-released-late":
      return finding.actual === undefined
        ? "Air was not let in while this was recorded"
        : `Air was let in late, at ${degrees(actual, unit)}`;
    case "cooling-fast":
    case "cooling-slow":
      return `Cooling ran at ${rate(actual, unit)} instead of ${rate(planned, unit, false)}`;
    case "vacuum-leaked":
      return `The vacuum rose from ${pressure(planned)} to ${pressure(actual)} before air was let in`;
    case "vacuum-not-measured":
      return "Pressure was not measured, so nothing is known of the vacuum";
    case "wild-readings":
      return `${actual === 1 ? "One reading" : `${actual} readings`} jumped away and back; look at the thermocouple`;
    case "start-missed":
      return "The record begins in the climb";
    case "several-bakes":
      return `The record holds ${actual} bakes; one of them is judged here`;
    case "heat-work-low":
    case "heat-work-high":
      return "Small differences add up";
    case "gap":
      return `Nothing was measured for ${seconds(actual)}`;
    case "not-finished":
      return "The record ends before the cooling";
    case "as-planned":
      return "The bake went as planned";
  }
}

function effectWords(fraction: number): string {
  const percent = Math.round(Math.abs(fraction) * 100);
  if (percent === 0) return "";
  return `: ${percent} % ${fraction > 0 ? "more" : "less"} heat work`;
}

function degrees(celsius: number, unit: TemperatureUnit): string {
  return unit === "celsius"
    ? `${Math.round(celsius)} °C`
    : `${Math.round(fahrenheitFromCelsius(celsius))} °F`;
}

function difference(kelvin: number, unit: TemperatureUnit): string {
  return unit === "celsius"
    ? `${rounded(kelvin)} K`
    : `${rounded(fahrenheitDifferenceFromKelvin(kelvin))} °F`;
}

function rate(kelvinPerMinute: number, unit: TemperatureUnit, withUnit = true): string {
  const value = rounded(
    unit === "celsius" ? kelvinPerMinute : fahrenheitDifferenceFromKelvin(kelvinPerMinute),
  );
  if (!withUnit) return value;
  return `${value} ${unit === "celsius" ? "K" : "°F"}/min`;
}

function rounded(value: number): string {
  return Math.abs(value) >= 9.95 ? String(Math.round(value)) : String(Math.round(value * 10) / 10);
}

function pressure(hectopascals: number): string {
  return `${Math.round(hectopascals)} hPa`;
}

function seconds(length: number): string {
  const whole = Math.round(length);
  if (whole < 100) return `${whole} s`;
  return `${Math.floor(whole / 60)} min ${String(whole % 60).padStart(2, "0")} s`;
}
