import type { Material } from "#core/heat/material";

/** What a layer collected in one bake. */
export interface LayerPortion {
  readonly bakeId: number;
  /** Heat work by the chamber's temperature, s at the material's reference. */
  readonly chamberEquivalentSeconds: number;
  /** The same by the estimated temperature of the ware; null where nothing is known of the ware. */
  readonly wareEquivalentSeconds: number | null;
  /** By the chamber's temperature; null where the material states no viscosity. */
  readonly flowLengthMicrometres: number | null;
}

/** A layer of a job, and what it collected in each bake that it went through. */
export interface LayerAccount {
  readonly name: string;
  readonly material: Material;
  readonly portions: readonly LayerPortion[];
}
