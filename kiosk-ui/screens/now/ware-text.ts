import { type TemperatureUnit, temperatureText } from "#kiosk-ui/format";
import type { WareEstimate } from "#shared/outlook";

/** The ware's temperature in words that leave no doubt that it is an estimate. */
export interface WareText {
  readonly about: string;
  readonly between: string;
}

/**
 * The estimated ware as it stands under the chamber's number: "about", with its doubt where that shows.
 * @param ware °C; which of its ends is the higher changes when the chamber cools, and both may then lie on one
 *             side of the estimate: what is told holds it in any case
 * @example wareText({ celsius: 741.2, slowCelsius: 728, fastCelsius: 749, heatWorkRatio: null }, "celsius").about // "ware about 741"
 */
export function wareText(
  { celsius, slowCelsius, fastCelsius }: WareEstimate,
  unit: TemperatureUnit,
): WareText {
  const all = [celsius, slowCelsius, fastCelsius];
  const [low, high] = [Math.min(...all), Math.max(...all)].map((end) => temperatureText(end, unit));
  return {
    about: `ware about ${temperatureText(celsius, unit)}`,
    between: low === high ? "" : `${low} to ${high}`,
  };
}
