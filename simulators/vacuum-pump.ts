/** Pressure of the room, hPa: near the standard atmosphere of 1013.25 hPa (ISO 2533). */
export const ROOM_HECTOPASCALS = 1013.2;

/** A pump with its hose, its seal and its valve. */
export interface PumpCharacter {
  /** Time constant of pumping down, s. */
  readonly pumpDownSeconds: number;
  /** What the pump reaches on a chamber without a leak, hPa. */
  readonly baseHectopascals: number;
  /** Rise of an evacuated chamber that is left alone, hPa/s. */
  readonly leakHectopascalsPerSecond: number;
  /** Time constant of letting air in, s. */
  readonly releaseSeconds: number;
}

/** What acts on the chamber's air. */
export interface AirInputs {
  readonly isPumping: boolean;
  /** The muffle stands open by any amount, or the valve lets air in. */
  readonly isVented: boolean;
}

/**
 * Pressure after a short time, hPa. Pumping and letting in go exponentially; the leak is in proportion to
 * what is missing to the room's pressure.
 */
export function nextHectopascals(
  hectopascals: number,
  { isPumping, isVented }: AirInputs,
  pump: PumpCharacter,
  stepSeconds: number,
): number {
  const missingFraction = (ROOM_HECTOPASCALS - hectopascals) / ROOM_HECTOPASCALS;
  let perSecond = pump.leakHectopascalsPerSecond * missingFraction;
  if (isVented) perSecond += (ROOM_HECTOPASCALS - hectopascals) / pump.releaseSeconds;
  else if (isPumping) perSecond -= (hectopascals - pump.baseHectopascals) / pump.pumpDownSeconds;
  return hectopascals + perSecond * stepSeconds;
}

/** Where pumping against the leak ends, hPa. */
export function pumpedHectopascals(pump: PumpCharacter): number {
  const leakPerHectopascal = pump.leakHectopascalsPerSecond / ROOM_HECTOPASCALS;
  const pumpPerHectopascal = 1 / pump.pumpDownSeconds;
  return (
    (pump.leakHectopascalsPerSecond + pump.baseHectopascals * pumpPerHectopascal) /
    (leakPerHectopascal + pumpPerHectopascal)
  );
}
