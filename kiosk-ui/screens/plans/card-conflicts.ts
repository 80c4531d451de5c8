import type { Material } from "#core/heat/material";
import { effectivePlan } from "#core/plan/adapt";
import { BAKE_ORDINALS, type BakeCase, CASE_SIZES, FRAMEWORKS } from "#core/plan/bake-case";
import type { Card } from "#core/plan/card";
import { caseFindings } from "#core/plan/case-findings";
import { planFindings } from "#core/plan/findings";
import { caseText } from "#kiosk-ui/components/case-text";
import type { FurnaceNames } from "#kiosk-ui/components/condition-text";

/** Every case that a card may be asked for; null fits nothing but the furnace. */
const CASES: readonly (BakeCase | null)[] = [
  null,
  ...FRAMEWORKS.flatMap((framework) =>
    CASE_SIZES.flatMap((caseSize) => BAKE_ORDINALS.map((bake) => ({ framework, caseSize, bake }))),
  ),
];

/**
 * Why a card must not be saved: what cannot be fired in its base plan, and every case for which it gives no
 * plan or one that cannot be fired. Each sentence once, with the first case that it was met in. Limits of frameworks are none of that: they refuse single cases.
 * @param furnaces  what the furnaces are called that a sentence names
 * @returns empty where every case on every furnace that the card names gets a plan
 */
export function cardConflicts(card: Card, furnaces: FurnaceNames = []): string[] {
  const base = planFindings(card.plan).filter(({ refuses }) => refuses);
  const found = new Map(base.map(({ sentence }) => [sentence, asSentence(sentence)]));
  for (const furnaceId of furnacesOf(card))
    for (const bakeCase of CASES)
      for (const { sentence, isOfCase } of caseConflicts(card, bakeCase, furnaceId))
        if (!found.has(sentence))
          found.set(
            sentence,
            isOfCase && bakeCase ? asSentence(`${caseText(bakeCase)}: ${sentence}`) : asSentence(sentence),
          );
  return [...found.values()].map((sentence) => withFurnaceNames(sentence, furnaces));
}

/** A sentence that says "furnace" and an id, with the furnace's name in its place. */
export function withFurnaceNames(sentence: string, furnaces: FurnaceNames): string {
  const longestFirst = [...furnaces].sort((one, other) => other.id.length - one.id.length);
  return longestFirst.reduce((said, { id, name }) => said.replaceAll(`furnace ${id}`, name), sentence);
}

/** Adaptations that refuse each other name their conditions themselves; a finding has to be told its case. */
function caseConflicts(card: Card, bakeCase: BakeCase | null, furnaceId: string | null) {
  const fitted = effectivePlan(card, bakeCase, furnaceId);
  if (!fitted.ok) return fitted.refusals.map(({ sentence }) => ({ sentence, isOfCase: false }));
  return planFindings(fitted.plan)
    .filter(({ refuses }) => refuses)
    .map(({ sentence }) => ({ sentence, isOfCase: true }));
}

function furnacesOf({ adaptations }: Card): readonly (string | null)[] {
  const named = adaptations.flatMap(({ when }) => (when.kind === "furnace" ? [when.furnaceId] : []));
  return [null, ...new Set(named)];
}

/**
 * What somebody should look at in a card: in its base plan, and in the first case in which something else is met,
 * with the case. Nothing of it forbids saving.
 * @param material  of the card; null where none is known
 */
export function cardRemarks(card: Card, material: Material | null): string[] {
  const knowledge = { card, material, fastestClimbKelvinPerMinute: null };
  const base = caseFindings(card.plan, { ...knowledge, bakeCase: null });
  const found = new Map(base.map(({ code, sentence }) => [code, asSentence(sentence)]));
  for (const bakeCase of CASES) {
    const fitted = bakeCase && effectivePlan(card, bakeCase, null);
    if (!bakeCase || !fitted?.ok) continue;
    for (const { code, sentence } of caseFindings(fitted.plan, { ...knowledge, bakeCase }))
      if (!found.has(code)) found.set(code, asSentence(`${caseText(bakeCase)}: ${sentence}`));
  }
  return [...found.values()];
}

/** A line as a sentence: a capital at its beginning and a stop at its end. */
export function asSentence(line: string): string {
  return `${line.charAt(0).toUpperCase()}${line.slice(1)}${/[.?!]$/.test(line) ? "" : "."}`;
}
