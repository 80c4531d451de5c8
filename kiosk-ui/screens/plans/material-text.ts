import { equivalentSecondsText } from "#kiosk-ui/components/equivalent-seconds-text";
import {
  numberText,
  percentText,
  type TemperatureUnit,
  temperatureText,
  temperatureWithUnit,
} from "#kiosk-ui/format";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";
import type { Material } from "#shared/material";

const words = plansWords.materials;
const JOULES_PER_KILOJOULE = 1000;

/** One constant of a material: what it is, how much, and what its lack or its limits mean. */
export interface ConstantRow {
  readonly name: string;
  /** Empty where it is not known. */
  readonly value: string;
  readonly note: string;
}

/** The constants of a material with their units, and what is left out where one is not known. */
export function constantRows(material: Material, unit: TemperatureUnit): ConstantRow[] {
  const { viscosity, packing, closure } = material;
  const celsius = (value: number) => temperatureWithUnit(value, unit);
  return [
    row(words.energy, energyText(material.activationEnergyJoulesPerMole), words.energyNote),
    row(words.reference, celsius(material.referenceCelsius), ""),
    row(words.window, windowText(material, unit), words.windowNone),
    row(
      words.closure,
      closure && words.to(temperatureText(closure.fromCelsius, unit), celsius(closure.toCelsius)),
      words.closureNone,
    ),
    row(words.viscosity, viscosity && viscosityText(viscosity), words.viscosityNone, words.viscosityFormula),
    row(words.tension, `${numberText(material.surfaceTensionNewtonsPerMetre, 2)}\u00a0N/m`, ""),
    row(
      words.packing,
      packing &&
        `${numberText(packing.cellMicrometres, 1)}\u00a0µm, ${words.solid(percentText(packing.relativeDensity))}`,
      words.packingNone,
    ),
  ];
}

/**
 * An activation energy as it is read.
 * @example energyText(325_000) // "325 kJ/mol"
 */
export function energyText(joulesPerMole: number): string {
  return `${numberText(joulesPerMole / JOULES_PER_KILOJOULE)}\u00a0${words.energyUnit}`;
}

/** The window of a material with where its seconds are counted; null where it is not known. */
export function windowText(
  { window, referenceCelsius }: Pick<Material, "window" | "referenceCelsius">,
  unit: TemperatureUnit,
): string | null {
  const span = windowSpanText(window);
  return span && words.at(span, temperatureWithUnit(referenceCelsius, unit));
}

/**
 * A window without its temperature; null where it is not known.
 * @example windowSpanText({ leastEquivalentSeconds: 60, mostEquivalentSeconds: 230 }) // "60 to 230 s"
 */
export function windowSpanText(window: Material["window"]): string | null {
  if (!window) return null;
  const least = equivalentSecondsText(window.leastEquivalentSeconds).replace(/\u00a0s$/, "");
  return words.to(least, equivalentSecondsText(window.mostEquivalentSeconds));
}

/** In °C whatever the page's unit: B is in kelvins. */
function viscosityText({
  logPascalSeconds,
  kelvin,
  zeroCelsius,
}: NonNullable<Material["viscosity"]>): string {
  return [
    `${words.vftA} ${numberText(logPascalSeconds, 2)}`,
    `${words.vftB} ${numberText(kelvin)}\u00a0K`,
    `${words.vftT0} ${temperatureWithUnit(zeroCelsius, "celsius")}`,
  ].join(", ");
}

/** What its lack means stands only where it lacks. */
function row(name: string, value: string | null, lack: string, note = ""): ConstantRow {
  if (value === null) return { name, value: "", note: lack };
  return { name, value, note: name === words.energy ? lack : note };
}
