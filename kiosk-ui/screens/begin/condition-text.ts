import type { AdaptationCondition } from "#core/plan/card";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";

const { conditions } = beginWords;

/**
 * When an adaptation applies, in a word or two. A furnace is always the one that is begun on: others do not apply.
 * @example conditionText({ kind: "case-size", caseSize: "large" }) // "large case"
 */
export function conditionText(when: AdaptationCondition): string {
  switch (when.kind) {
    case "framework":
      return conditions.frameworks[when.framework];
    case "case-size":
      return conditions.caseSizes[when.caseSize];
    case "bake":
      return conditions.bakes[when.bake];
    case "furnace":
      return conditions.furnace;
  }
}
