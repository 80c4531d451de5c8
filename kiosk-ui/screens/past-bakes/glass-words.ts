import { isAir } from "#kiosk-ui/chart/chart-words";
import { equivalentSecondsText } from "#kiosk-ui/components/equivalent-seconds-text";
import {
  durationText,
  numberText,
  percentText,
  pressureText,
  type TemperatureUnit,
  temperatureWithUnit,
} from "#kiosk-ui/format";
import type { Framework } from "#shared/bake-case";
import type { BakeGlass, GlassOutcome, Ware } from "#shared/glass";
import type { Material } from "#shared/material";

/** How a layer looks by its closed pores. */
export type Look = "clear" | "hazy" | "milky";

/**
 * Diffuse reflectance of 1 mm at which a layer begins to be called hazy, and milky: our own choice, no source.
 * A firing as it should be leaves less than a tenth, one without vacuum more than half.
 */
const HAZY_FROM_FRACTION = 0.15;
const MILKY_FROM_FRACTION = 0.4;

/** Smaller shares are told apart by nobody. */
const LEAST_POROSITY_FRACTION = 0.0001;

/** The sentences of what a bake would have done to a well-built layer. */
export const glassWords = {
  title: "What this would have done to a well-built layer",
  loading: "Reckoning…",
  quantity: "Of the layer",
  chamber: "By the chamber",
  ware: "By the ware, estimated",
  heatWork: "Heat work",
  closed: "Pores closed",
  pores: "Pores left",
  looks: "Looks, 1 mm thick",
  edges: "Edges",
  flow: "Flow length",
  notKnown: "not known",
  heatWorkAt: (seconds: string, reference: string) => `${seconds} at ${reference}`,
  closedAt: (temperature: string, pressure: string, at: string) =>
    `at ${temperature} under ${pressure}, after ${at}`,
  closedInAir: (temperature: string, pressure: string, at: string) =>
    `at ${temperature} in air, ${pressure}, after ${at}`,
  closedUnmeasured: (temperature: string, at: string) =>
    `at ${temperature}, after ${at}; the pressure then was not measured`,
  open: "never: they stayed open",
  hardlyAny: "less than 0.01\u00a0%",
  left: (percent: string) => `${percent}\u00a0%`,
  ofRadius: (share: string, radius: string) => `${share}, ${radius} in radius`,
  looksLike: (look: Look, percent: string) => `${look}, sends back ${percent}\u00a0% of the light`,
  notSealed: "not sealed",
  lookOf: (look: Look) => `a layer that looks ${look} at 1\u00a0mm`,
  roundedTo: (radius: string) => `rounded to ${radius}`,
  openLayer: "a layer that is not sealed",
  both: (chamber: string) => `By the chamber and by the ware: consistent with ${chamber}.`,
  onlyChamber: (chamber: string) => `By the chamber: consistent with ${chamber}.`,
  onlyWare: (ware: string) => `By the ware: consistent with ${ware}.`,
  each: (chamber: string, ware: string) =>
    `By the chamber: consistent with ${chamber}. By the ware: with ${ware}.`,
  noViscosity: (material: string) =>
    `${material} states no viscosity, so nothing can be said of its flow, pores and edges.`,
  noPacking: (material: string) =>
    `How ${material} is packed is not known, so nothing can be said of its pores.`,
  noPressure: "No pressure was measured as the pores closed, so nobody knows what air they locked in.",
  noWare: "What went in is not known, so the ware is not reckoned.",
  limits: (material: string, origin: string) =>
    `Consistent with, never proof: a model of a well-built layer, 1\u00a0mm thick, with voids of one size, of ${material} (${origin}).`,
  wareLimits: (ware: string) => `The ware is an estimate, for ${ware}.`,
  wareOf: (grams: string, framework: string, wall: string) =>
    `${grams}\u00a0g ${framework} with walls of ${wall}\u00a0mm`,
  frameworks: {
    zirconia: "of zirconia",
    "lithium-disilicate": "of lithium disilicate",
    metal: "of metal",
    none: "of ceramic alone",
  } satisfies Record<Framework, string>,
  origins: {
    invented: "its numbers are invented",
    maker: "numbers by its maker",
    measured: "numbers measured",
    fitted: "numbers fitted to graded bakes",
    estimated: "numbers estimated",
  } satisfies Record<Material["origin"]["kind"], string>,
} as const;

/** A line of the table: what, by the chamber, and by the ware where its case is known. */
export interface GlassRow {
  readonly name: string;
  readonly chamber: string;
  readonly ware: string | null;
}

/**
 * How a layer of 1 mm looks.
 * @param reflectanceFraction diffuse, by its closed pores: 0 clear, 1 white
 * @example lookOf(0.62) // "milky"
 */
export function lookOf(reflectanceFraction: number): Look {
  if (reflectanceFraction < HAZY_FROM_FRACTION) return "clear";
  return reflectanceFraction < MILKY_FROM_FRACTION ? "hazy" : "milky";
}

