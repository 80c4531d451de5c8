import type { TemperatureUnit } from "#core/compare/finding-words";
import type { SensorFault, SensorFaultKind } from "#core/thermocouple/sensor-faults";
import { fahrenheitFromCelsius } from "#core/units";

/**
 * A sensor fault as one plain sentence with its numbers.
 * @param unit of temperatures
 * @example faultSentence({ kind: "open-circuit", isActive: false, episodes: 2, readings: 90, seconds: 90, firstAtSeconds: 10, lastAtSeconds: 200, celsius: null, likelyType: null, needsPerson: true }, "celsius") // "The thermocouple was open 2 times, 90 s in all."
 */
export function faultSentence(fault: SensorFault, unit: TemperatureUnit): string {
  return `${claim(fault, unit)}.`;
}

/**
 * What to look at first.
 * @example firstLook("frozen") // "Look first at the instrument: it repeats itself. Switch it off and on, then compare its display with what is shown here."
 */
export function firstLook(kind: SensorFaultKind): string {
  return looks[kind];
}

/**
 * The name of a fault, short enough for a tile.
 * @example faultName("short-circuit") // "thermocouple shorted"
 */
export function faultName(kind: SensorFaultKind): string {
  return names[kind];
}

function claim(fault: SensorFault, unit: TemperatureUnit): string {
  const { celsius, episodes, readings, isActive } = fault;
  const is = isActive ? "is" : "was";
  const at = celsius === null ? "" : ` (${degrees(celsius, unit)})`;
  switch (fault.kind) {
    case "open-circuit":
      if (!isActive) return `The thermocouple was open ${times(episodes)}, ${length(fault.seconds)} in all`;
      return episodes === 1
        ? `The thermocouple is open, for ${length(fault.seconds)} so far`
        : `The thermocouple is open again, ${times(episodes)} and ${length(fault.seconds)} in all so far`;
    case "short-circuit":
      return `The thermocouple ${is} shorted: it reads the cold junction instead of the chamber${at}`;
    case "reversed-polarity":
      return `The reading falls as the furnace heats${at}: the thermocouple's leads are swapped`;
    case "wrong-type":
      return fault.likelyType === null
        ? "The curve is bent as if the adapter was set to another thermocouple type"
        : `The curve is bent: it fits the plan if the thermocouple is a type ${fault.likelyType} (top read ${degrees(celsius ?? 0, unit)})`;
    case "cold-junction-stuck":
      return `The cold junction has not moved by a digit${at} for ${length(fault.seconds)}`;
    case "cold-junction-unreasonable":
      return `The cold junction says ${celsius === null ? "what no room can be" : degrees(celsius, unit)}`;
    case "frozen":
      return `The reading ${is} frozen${at}, ${length(fault.seconds)} ${episodes > 1 ? `in ${episodes} stretches` : ""}`.trim();
    case "spikes":
      return `${readings === 1 ? "One reading" : `${readings} readings`} jumped away and back${at}`;
    case "intermittent":
      return `The reading ${isActive ? "comes and goes" : "came and went"} by jumps for ${length(fault.seconds)}${at}: a contact is loose, or the thermocouple is breaking`;
    case "drop-outs":
      return `${readings === 1 ? "One reading is" : `${readings} readings are`} missing, in ${episodes === 1 ? "one stretch" : `${episodes} stretches`}`;
    case "out-of-range":
      return `${readings === 1 ? "One reading was" : `${readings} readings were`} outside of what this thermocouple can give${at}`;
  }
}

const names: Readonly<Record<SensorFaultKind, string>> = {
  "open-circuit": "thermocouple open",
  "short-circuit": "thermocouple shorted",
  "reversed-polarity": "leads swapped",
  "wrong-type": "wrong thermocouple type",
  "cold-junction-stuck": "cold junction stands still",
  "cold-junction-unreasonable": "cold junction cannot be right",
  frozen: "reading frozen",
  spikes: "lone spikes",
  intermittent: "contact comes and goes",
  "drop-outs": "readings missing",
  "out-of-range": "out of range",
};

/** Common practice, no source. */
const looks: Readonly<Record<SensorFaultKind, string>> = {
  "open-circuit":
    "Look first at the terminals and the plug, cold and switched off; then have the thermocouple's resistance measured.",
  "short-circuit":
    "Look first where the two wires run close together: at the terminals, at a bend, at the lead-through. Cold and switched off.",
  "reversed-polarity":
    "Look first at the terminals: plus and minus are swapped there or in the extension lead. Colours differ by standard; check with the lead's own marking.",
  "wrong-type":
    "Look first at the type set in the adapter and in Upkeep, and at the marking of the thermocouple and its extension lead.",
  "cold-junction-stuck":
    "Look first at the adapter: its cold-junction sensor is dead, or compensation is switched to a fixed value.",
  "cold-junction-unreasonable":
    "Look first at where the adapter lies: too near the furnace, or its cold-junction sensor has failed.",
  frozen:
    "Look first at the instrument: it repeats itself. Switch it off and on, then compare its display with what is shown here.",
  spikes: "Look first at the screen of the thermocouple lead and at what switches nearby.",
  intermittent:
    "Look first at the terminals and plugs: tighten them cold and switched off. If it goes on when hot, the thermocouple is breaking.",
  "drop-outs": "Look first at the data cable and its plugs, and at what else uses that port.",
  "out-of-range":
    "Look first at the type set in the adapter and in Upkeep, then whether plus and minus are swapped at the terminals.",
};

function times(count: number): string {
  return count === 1 ? "once" : `${count} times`;
}

function degrees(celsius: number, unit: TemperatureUnit): string {
  return unit === "celsius"
    ? `${Math.round(celsius)} °C`
    : `${Math.round(fahrenheitFromCelsius(celsius))} °F`;
}

function length(seconds: number): string {
  const whole = Math.round(seconds);
  if (whole < 100) return `${whole} s`;
  return `${Math.floor(whole / 60)} min ${String(whole % 60).padStart(2, "0")} s`;
}
