import { plansWords as words } from "#kiosk-ui/screens/plans/plans-words";
import type { BakeCase } from "#shared/bake-case";
import type { Furnace } from "#shared/furnace";
import type { AdaptationCondition } from "#shared/plan";

/** What a furnace is called: its name where it is known here. */
export type FurnaceNames = readonly Pick<Furnace, "id" | "name">[];

/** A condition in a word or two; a furnace by its name. */
export function conditionText(when: AdaptationCondition, furnaces: FurnaceNames): string {
  switch (when.kind) {
    case "framework":
      return words.frameworks[when.framework];
    case "case-size":
      return words.sizeCase(words.sizes[when.caseSize]);
    case "bake":
      return bakeText(when.bake);
    case "furnace":
      return furnaces.find(({ id }) => id === when.furnaceId)?.name ?? when.furnaceId;
  }
}

/** A case in a few words: "zirconia, large case, second bake". */
export function caseText({ framework, caseSize, bake }: BakeCase): string {
  return [words.frameworks[framework], words.sizeCase(words.sizes[caseSize]), bakeText(bake)].join(", ");
}

/** True where two conditions are one. */
export function isSameCondition(one: AdaptationCondition, other: AdaptationCondition): boolean {
  return conditionKey(one) === conditionKey(other);
}

/** A condition as a key: its kind and its value. */
export function conditionKey(when: AdaptationCondition): string {
  switch (when.kind) {
    case "framework":
      return `framework ${when.framework}`;
    case "case-size":
      return `case-size ${when.caseSize}`;
    case "bake":
      return `bake ${when.bake}`;
    case "furnace":
      return `furnace ${when.furnaceId}`;
  }
}

/** A correction is a bake already. */
function bakeText(bake: BakeCase["bake"]): string {
  return bake === "correction" ? words.bakes.correction : words.bakeOf(words.bakes[bake]);
}
