import { celsiusFromFahrenheit, fahrenheitFromCelsius } from "#core/units";
import type { TemperatureUnit } from "#kiosk-ui/format";

const DEGREE_STEPS = [1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500];
const SECOND_STEPS = [10, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 86400];

/**
 * Where the temperature axis is ruled, in °C, at numbers that are round in the unit shown.
 * @param mostLines how many lines have room
 * @example temperatureSplits({ fromCelsius: 460, toCelsius: 760 }, 4, "celsius") // [500, 600, 700]
 */
export function temperatureSplits(
  range: { readonly fromCelsius: number; readonly toCelsius: number },
  mostLines: number,
  unit: TemperatureUnit,
): number[] {
  const from = shownDegrees(range.fromCelsius, unit);
  const to = shownDegrees(range.toCelsius, unit);
  return roundNumbers(from, to, mostLines, DEGREE_STEPS).map((degrees) =>
    unit === "celsius" ? degrees : celsiusFromFahrenheit(degrees),
  );
}

/**
 * Where the time axis is marked, s.
 * @example timeSplits({ fromSeconds: 0, toSeconds: 900 }, 4) // [0, 300, 600, 900]
 */
export function timeSplits(
  window: { readonly fromSeconds: number; readonly toSeconds: number },
  mostLines: number,
): number[] {
  return roundNumbers(window.fromSeconds, window.toSeconds, mostLines, SECOND_STEPS);
}

function shownDegrees(celsius: number, unit: TemperatureUnit): number {
  return unit === "celsius" ? celsius : fahrenheitFromCelsius(celsius);
}

function roundNumbers(from: number, to: number, most: number, steps: readonly number[]): number[] {
  const step = steps.find((candidate) => (to - from) / candidate <= Math.max(1, most)) ?? to - from;
  const numbers: number[] = [];
  for (let index = Math.ceil(from / step); index * step <= to; index++) numbers.push(index * step);
  return numbers;
}
