/**
 * Viscosity of a glass by Vogel, Fulcher and Tammann: log10(η/Pa·s) = A + B/(t − T0), t and T0 in °C.
 */
export interface Viscosity {
  /** A: log10 of Pa·s. */
  readonly logPascalSeconds: number;
  /** B, K. */
  readonly kelvin: number;
  /** T0, °C. */
  readonly zeroCelsius: number;
}

/** How the layer is packed before it sinters: Scherer's cubic cell, and the share that is solid. */
export interface Packing {
  /** Edge of the cell, µm: about the size of the coarsest voids. */
  readonly cellMicrometres: number;
  /** Of the unfired layer, 0 to 1. */
  readonly relativeDensity: number;
}

/** Where the numbers of a material come from. */
export interface MaterialOrigin {
  readonly kind: "invented" | "maker" | "measured" | "fitted" | "estimated";
  /** One sentence: who said or measured it, when, how. */
  readonly statement: string;
}

/** A layer material, as far as the heat work and the glass models ask for it. What is not known is null. */
export interface Material {
  readonly name: string;
  readonly origin: MaterialOrigin;
  /** Of its heat work, J/mol; 250,000 to 450,000 is the honest range for such layers (from memory and from cones of that range). */
  readonly activationEnergyJoulesPerMole: number;
  /** The temperature at which its seconds of heat work are counted, °C. */
  readonly referenceCelsius: number;
  readonly viscosity: Viscosity | null;
  /** N/m; about 0.30 for silicate glasses at firing temperatures. */
  readonly surfaceTensionNewtonsPerMetre: number;
  readonly packing: Packing | null;
  /** Where its pores close on an ordinary climb, °C: the vacuum has to stand before the first. */
  readonly closure: { readonly fromCelsius: number; readonly toCelsius: number } | null;
  /** Heat work over all its bakes within which a layer comes out right, s at `referenceCelsius`. */
  readonly window: { readonly leastEquivalentSeconds: number; readonly mostEquivalentSeconds: number } | null;
  readonly notes?: string | undefined;
}
