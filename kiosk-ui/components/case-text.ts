import type { BakeCase, BakeOrdinal, Framework } from "#shared/bake-case";

const frameworks: Readonly<Record<Framework, string>> = {
  zirconia: " on zirconia",
  "lithium-disilicate": " on lithium disilicate",
  metal: " on metal",
  none: ", test piece",
};
const bakes: Readonly<Record<BakeOrdinal, string>> = {
  first: "first bake",
  second: "second bake",
  correction: "correction bake",
};

/**
 * What goes in, and on what: the case without its bake.
 * @example muffleText({ framework: "zirconia", caseSize: "large", bake: "second" }) // "large case on zirconia"
 */
export function muffleText({ framework, caseSize }: BakeCase): string {
  return `${caseSize} case${frameworks[framework]}`;
}

/**
 * Which bake of its piece.
 * @example ordinalText({ framework: "none", caseSize: "small", bake: "correction" }) // "correction bake"
 */
export function ordinalText({ bake }: BakeCase): string {
  return bakes[bake];
}

/**
 * A case in one line.
 * @example caseText({ framework: "zirconia", caseSize: "large", bake: "second" }) // "large case on zirconia, second bake"
 */
export function caseText(bakeCase: BakeCase): string {
  return `${muffleText(bakeCase)}, ${ordinalText(bakeCase)}`;
}
