import type { BakeOrdinal, CaseSize, Framework } from "#shared/bake-case";

/** When an adaptation applies, and where a number of a fitted plan comes from. */
export const sourceWords = {
  frameworks: {
    zirconia: "zirconia",
    "lithium-disilicate": "lithium disilicate",
    metal: "metal",
    none: "test piece",
  } satisfies Record<Framework, string>,
  caseSizes: { small: "small case", medium: "medium case", large: "large case" } satisfies Record<
    CaseSize,
    string
  >,
  bakes: { first: "first bake", second: "second bake", correction: "correction bake" } satisfies Record<
    BakeOrdinal,
    string
  >,
  furnace: "this furnace",
  fromCard: (value: string) => `${value} from the card`,
  insteadOf: (value: string, condition: string, base: string) => `${value} ${condition}, instead of ${base}`,
  part: (shift: string, condition: string) => `${shift} ${condition}`,
  coolingFor: (condition: string) => `for the ${condition}`,
} as const;
