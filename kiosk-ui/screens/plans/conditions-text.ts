import { conditionText, type FurnaceNames } from "#kiosk-ui/components/condition-text";
import { plansWords as words } from "#kiosk-ui/screens/plans/plans-words";
import type { Adaptation, AdaptationCondition } from "#shared/plan";

type Kind = AdaptationCondition["kind"];
const KINDS: readonly Kind[] = ["framework", "case-size", "bake", "furnace"];

/**
 * For what a card changes, each once: "zirconia, medium and large case, second and correction bake".
 * @param furnaces  what furnaces are called
 */
export function conditionsText(
  adaptations: readonly Pick<Adaptation, "when">[],
  furnaces: FurnaceNames,
): string {
  return KINDS.flatMap((kind) => {
    const ofKind = adaptations.filter(({ when }) => when.kind === kind);
    const names = [...new Set(ofKind.map(({ when }) => briefText(when, furnaces)))];
    return names.length === 0 ? [] : [[listed(names), ...wordOf(kind)].join(" ")];
  }).join(", ");
}

/** Without the word that the whole list ends with. */
function briefText(when: AdaptationCondition, furnaces: FurnaceNames): string {
  if (when.kind === "case-size") return words.sizes[when.caseSize];
  return when.kind === "bake" ? words.bakes[when.bake] : conditionText(when, furnaces);
}

function wordOf(kind: Kind): string[] {
  if (kind === "case-size") return [words.list.ofCase];
  return kind === "bake" ? [words.list.ofBake] : [];
}

function listed(names: readonly string[]): string {
  const [last, ...others] = [...names].reverse();
  return others.length === 0 ? (last ?? "") : words.list.and(others.reverse().join(", "), last ?? "");
}