/** The outcome as a table, chamber and ware side by side; what nobody can know is left out. */
export function glassRows({ material, chamber, ware }: BakeGlass, unit: TemperatureUnit): GlassRow[] {
  const { viscosity, packing, referenceCelsius } = material.material;
  const row = (name: string, text: (outcome: GlassOutcome) => string): GlassRow => ({
    name,
    chamber: text(chamber),
    ware: ware && text(ware.outcome),
  });
  const reference = temperatureWithUnit(referenceCelsius, unit);
  const heatWork = row(glassWords.heatWork, ({ heatWorkEquivalentSeconds }) =>
    glassWords.heatWorkAt(equivalentSecondsText(heatWorkEquivalentSeconds), reference),
  );
  if (!viscosity) return [heatWork];
  const ofPores = packing
    ? [
        row(glassWords.closed, (outcome) => closedText(outcome, unit)),
        row(glassWords.pores, poresText),
        row(glassWords.looks, looksText),
      ]
    : [];
  return [
    ...ofPores,
    row(glassWords.edges, ({ edgeRadiusMicrometres }) =>
      edgeRadiusMicrometres === null
        ? glassWords.notKnown
        : glassWords.roundedTo(micrometresText(edgeRadiusMicrometres)),
    ),
    row(glassWords.flow, ({ flowLengthMicrometres }) =>
      flowLengthMicrometres === null ? glassWords.notKnown : micrometresText(flowLengthMicrometres),
    ),
    heatWork,
  ];
}

/** What it is consistent with, in a sentence; empty where nothing can be said of how it looks. */
export function glassReading({ chamber, ware }: BakeGlass): string {
  const byChamber = layerText(chamber);
  const byWare = ware && layerText(ware.outcome);
  if (byChamber === null) return byWare ? glassWords.onlyWare(byWare) : "";
  if (byWare === null) return glassWords.onlyChamber(byChamber);
  return byWare === byChamber ? glassWords.both(byChamber) : glassWords.each(byChamber, byWare);
}

/** What nobody can know of this bake, and why: plain sentences. */
export function glassGaps({ material, chamber, ware }: BakeGlass): string[] {
  const { name, viscosity, packing } = material.material;
  const outcomes = [chamber, ...(ware ? [ware.outcome] : [])];
  const isBlind = outcomes.some(({ closure }) => closure?.hectopascals === null);
  return [
    ...(viscosity ? [] : [glassWords.noViscosity(name)]),
    ...(viscosity && !packing ? [glassWords.noPacking(name)] : []),
    ...(isBlind ? [glassWords.noPressure] : []),
    ...(ware ? [] : [glassWords.noWare]),
  ];
}

/** How far it is to be believed. */
export function glassLimits({ material: { material }, ware }: BakeGlass): string {
  const model = glassWords.limits(material.name, glassWords.origins[material.origin.kind]);
  return ware ? `${model} ${glassWords.wareLimits(wareText(ware.ware))}` : model;
}

function closedText({ closure, porosityFraction }: GlassOutcome, unit: TemperatureUnit): string {
  if (!closure) return porosityFraction === null ? glassWords.notKnown : glassWords.open;
  const temperature = temperatureWithUnit(closure.celsius, unit);
  const at = durationText(closure.atSeconds);
  if (closure.hectopascals === null) return glassWords.closedUnmeasured(temperature, at);
  const closed = isAir(closure.hectopascals) ? glassWords.closedInAir : glassWords.closedAt;
  return closed(temperature, pressureText(closure.hectopascals), at);
}

function poresText({ porosityFraction, poreRadiusMicrometres }: GlassOutcome): string {
  if (porosityFraction === null) return glassWords.notKnown;
  if (porosityFraction < LEAST_POROSITY_FRACTION) return glassWords.hardlyAny;
  const percent = 100 * porosityFraction;
  const share = glassWords.left(numberText(percent, percent < 1 ? 2 : 1));
  return poreRadiusMicrometres === null
    ? share
    : glassWords.ofRadius(share, micrometresText(poreRadiusMicrometres));
}

function looksText(outcome: GlassOutcome): string {
  const { reflectanceFraction } = outcome;
  if (reflectanceFraction !== null)
    return glassWords.looksLike(lookOf(reflectanceFraction), percentText(reflectanceFraction));
  return isOpen(outcome) ? glassWords.notSealed : glassWords.notKnown;
}

/** What the layer would be like, in a few words; null where nobody can know. */
function layerText(outcome: GlassOutcome): string | null {
  const { reflectanceFraction } = outcome;
  if (reflectanceFraction !== null) return glassWords.lookOf(lookOf(reflectanceFraction));
  return isOpen(outcome) ? glassWords.openLayer : null;
}

function isOpen({ closure, porosityFraction }: GlassOutcome): boolean {
  return closure === null && porosityFraction !== null;
}

function wareText({ framework, grams, wallMillimetres }: Ware): string {
  return glassWords.wareOf(
    numberText(grams, 1),
    glassWords.frameworks[framework],
    numberText(wallMillimetres, 1),
  );
}

/** "0.4 µm", "87 µm", "1.2 mm": two or three figures. */
function micrometresText(micrometres: number): string {
  if (micrometres >= 1000) return `${numberText(micrometres / 1000, 1)}\u00a0mm`;
  return `${numberText(micrometres, micrometres < 10 ? 1 : 0)}\u00a0µm`;
}
