import { ROOM_CELSIUS } from "#simulators/furnace";

/** The adapter stands beside the furnace and warms by this share of its insulation's excess (invented). */
const SHARE_OF_INSULATION = 0.0065;

/** The adapter follows its surroundings with this time constant, s (invented). */
const ADAPTER_LAG_SECONDS = 600;

/** The room's air conditioning: how far it swings to each side, and how often (invented). */
const ROOM_SWING_KELVIN = 0.6;
const ROOM_SWING_SECONDS = 2400;

/**
 * Where the cold junction of an adapter tends to, °C: the room with its slow swing, and some of the furnace's
 * warmth. About 24 °C beside a furnace that stands by, 1 to 2 K more after a bake; all figures are invented.
 * @param swingPhase where in its swing the room was at zero, 0 to 1
 */
export function coldJunctionSurroundingsCelsius(
  atSeconds: number,
  insulationCelsius: number,
  swingPhase: number,
): number {
  const swing = Math.sin(2 * Math.PI * (atSeconds / ROOM_SWING_SECONDS + swingPhase));
  return ROOM_CELSIUS + ROOM_SWING_KELVIN * swing + SHARE_OF_INSULATION * (insulationCelsius - ROOM_CELSIUS);
}

/** The cold junction after a short time in its surroundings, °C. */
export function nextColdJunctionCelsius(
  coldJunctionCelsius: number,
  surroundingsCelsius: number,
  stepSeconds: number,
): number {
  return (
    coldJunctionCelsius +
    (surroundingsCelsius - coldJunctionCelsius) * (stepSeconds / Math.max(ADAPTER_LAG_SECONDS, stepSeconds))
  );
}
