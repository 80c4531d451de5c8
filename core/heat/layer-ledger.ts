import { flowLengthMicrometres } from "#core/heat/flow-length";
import {
  type CurvePoint,
  curveEquivalentSeconds,
  heatWorkEquivalentSeconds,
  heatWorkRate,
  type Kinetics,
} from "#core/heat/heat-work";
import type { Material } from "#core/heat/material";
import { type Ware, wareTrace } from "#core/heat/ware";
import { type Plan, topCelsius } from "#core/plan/plan";
import { withPlanNumber } from "#core/plan/plan-numbers";
import { setpointCurve } from "#core/plan/setpoint";
import { despiked } from "#core/trace/despike";
import { noiseKelvin } from "#core/trace/noise";
import { type Gap, gaps, type Trace } from "#core/trace/trace";
import { trustedTrace } from "#core/trace/trusted";

/** How fast a chamber falls from the top when nothing leads it, where its furnace has not told (common practice, no source). */
export const USUAL_FREE_COOLING_KELVIN_PER_MINUTE = 48;

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

/** A layer, and the first bake that it went through. */
export interface AppliedLayer {
  readonly name: string;
  readonly material: Material;
  readonly firstBakeId: number;
}

/** A bake of a job: its trace, and its ware where the case is known. */
export interface LedgerBake {
  readonly bakeId: number;
  readonly trace: Trace;
  readonly ware: Ware | null;
}

/** On which side of its window a layer stands; `unknown` where its material states none. */
export type LayerSide = "short" | "right" | "excess" | "unknown";

/** What the next bake would make of a layer. */
export interface LayerForecast {
  readonly name: string;
  readonly material: Material;
  readonly isNew: boolean;
  readonly beforeEquivalentSeconds: number;
  /** What the plan would add, by the chamber, s at the material's reference. */
  readonly addedEquivalentSeconds: number;
  readonly addedFlowLengthMicrometres: number | null;
  readonly afterEquivalentSeconds: number;
  readonly sideBefore: LayerSide;
  readonly sideAfter: LayerSide;
}

/**
 * The top holds between which every layer ends in its window. Layers that have had little yet set the least,
 * those that have had most set the most.
 */
export interface FittingHolds {
  /** 0 at least. */
  readonly leastSeconds: number;
  readonly leastLayer: string | null;
  /**
   * Null where no layer sets an upper end; below `leastSeconds` where nothing fits, and below 0 where the
   * climb alone is too much.
   */
  readonly mostSeconds: number | null;
  readonly mostLayer: string | null;
}

/**
 * The shares of a plan's heat work between which every layer ends in its window; `highRatio` below `lowRatio`
 * where nothing fits.
 */
export interface HeatWorkWindow {
  /** 0 at least. */
  readonly lowRatio: number;
  /** 0 at least: then a layer has had too much before this bake. */
  readonly highRatio: number;
  readonly lowLayer: string | null;
  readonly highLayer: string | null;
}

/** What is put on before the next bake. */
type AddedLayer = Pick<LayerAccount, "name" | "material">;

/** A free cooling is reckoned until it is this far below its start, K: what follows adds less than 1 %. */
const COOLING_KELVIN = 200;

/**
 * The account of every layer over the bakes of its job: it collects in its first bake and in every later one,
 * each with its own activation energy and at its own reference temperature.
 *
 *                  bake 1    bake 2    bake 3
 *     build-up      126 s     +70 s     +24 s      the same trace counts differently for each material
 *     colour                   85 s     +31 s
 *
 * Windows are held against the chamber's heat work, as charts are written; the ware's stands beside it where
 * something is known of the ware. What was measured counts whole, so the cooling is in it, and gaps hold
 * nothing.
 * @param layers  in the order in which they are to be listed
 * @param bakes   of one job, oldest first
 * @returns one account a layer, in the same order
 * @throws RangeError when a layer's first bake is not among the bakes, or a trace is out of time order
 * @example layerAccounts([], []) // []
 */
export function layerAccounts(layers: readonly AppliedLayer[], bakes: readonly LedgerBake[]): LayerAccount[] {
  const fired = bakes.map(firedBake);
  return layers.map(({ name, material, firstBakeId }) => {
    const first = bakes.findIndex(({ bakeId }) => bakeId === firstBakeId);
    if (first < 0)
      throw new RangeError(
        `layer accounts require a layer's first bake among the bakes, got ${firstBakeId} for ${name}`,
      );
    return { name, material, portions: fired.slice(first).map((bake) => portionOf(material, bake)) };
  });
}

/**
 * What one bake gave a layer. Readings that no chamber can have had are left out, as in a comparison: one of
 * them would outweigh the whole bake.
 * @throws RangeError when the trace is out of time order
 */
