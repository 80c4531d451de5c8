import type { Material } from "#core/heat/material";
import type { Ware } from "#core/heat/ware";
import type { Plan } from "#core/plan/plan";
import type { Trace } from "#core/trace/trace";

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

/** The top holds between which every layer ends in its window. */
export interface FittingHolds {
  readonly leastSeconds: number;
  readonly leastLayer: string | null;
  /** Null where no layer sets an upper end; below `leastSeconds` where nothing fits. */
  readonly mostSeconds: number | null;
  readonly mostLayer: string | null;
}

/** The shares of a plan's heat work between which every layer ends in its window. */
export interface HeatWorkWindow {
  readonly lowRatio: number;
  readonly highRatio: number;
  readonly lowLayer: string | null;
  readonly highLayer: string | null;
}

/** The account of every layer over the bakes of its job, oldest bake first. */
export function layerAccounts(
  _layers: readonly AppliedLayer[],
  _bakes: readonly LedgerBake[],
): LayerAccount[] {
  throw new Error("not written yet");
}

/** What a plan would add to each layer that is there and each that is put on before it. */
export function layerForecasts(
  _accounts: readonly LayerAccount[],
  _added: readonly Pick<LayerAccount, "name" | "material">[],
  _plan: Plan,
): LayerForecast[] {
  throw new Error("not written yet");
}

/** The top holds of a plan with which every layer ends in its window; null where no layer states one. */
export function fittingHolds(
  _accounts: readonly LayerAccount[],
  _added: readonly Pick<LayerAccount, "name" | "material">[],
  _plan: Plan,
): FittingHolds | null {
  throw new Error("not written yet");
}

/** The window of a bake's heat work as shares of its plan's; null where no layer states one. */
export function heatWorkWindow(
  _accounts: readonly LayerAccount[],
  _added: readonly Pick<LayerAccount, "name" | "material">[],
  _plan: Plan,
): HeatWorkWindow | null {
  throw new Error("not written yet");
}
