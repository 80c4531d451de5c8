import { hotJunctionCelsius, isCompensable } from "#core/thermocouple/cold-junction";
import {
  numberText,
  percentText,
  pressureText,
  type TemperatureUnit,
  temperatureWithUnit,
} from "#kiosk-ui/format";
import { connectWords as words } from "#kiosk-ui/screens/upkeep/connect/connect-words";
import type { FurnaceStatus } from "#shared/furnace";
import type { Proposal } from "#shared/listening";
import type { ThermocoupleType } from "#shared/probe";

/** What one line said. */
export type Channels = Proposal["preview"];

/**
 * A line as a person reads it.
 * @example channelsText({ celsius: 512.4, coldJunctionCelsius: 24.1 }, "celsius") // "512.4 °C, cold junction 24.1 °C"
 */
export function channelsText(channels: Channels, unit: TemperatureUnit): string {
  const { coldJunctionCelsius, hectopascals, heaterDutyFraction } = channels;
  return [
    signalText(channels, unit),
    coldJunctionCelsius !== undefined &&
      words.channels.coldJunction(temperatureWithUnit(coldJunctionCelsius, unit, 1)),
    hectopascals !== undefined && pressureText(hectopascals),
    heaterDutyFraction !== undefined && words.channels.power(percentText(heaterDutyFraction)),
  ]
    .filter(Boolean)
    .join(", ");
}

/** What it said of the probe alone: `512.4 °C`, `4.1234 mV`, or the word that its instrument has for a fault. */
export function signalText({ celsius, millivolts, sensorWord }: Channels, unit: TemperatureUnit): string {
  if (celsius !== undefined) return temperatureWithUnit(celsius, unit, 1);
  if (millivolts !== undefined) return words.channels.millivolts(numberText(millivolts, 4));
  return sensorWord === undefined ? "" : words.channels.says(sensorWord.replaceAll("-", " "));
}

/** Whether these are millivolts that only a thermocouple's type makes a temperature of. */
export function isMillivolts(channels: Channels): boolean {
  return channels.celsius === undefined && channels.millivolts !== undefined;
}

/** What a furnace said last, as its line said it: millivolts where its temperature was made of them. */
export function latestChannels({ furnace, link, latest }: FurnaceStatus): Channels {
  if (!latest) return {};
  const { celsius, ...others } = latest.sample;
  return saysTemperature(link.format ?? furnace.format) || others.millivolts === undefined
    ? { celsius, ...others }
    : others;
}

/** Whether a format has a temperature of the chamber beside that of the cold junction. */
function saysTemperature(format: string): boolean {
  return /(?<!cold-)\b(?:celsius|fahrenheit|kelvin)\b/.test(format);
}

/** What the millivolts of a line are with a thermocouple of this type, °C; null when they are no temperature. */
export function celsiusWithType(
  type: ThermocoupleType,
  { millivolts, coldJunctionCelsius }: Channels,
): number | null {
  if (millivolts === undefined || coldJunctionCelsius === undefined) return null;
  if (!isCompensable(type, coldJunctionCelsius)) return null;
  const hot = hotJunctionCelsius(type, millivolts, coldJunctionCelsius);
  return hot.ok ? hot.celsius : null;
}
