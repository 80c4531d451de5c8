/** What carries the ceramic in a simulated bake. */
export type Framework = "zirconia" | "lithium-disilicate" | "metal" | "none";

/** What stands in the muffle: the ware with its firing tray. */
export interface Load {
  readonly framework: Framework;
  readonly grams: number;
}

/** A single crown on its tray. */
export const SMALL_LOAD: Load = { framework: "zirconia", grams: 25 };

/** Specific heat near 700 °C, J/(g·K): rounded values from memory, not from a source. */
const JOULES_PER_GRAM_KELVIN: Record<Framework, number> = {
  zirconia: 0.6,
  "lithium-disilicate": 1.1,
  metal: 0.45,
  none: 1.0,
};

/** Heat capacity of a load, J/K. */
export function loadJoulesPerKelvin({ framework, grams }: Load): number {
  return JOULES_PER_GRAM_KELVIN[framework] * grams;
}

/**
 * Area of a load times its emissivity, m²: grows with the mass to the power 2/3, as bodies of one shape do.
 * The factor is invented: about 15 cm² for 25 g.
 */
export function loadRadiatingSquareMetres({ grams }: Load): number {
  return 1.75e-4 * grams ** (2 / 3);
}
