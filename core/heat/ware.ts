import type { BakeCase, Framework } from "#core/plan/bake-case";
import type { TracePoint } from "#core/trace/slope";

/** A piece in the muffle, as one lump of heat. */
export interface Ware {
  readonly framework: Framework;
  readonly grams: number;
  readonly wallMillimetres: number;
}

/** A ware's own temperature, and how far it may be wrong. */
export interface WarePoint extends TracePoint {
  /** If it takes up heat 1.5 times as slowly, and as fast: the estimate's own doubt, °C. */
  readonly slowCelsius: number;
  readonly fastCelsius: number;
}

export function usualWare(_bakeCase: Pick<BakeCase, "framework" | "caseSize">): Ware {
  throw new Error("not written yet");
}

export function wareTrace(_chamber: readonly TracePoint[], _ware: Ware): WarePoint[] {
  throw new Error("not written yet");
}