export function layerPortion(material: Material, bake: LedgerBake): LayerPortion {
  return portionOf(material, firedBake(bake));
}

/** A bake as every layer of its job went through it: the same for all, so reckoned once. */
interface FiredBake {
  readonly bakeId: number;
  readonly chamber: Trace;
  readonly ware: readonly CurvePoint[] | null;
  readonly silences: readonly Gap[];
}

function firedBake({ bakeId, trace, ware }: LedgerBake): FiredBake {
  const trusted = trustedTrace(trace).trace;
  const chamber = despiked(trusted, noiseKelvin(trusted));
  return { bakeId, chamber, ware: ware && wareTrace(chamber, ware), silences: gaps(chamber) };
}

function portionOf(material: Material, { bakeId, chamber, ware, silences }: FiredBake): LayerPortion {
  const kinetics = kineticsOf(material);
  return {
    bakeId,
    chamberEquivalentSeconds: heatWorkEquivalentSeconds(chamber, kinetics, silences),
    wareEquivalentSeconds: ware && heatWorkEquivalentSeconds(ware, kinetics, silences),
    flowLengthMicrometres: flowLengthMicrometres(chamber, material, silences),
  };
}

/**
 * What a plan would add to each layer that is there and each that is put on before it.
 *
 * A planned curve ends with its last hold where the cooling is left free, while a measured bake has its
 * cooling in it: with 325 kJ/mol some 27 s at the top for a fall of 60 K/min from 760 °C, 54 s for 30 K/min. So
 * give the rate at which this furnace usually falls, or a forecast is that much short of what will come.
 * @param accounts  layers that have been fired already
 * @param added     layers that are put on before this bake
 * @param plan      the effective plan of the bake
 * @param freeCoolingKelvinPerMinute  how fast the chamber falls from the top when nothing leads it; null
 *                                    leaves a free cooling out
 * @example layerForecasts([], [], { name: "t", dryingSeconds: 0, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }], cooling: { kind: "free" } }) // []
 */
export function layerForecasts(
  accounts: readonly LayerAccount[],
  added: readonly AddedLayer[],
  plan: Plan,
  freeCoolingKelvinPerMinute: number | null = null,
): LayerForecast[] {
  const curve = firedCurve(plan, freeCoolingKelvinPerMinute);
  return standing(accounts, added).map(({ name, material, isNew, beforeEquivalentSeconds }) => {
    const addedEquivalentSeconds = curveEquivalentSeconds(curve, kineticsOf(material));
    const afterEquivalentSeconds = beforeEquivalentSeconds + addedEquivalentSeconds;
    return {
      name,
      material,
      isNew,
      beforeEquivalentSeconds,
      addedEquivalentSeconds,
      addedFlowLengthMicrometres: flowLengthMicrometres(curve, material),
      afterEquivalentSeconds,
      sideBefore: layerSide(material, beforeEquivalentSeconds),
      sideAfter: layerSide(material, afterEquivalentSeconds),
    };
  });
}

/**
 * The holds at a plan's top with which every layer ends in its window. Heat work is linear in the hold: a
 * second of it is worth exp[−(E/R)·(1/T_top − 1/T_ref)] seconds of each material.
 * @returns null where no layer states a window, or nothing climbs
 * @example fittingHolds([], [], { name: "t", dryingSeconds: 0, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }], cooling: { kind: "free" } }) // null
 */
export function fittingHolds(
  accounts: readonly LayerAccount[],
  added: readonly AddedLayer[],
  plan: Plan,
  freeCoolingKelvinPerMinute: number | null = null,
): FittingHolds | null {
  if (!plan.steps.some(({ kind }) => kind === "climb")) return null;
  const curve = firedCurve(withPlanNumber(plan, "top-hold", 0), freeCoolingKelvinPerMinute);
  const top = topCelsius(plan);
  const ends = windowEnds(standing(accounts, added), (material) => ({
    fixedEquivalentSeconds: curveEquivalentSeconds(curve, kineticsOf(material)),
    equivalentSecondsPerUnit: heatWorkRate(top, kineticsOf(material)),
  }));
  return (
    ends && {
      leastSeconds: ends.least,
      leastLayer: ends.leastLayer,
      mostSeconds: ends.most,
      mostLayer: ends.mostLayer,
    }
  );
}

/**
 * The window of a bake's heat work as shares of what its plan gives the chamber (1 is as planned), each layer
 * by its own kinetics: a share scales what the bake gives that layer. A free cooling stands on both sides of a
 * share, as in a comparison, so that it scales, too. That is exact for a hold of another length, and for a shift
 * of the whole curve, where the activation energies are alike.
 * @returns null where no layer states a window, or the plan has no heat work
 * @example heatWorkWindow([], [], { name: "t", dryingSeconds: 0, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }], cooling: { kind: "free" } }) // null
 */
