import { hotJunctionCelsius, isCompensable } from "#core/thermocouple/cold-junction";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import type { Channels } from "#daemon/link/reading";
import type { SensorWord } from "#shared/sensor-fault";

/** The types that are met in small furnaces, the noble ones first. */
const FURNACE_TYPES: readonly ThermocoupleType[] = ["S", "R", "B", "K", "N"];
/** A furnace's chamber can be at these, °C. */
const CHAMBER = { least: 0, most: 1400 };

const sensorWords: Readonly<Record<SensorWord, string>> = {
  "open-circuit": "no temperature: the instrument says that the thermocouple's circuit is open",
  "above-range": "no temperature: the instrument says that it is above its range",
  "below-range": "no temperature: the instrument says that it is below its range",
  "no-value": "no temperature: the instrument says that it has none",
};

/**
 * What a line says, as people read it; an EMF with the temperatures that the usual types would make of it.
 * @example channelsText({ celsius: 512.4, coldJunctionCelsius: 24.1 }) // "512.4 °C, cold junction 24.1 °C"
 */
export function channelsText(channels: Channels): string {
  const { celsius, millivolts, hectopascals, coldJunctionCelsius, heaterDutyFraction } = channels;
  const values = [
    channels.sensorWord && sensorWords[channels.sensorWord],
    celsius !== undefined && `${celsius.toFixed(1)} °C`,
    millivolts !== undefined && `${millivolts.toFixed(4)} mV`,
    coldJunctionCelsius !== undefined && `cold junction ${coldJunctionCelsius.toFixed(1)} °C`,
    hectopascals !== undefined && `${Number(hectopascals.toPrecision(4))} hPa`,
    heaterDutyFraction !== undefined && `heater at ${Math.round(heaterDutyFraction * 100)} %`,
    channels.instrumentSeconds !== undefined && `at ${Number(channels.instrumentSeconds.toFixed(1))} s`,
  ];
  const text = values.filter(Boolean).join(", ");
  const types = celsius === undefined ? typesText(channels) : "";
  return types === "" ? text : `${text}: ${types}`;
}

/** What an EMF would be with each of the usual types; those in which no chamber can be are left out. */
function typesText({ millivolts, coldJunctionCelsius }: Channels): string {
  if (millivolts === undefined) return "";
  if (coldJunctionCelsius === undefined) return "no temperature without its cold junction";
  const texts = FURNACE_TYPES.flatMap((type) => {
    if (!isCompensable(type, coldJunctionCelsius)) return [];
    const hot = hotJunctionCelsius(type, millivolts, coldJunctionCelsius);
    const isChamber = hot.ok && hot.celsius >= CHAMBER.least && hot.celsius <= CHAMBER.most;
    return isChamber ? [`${hot.celsius.toFixed(1)} °C as type ${type}`] : [];
  });
  return texts.length === 0 ? "no usual type of thermocouple gives this in a furnace" : texts.join(", ");
}
