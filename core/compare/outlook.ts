/** Where a bake is going. Ratios are of the planned heat work of the whole bake, as in a comparison. */
export interface Outlook {
  /** The highest temperature that is coming; null once it is past. */
  readonly peak: { readonly celsius: number; readonly inSeconds: number } | null;
  /** If from now on everything went exactly as planned. */
  readonly asPlannedRatio: number;
  /** If it goes on as this furnace does, with an interval that holds nine times in ten. */
  readonly asGoing: { readonly ratio: number; readonly lowRatio: number; readonly highRatio: number };
  /** The hold that would make the ratio 1; null where none would, or where there is no hold to change. */
  readonly hold: {
    /** Which hold, counted from 1. */
    readonly index: number;
    readonly plannedSeconds: number;
    readonly neededSeconds: number;
  } | null;
  /** How many earlier bakes of this furnace it rests on. */
  readonly learnedFromBakes: number;
}
