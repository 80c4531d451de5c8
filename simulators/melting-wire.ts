/** Metals of which a wire may hang beside the probe. */
export const WIRE_METALS = ["silver", "gold", "aluminium"] as const;
export type WireMetal = (typeof WIRE_METALS)[number];

/**
 * Where each melts, °C: the defining fixed points of the ITS-90, table 1 (Preston-Thomas, Metrologia 27
 * (1990) 3), for pure metal at 101 325 Pa.
 */
export const FIXED_POINT_CELSIUS: Readonly<Record<WireMetal, number>> = {
  silver: 961.78,
  gold: 1064.18,
  aluminium: 660.323,
};

/** Heat of fusion, J/g: rounded values from memory, not from a source. */
const FUSION_JOULES_PER_GRAM: Readonly<Record<WireMetal, number>> = {
  silver: 105,
  gold: 64,
  aluminium: 397,
};

/** What hangs, g (invented): each takes up about 2 J. */
const GRAMS: Readonly<Record<WireMetal, number>> = { silver: 0.02, gold: 0.03, aluminium: 0.005 };

/** Heat that the chamber gives to the wire and the tip of the probe for a kelvin of difference, W/K (invented). */
const WATTS_PER_KELVIN = 0.025;

/** Share of the chamber's lead that the tip of the probe still feels through its own sheath (invented). */
const FELT_FRACTION = 0.03;

/** A wire that touches the probe. */
export interface MeltingWire {
  readonly metal: WireMetal;
  /** Heat of fusion that it has taken up, J. */
  readonly takenUpJoules: number;
  /** When it first began to melt, s; null while it is whole. */
  readonly meltingSinceSeconds: number | null;
  /** When the last of it melted, s: from then on the drop has left the probe. */
  readonly meltedAtSeconds: number | null;
}

/** A wire just hung up. */
export function hungWire(metal: WireMetal): MeltingWire {
  return { metal, takenUpJoules: 0, meltingSinceSeconds: null, meltedAtSeconds: null };
}

/** How much of it has melted, 0 to 1. */
export function meltedFraction({ metal, takenUpJoules }: MeltingWire): number {
  return takenUpJoules / fusionJoules(metal);
}

/**
 * What the tip of the probe tends to while the wire melts, °C: its fixed point and a little of the chamber's
 * lead. Null when nothing holds it back: the wire is whole and colder, or has melted.
 * @param junctionCelsius where the probe would be without a wire
 */
export function heldCelsius(
  { metal, takenUpJoules, meltedAtSeconds }: MeltingWire,
  junctionCelsius: number,
  chamberCelsius: number,
): number | null {
  const fixedPointCelsius = FIXED_POINT_CELSIUS[metal];
  if (meltedAtSeconds !== null) return null;
  if (takenUpJoules === 0 && junctionCelsius < fixedPointCelsius) return null;
  return fixedPointCelsius + FELT_FRACTION * (chamberCelsius - fixedPointCelsius);
}

/**
 * The wire after a short time at its melting point: it takes up heat while the chamber is hotter and gives
 * it back while that is colder. In a climb of r K/s it lasts about √(2·fusion / (conductance·r)): half a
 * minute at 10 K/min.
 */
export function nextMeltingWire(
  wire: MeltingWire,
  chamberCelsius: number,
  atSeconds: number,
  stepSeconds: number,
): MeltingWire {
  const watts = WATTS_PER_KELVIN * (chamberCelsius - FIXED_POINT_CELSIUS[wire.metal]);
  const all = fusionJoules(wire.metal);
  const takenUpJoules = Math.min(all, Math.max(0, wire.takenUpJoules + watts * stepSeconds));
  return {
    ...wire,
    takenUpJoules,
    meltingSinceSeconds: wire.meltingSinceSeconds ?? (takenUpJoules > 0 ? atSeconds : null),
    meltedAtSeconds: takenUpJoules === all ? atSeconds : null,
  };
}

function fusionJoules(metal: WireMetal): number {
  return FUSION_JOULES_PER_GRAM[metal] * GRAMS[metal];
}
