import type { AdaptationCondition } from "#core/plan/card";
import { sourceWords as words } from "#kiosk-ui/components/source-words";
import type { Furnace } from "#shared/furnace";

/** What the furnaces are called that are known here. */
export type FurnaceNames = readonly Pick<Furnace, "id" | "name">[];

/**
 * When an adaptation applies, in a word or two.
 * @param furnaces by which a furnace is named; without them it is the one that is begun on, as others do not apply
 * @example conditionText({ kind: "case-size", caseSize: "large" }) // "large case"
 */
export function conditionText(when: AdaptationCondition, furnaces: FurnaceNames | null = null): string {
  switch (when.kind) {
    case "framework":
      return words.frameworks[when.framework];
    case "case-size":
      return words.caseSizes[when.caseSize];
    case "bake":
      return words.bakes[when.bake];
    case "furnace":
      if (!furnaces) return words.furnace;
      return furnaces.find(({ id }) => id === when.furnaceId)?.name ?? when.furnaceId;
  }
}
