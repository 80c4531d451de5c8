import { effectivePlan } from "#core/plan/adapt";
import { adaptationEffects, type WorthSettings } from "#core/plan/adaptation-effects";
import { caseFindings } from "#core/plan/case-findings";
import { topCelsius } from "#core/plan/plan";
import { readCardFile } from "#daemon/command/card-file";
import { CASE_OPTIONS, caseOption } from "#daemon/command/case-options";
import { effectiveText } from "#daemon/command/effective-text";
import { energyOption } from "#daemon/command/energy-option";
import { type FittedCard, isFirable, worthRatios } from "#daemon/command/fitted-card";
import { readMaterialFile } from "#daemon/command/material-file";
import { callOptions, numberOption } from "#daemon/command/options";
import { GOOD, SAYS_NO, type Verb, write, writeJson } from "#daemon/command/output";

const VERB = "plan effective";

const OPTIONS = {
  ...CASE_OPTIONS,
  furnace: { type: "string" },
  "fastest-climb": { type: "string" },
  material: { type: "string" },
  "activation-energy": { type: "string" },
  json: { type: "boolean" },
} as const;

/**
 * `bakeside plan effective CARD.json [--framework zirconia] [--size large] [--bake second] [--furnace ID]
 * [--fastest-climb K/min] [--material M.json] [--activation-energy J/mol] [--json]`: exit code 1 when the card
 * refuses, or the plan that it gives cannot be fired.
 */
export const run: Verb = async (args, out) => {
  const { values, positionals } = callOptions(VERB, args, OPTIONS, ["CARD.json"]);
  const bakeCase = caseOption(VERB, values);
  const furnaceId = values.furnace ?? null;
  const fastest = values["fastest-climb"];
  const fastestClimbKelvinPerMinute =
    fastest === undefined ? null : numberOption(VERB, "fastest-climb", fastest, { from: 0.1, to: 500 });
  const read = await readCardFile(positionals[0] ?? "");
  const material = values.material === undefined ? read.material : await readMaterialFile(values.material);
  const energy = energyOption(VERB, values["activation-energy"], material?.activationEnergyJoulesPerMole);
  const { card } = read;
  const settings: WorthSettings = { activationEnergyJoulesPerMole: energy, material };
  const effective = effectivePlan(card, bakeCase, furnaceId);
  const knowledge = { card, bakeCase, material, fastestClimbKelvinPerMinute };
  const fitted: FittedCard = {
    card,
    bakeCase,
    furnaceId,
    material,
    activationEnergyJoulesPerMole: energy,
    effective,
    findings: effective.ok ? caseFindings(effective.plan, knowledge) : [],
    effects: adaptationEffects(card, bakeCase, furnaceId, settings),
  };
  if (values.json) await writeJson(out, fittedJson(fitted));
  else await write(out, effectiveText(fitted));
  return isFirable(fitted) ? GOOD : SAYS_NO;
};

function fittedJson(fitted: FittedCard): object {
  const { card, bakeCase, furnaceId, material, effective, findings, effects } = fitted;
  return {
    name: card.plan.name,
    case: bakeCase,
    furnaceId,
    isFirable: isFirable(fitted),
    refusals: effective.ok ? [] : effective.refusals,
    plan: effective.ok ? effective.plan : null,
    sources: effective.ok ? effective.sources : [],
    findings,
    heatWork: {
      referenceCelsius: topCelsius(card.plan),
      activationEnergyJoulesPerMole: fitted.activationEnergyJoulesPerMole,
      material: material?.name ?? null,
    },
    effects: effects && {
      base: effects.base,
      steps: effects.steps.map((step) => ({ ...step, ratios: worthRatios(step.before, step.after) })),
      effective: effects.effective,
      ratios: worthRatios(effects.base, effects.effective),
    },
  };
}
