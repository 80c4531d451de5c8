/** The metals that a wire is melted of. */
export type WireMetal = "silver" | "gold" | "aluminium";

/** A freezing point of the International Temperature Scale. */
export interface FixedPoint {
  readonly symbol: "Ag" | "Au" | "Al";
  readonly celsius: number;
}

/**
 * Freezing points at 101 325 Pa, °C: ITS-90, Table 1 (Preston-Thomas, Metrologia 27 (1990) 3–10). The
 * pressure's effect, some mK for an atmosphere, is nothing to a furnace: a vacuum changes none of them.
 */
export const FIXED_POINTS: Readonly<Record<WireMetal, FixedPoint>> = {
  silver: { symbol: "Ag", celsius: 961.78 },
  gold: { symbol: "Au", celsius: 1064.18 },
  aluminium: { symbol: "Al", celsius: 660.323 },
};

/**
 * How much lower silver melts that has taken up oxygen from air, K: about 10 (from memory; it melts near
 * 950 °C in air). It is not known for one wire, so that silver in air cannot give a correction.
 */
export const SILVER_IN_AIR_KELVIN = 11;
