/** What carries the ceramic; `none` is a test piece of the layer material alone. */
export type Framework = "zirconia" | "lithium-disilicate" | "metal" | "none";

/** How much mass is in the muffle. */
export type CaseSize = "small" | "medium" | "large";

/** Which bake of its piece: the first, a further one of the same kind, or a small correction after it. */
export type BakeOrdinal = "first" | "second" | "correction";

export const FRAMEWORKS: readonly Framework[] = ["zirconia", "lithium-disilicate", "metal", "none"];
export const CASE_SIZES: readonly CaseSize[] = ["small", "medium", "large"];
export const BAKE_ORDINALS: readonly BakeOrdinal[] = ["first", "second", "correction"];

/** What is about to be fired, as far as a plan can be fitted to it. */
export interface BakeCase {
  readonly framework: Framework;
  readonly caseSize: CaseSize;
  readonly bake: BakeOrdinal;
}
