import type { AdaptationCondition } from "#shared/plan";

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