export function heatWorkWindow(
  accounts: readonly LayerAccount[],
  added: readonly AddedLayer[],
  plan: Plan,
  freeCoolingKelvinPerMinute: number | null = null,
): HeatWorkWindow | null {
  const curve = firedCurve(plan, freeCoolingKelvinPerMinute);
  const ends = windowEnds(standing(accounts, added), (material) => ({
    fixedEquivalentSeconds: 0,
    equivalentSecondsPerUnit: curveEquivalentSeconds(curve, kineticsOf(material)),
  }));
  return (
    ends && {
      lowRatio: ends.least,
      highRatio: Math.max(0, ends.most),
      lowLayer: ends.leastLayer,
      highLayer: ends.mostLayer,
    }
  );
}

/**
 * On which side of its window a layer stands. Both ends belong to the window.
 * @param equivalentSeconds  by the chamber, s at the material's reference
 * @example layerSide({ window: { leastEquivalentSeconds: 70, mostEquivalentSeconds: 190 } }, 252) // "excess"
 */
export function layerSide({ window }: Pick<Material, "window">, equivalentSeconds: number): LayerSide {
  if (!window) return "unknown";
  if (equivalentSeconds < window.leastEquivalentSeconds) return "short";
  return equivalentSeconds > window.mostEquivalentSeconds ? "excess" : "right";
}

/** Heat work that a layer has had by the chamber, s at its material's reference. */
export function collectedEquivalentSeconds({ portions }: Pick<LayerAccount, "portions">): number {
  return portions.reduce((sum, { chamberEquivalentSeconds }) => sum + chamberEquivalentSeconds, 0);
}

interface StandingLayer extends AddedLayer {
  readonly isNew: boolean;
  readonly beforeEquivalentSeconds: number;
}

function standing(accounts: readonly LayerAccount[], added: readonly AddedLayer[]): StandingLayer[] {
  return [
    ...accounts.map((account) => ({
      name: account.name,
      material: account.material,
      isNew: false,
      beforeEquivalentSeconds: collectedEquivalentSeconds(account),
    })),
    ...added.map(({ name, material }) => ({ name, material, isNew: true, beforeEquivalentSeconds: 0 })),
  ];
}

function kineticsOf({ activationEnergyJoulesPerMole, referenceCelsius }: Material): Kinetics {
  return { activationEnergyJoulesPerMole, referenceCelsius };
}

/** The planned curve, and behind it a free cooling as the furnace makes it. */
function firedCurve(plan: Plan, freeCoolingKelvinPerMinute: number | null): readonly CurvePoint[] {
  const planned = setpointCurve(plan);
  const last = planned.at(-1);
  if (!last || plan.cooling.kind !== "free" || freeCoolingKelvinPerMinute === null) return planned;
  if (!(freeCoolingKelvinPerMinute > 0))
    throw new RangeError(`a free cooling requires a rate above 0 K/min, got ${freeCoolingKelvinPerMinute}`);
  const atSeconds = last.atSeconds + (COOLING_KELVIN / freeCoolingKelvinPerMinute) * 60;
  return [...planned, { atSeconds, celsius: last.celsius - COOLING_KELVIN }];
}

/** A layer's heat work as a straight line over what is asked for: seconds of hold, or shares of the plan. */
interface HeatWorkLine {
  readonly fixedEquivalentSeconds: number;
  readonly equivalentSecondsPerUnit: number;
}

interface WindowEnds {
  readonly least: number;
  readonly leastLayer: string | null;
  readonly most: number;
  readonly mostLayer: string | null;
}

/** Where the last layer comes into its window, and where the first leaves it; null where none states one. */
function windowEnds(
  layers: readonly StandingLayer[],
  lineOf: (material: Material) => HeatWorkLine,
): WindowEnds | null {
  let ends: WindowEnds = { least: 0, leastLayer: null, most: Number.POSITIVE_INFINITY, mostLayer: null };
  for (const { name, material, beforeEquivalentSeconds } of layers) {
    const { fixedEquivalentSeconds, equivalentSecondsPerUnit } = lineOf(material);
    if (!material.window || !(equivalentSecondsPerUnit > 0)) continue;
    const at = (equivalentSeconds: number) =>
      (equivalentSeconds - beforeEquivalentSeconds - fixedEquivalentSeconds) / equivalentSecondsPerUnit;
    const least = at(material.window.leastEquivalentSeconds);
    const most = at(material.window.mostEquivalentSeconds);
    if (least > ends.least) ends = { ...ends, least, leastLayer: name };
    if (most < ends.most) ends = { ...ends, most, mostLayer: name };
  }
  return ends.mostLayer === null ? null : ends;
}
