import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import type { Material } from "#shared/material";
import type { MaterialFit } from "#shared/material-fit";

const words = plansWords.materials;

/** The parts of a material that may be unknown. */
export type MaterialPart = "viscosity" | "packing" | "closure" | "window";

/** A fit that told something. */
export type Fitted = Extract<MaterialFit, { kind: "fitted" }>;

/** Where an unknown part begins when it is said to be known; to be set to what is stated or measured (our own choice). */
const FIRST_PARTS = {
  viscosity: { logPascalSeconds: -3, kelvin: 5000, zeroCelsius: 250 },
  packing: { cellMicrometres: 10, relativeDensity: 0.6 },
  closure: { fromCelsius: 650, toCelsius: 700 },
  window: { leastEquivalentSeconds: 30, mostEquivalentSeconds: 120 },
} as const satisfies { [Part in MaterialPart]: NonNullable<Material[Part]> };

/** Where a new material begins: estimated, with nothing known but a middling energy. */
export function newMaterial(name: string): Material {
  return {
    name,
    origin: { kind: "estimated", statement: words.newOrigin },
    activationEnergyJoulesPerMole: DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE,
    referenceCelsius: 760,
    viscosity: null,
    surfaceTensionNewtonsPerMetre: 0.3,
    packing: null,
    closure: null,
    window: null,
  };
}

/** The material with a part said to be known or not; what was known stays. */
export function withPartKnown(material: Material, part: MaterialPart, isKnown: boolean): Material {
  return { ...material, [part]: isKnown ? (material[part] ?? FIRST_PARTS[part]) : null };
}

/** Why a material must not be saved; null where nothing is in the way. */
export function materialRefusal({ window, closure }: Material): string | null {
  if (window && !(window.leastEquivalentSeconds < window.mostEquivalentSeconds)) return words.windowRefused;
  if (closure && closure.fromCelsius > closure.toCelsius) return words.closureRefused;
  return null;
}

/** The material with what a fit told; what the bakes could not tell stays as it was. */
export function withFit(material: Material, fit: Fitted, day: string): Material {
  return {
    ...material,
    origin: { kind: "fitted", statement: words.fittedStatement(fit.bakes, day) },
    activationEnergyJoulesPerMole: fit.activationEnergyInterval
      ? Math.round(fit.activationEnergyJoulesPerMole)
      : material.activationEnergyJoulesPerMole,
    window: fit.window ?? material.window,
  };
}
