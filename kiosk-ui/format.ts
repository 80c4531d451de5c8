import { fahrenheitDifferenceFromKelvin, fahrenheitFromCelsius } from "#core/units";
import type { KioskSettings } from "#shared/status";

/** The scale on which a page shows temperatures. */
export type TemperatureUnit = KioskSettings["temperatureUnit"];

/** A true minus sign, as wide as the plus. */
const MINUS = "\u2212";
/** Keeps a number and its unit on one line. */
const THIN_JOIN = "\u00a0";

/**
 * A number with a fixed count of decimals and a true minus sign; never "−0".
 * @example numberText(-3.25, 1) // "−3.3"
 */
export function numberText(value: number, decimals = 0): string {
  const scale = 10 ** decimals;
  const rounded = Math.round(Math.abs(value) * scale) / scale;
  return `${value < 0 && rounded > 0 ? MINUS : ""}${rounded.toFixed(decimals)}`;
}

/**
 * A signed number: "+4", "−12", and "0" without a sign.
 * @example signedText(4.2) // "+4"
 */
export function signedText(value: number, decimals = 0): string {
  const text = numberText(value, decimals);
  return value > 0 && Number(text) > 0 ? `+${text}` : text;
}

/**
 * A temperature in the page's unit, without the unit.
 * @example temperatureText(760, "fahrenheit") // "1400"
 */
export function temperatureText(celsius: number, unit: TemperatureUnit, decimals = 0): string {
  return numberText(unit === "fahrenheit" ? fahrenheitFromCelsius(celsius) : celsius, decimals);
}

/** The unit's sign: °C or °F. */
export function unitSign(unit: TemperatureUnit): string {
  return unit === "fahrenheit" ? "°F" : "°C";
}

/**
 * A temperature with its unit.
 * @example temperatureWithUnit(760, "celsius") // "760 °C"
 */
export function temperatureWithUnit(celsius: number, unit: TemperatureUnit, decimals = 0): string {
  return `${temperatureText(celsius, unit, decimals)}${THIN_JOIN}${unitSign(unit)}`;
}

/** A difference of temperatures in the page's unit: kelvins, or Fahrenheit degrees. */
export function differenceInUnit(kelvin: number, unit: TemperatureUnit): number {
  return unit === "fahrenheit" ? fahrenheitDifferenceFromKelvin(kelvin) : kelvin;
}

/**
 * A difference with its unit, without a sign.
 * @example differenceWithUnit(-10, "celsius") // "10 K"
 */
export function differenceWithUnit(kelvin: number, unit: TemperatureUnit, decimals = 0): string {
  return `${numberText(Math.abs(differenceInUnit(kelvin, unit)), decimals)}${THIN_JOIN}${differenceSign(unit)}`;
}

/** The unit of a difference: K or °F. */
export function differenceSign(unit: TemperatureUnit): string {
  return unit === "fahrenheit" ? "°F" : "K";
}

/**
 * A climb or cooling rate.
 * @example rateText(45, "celsius") // "45 K/min"
 */
export function rateText(kelvinPerMinute: number, unit: TemperatureUnit): string {
  return `${numberText(differenceInUnit(kelvinPerMinute, unit))}${THIN_JOIN}${differenceSign(unit)}/min`;
}

/**
 * A length of time: minutes and seconds, with hours when there are any.
 * @example durationText(190) // "3:10"
 */
export function durationText(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor((whole % 3600) / 60);
  const rest = String(whole % 60).padStart(2, "0");
  return hours > 0 ? `${hours}:${String(minutes).padStart(2, "0")}:${rest}` : `${minutes}:${rest}`;
}

/**
 * How long ago: seconds to a minute and a half, then minutes, then hours.
 * @example ageText(8.4) // "8 s"
 */
export function ageText(seconds: number): string {
  if (seconds < 90) return `${Math.max(0, Math.floor(seconds))}${THIN_JOIN}s`;
  if (seconds < 5400) return `${Math.round(seconds / 60)}${THIN_JOIN}min`;
  return `${Math.round(seconds / 3600)}${THIN_JOIN}h`;
}

/**
 * A share of a whole as a percentage, without the sign.
 * @example percentText(0.876) // "88"
 */
export function percentText(fraction: number): string {
  return numberText(fraction * 100);
}

/**
 * An absolute pressure: one decimal below 10 hPa.
 * @example pressureText(42.3) // "42 hPa"
 */
export function pressureText(hectopascals: number): string {
  return `${numberText(hectopascals, hectopascals < 10 ? 1 : 0)}${THIN_JOIN}hPa`;
}

/**
 * Keeps every number and its unit on one line.
 * @example keptTogether("28 % less") // "28\u00a0% less"
 */
export function keptTogether(sentence: string): string {
  return sentence.replace(/(\d) (?=%|°[CF]|K\b|s\b|min\b|hPa\b)/g, `$1${THIN_JOIN}`);
}

const COUNT_FORMAT = new Intl.NumberFormat("en-GB");

/**
 * A count, grouped by thousands.
 * @example countText(48213) // "48,213"
 */
export function countText(count: number): string {
  return COUNT_FORMAT.format(count);
}

/** The time of the day by this machine's time zone, 24 hours: "14:05". */
export function timeOfDayText(epochMilliseconds: number): string {
  const date = new Date(epochMilliseconds);
  return `${String(date.getHours()).padStart(2, "0")}:${String(date.getMinutes()).padStart(2, "0")}`;
}

const DAY_FORMAT = new Intl.DateTimeFormat("en-GB", { weekday: "short", day: "numeric", month: "short" });

/** The day by this machine's time zone: "Mon 5 Jan". */
export function dayText(epochMilliseconds: number): string {
  return DAY_FORMAT.format(new Date(epochMilliseconds)).replace(",", "");
}
