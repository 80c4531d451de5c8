import type { Material, MaterialOrigin } from "#core/heat/material";

const INVENTED: MaterialOrigin = {
  kind: "invented",
  statement:
    "Invented for demonstration: no product, nothing measured. Make your own material for real work.",
};

/** Of silicate glasses at firing temperatures, N/m (from memory). */
const SURFACE_TENSION = 0.3;

/**
 * The layer materials that come with the program, for practising: a build-up for 710 °C, one that fires
 * higher, at 760 °C, and a colour glaze for 730 °C. All numbers are invented, and fit each other: the activation
 * energy is that of the viscosity at the reference temperature, pores close where the packing makes them on
 * climbs of 25 to 80 K/min, and the demonstration card of each ends within its window.
 * @example DEMONSTRATION_MATERIALS.map(({ origin }) => origin.kind) // ["invented", "invented", "invented"]
 */
export const DEMONSTRATION_MATERIALS: readonly Material[] = [
  {
    name: "Demo paste, standard",
    origin: INVENTED,
    activationEnergyJoulesPerMole: 350_000,
    referenceCelsius: 710,
    viscosity: { logPascalSeconds: -2.4, kelvin: 3320, zeroCelsius: 290 },
    surfaceTensionNewtonsPerMetre: SURFACE_TENSION,
    packing: { cellMicrometres: 18, relativeDensity: 0.58 },
    closure: { fromCelsius: 671, toCelsius: 692 },
    window: { leastEquivalentSeconds: 60, mostEquivalentSeconds: 200 },
    notes: "A glaze at 730 °C on top of it is too much for it.",
  },
  {
    name: "Demo paste, higher-firing",
    origin: INVENTED,
    activationEnergyJoulesPerMole: 375_000,
    referenceCelsius: 760,
    viscosity: { logPascalSeconds: -2.4, kelvin: 3420, zeroCelsius: 330 },
    surfaceTensionNewtonsPerMetre: SURFACE_TENSION,
    packing: { cellMicrometres: 20, relativeDensity: 0.6 },
    closure: { fromCelsius: 723, toCelsius: 745 },
    window: { leastEquivalentSeconds: 60, mostEquivalentSeconds: 230 },
  },
  {
    name: "Demo colour glaze",
    origin: INVENTED,
    activationEnergyJoulesPerMole: 320_000,
    referenceCelsius: 730,
    viscosity: { logPascalSeconds: -2.2, kelvin: 3380, zeroCelsius: 280 },
    surfaceTensionNewtonsPerMetre: SURFACE_TENSION,
    packing: { cellMicrometres: 10, relativeDensity: 0.6 },
    closure: { fromCelsius: 665, toCelsius: 686 },
    window: { leastEquivalentSeconds: 45, mostEquivalentSeconds: 650 },
    notes: "Fired thin and in air, alone or on the higher-firing paste.",
  },
];
