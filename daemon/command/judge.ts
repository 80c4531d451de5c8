import type { Writable } from "node:stream";
import { type Comparison, comparison } from "#core/compare/comparison";
import { findingSentence, type TemperatureUnit } from "#core/compare/finding-words";
import { DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE } from "#core/heat/heat-work";
import { callOptions, numberOption, wrongCall } from "#daemon/command/options";
import { GOOD, SAYS_NO, type Verb, write, writeJson } from "#daemon/command/output";
import { readFirablePlanFile } from "#daemon/command/plan-file";
import { readTraceFile, type TraceFile } from "#daemon/command/trace-file";
import { verdictText } from "#daemon/command/verdict-text";
import type { Plan } from "#shared/plan";

const OPTIONS = {
  plan: { type: "string" },
  json: { type: "boolean" },
  fahrenheit: { type: "boolean" },
  "activation-energy": { type: "string" },
} as const;

/**
 * `bakeside judge TRACE.csv --plan PLAN.json [--json] [--fahrenheit] [--activation-energy J/mol]`
 * Exit code 1 when a finding needs a person. `--fahrenheit` changes what people read, not the JSON's numbers.
 */
export const run: Verb = async (args, out, notes) => {
  const { values, positionals } = callOptions("judge", args, OPTIONS, ["TRACE.csv"]);
  if (values.plan === undefined) throw wrongCall("judge", "--plan PLAN.json is missing");
  const activationEnergyJoulesPerMole = activationEnergy(values["activation-energy"]);
  const unit: TemperatureUnit = values.fahrenheit ? "fahrenheit" : "celsius";
  const tracePath = positionals[0] ?? "";
  const plan = await readFirablePlanFile(values.plan);
  const file = await readTraceFile(tracePath);
  const judged = comparison(plan, file.trace, { activationEnergyJoulesPerMole, isFinished: true });
  await noteMissing(notes, tracePath, file);
  if (values.json) await writeJson(out, verdictJson(plan, file, judged, unit));
  else await write(out, verdictText(plan, file.trace, judged, unit));
  return judged.findings.some((finding) => finding.needsPerson) ? SAYS_NO : GOOD;
};

/** In J/mol; a number so small that it can only be meant in kJ/mol is refused rather than guessed. */
function activationEnergy(text: string | undefined): number {
  if (text === undefined) return DEFAULT_ACTIVATION_ENERGY_JOULES_PER_MOLE;
  return numberOption("judge", "activation-energy", text, { from: 1_000, to: 2_000_000 });
}

function verdictJson(plan: Plan, file: TraceFile, judged: Comparison, unit: TemperatureUnit): object {
  return {
    plan: plan.name,
    samples: file.trace.length,
    missingReadings: file.missingReadings,
    ...judged,
    findings: judged.findings.map((finding) => ({ ...finding, sentence: findingSentence(finding, unit) })),
  };
}

async function noteMissing(notes: Writable, path: string, { missingReadings }: TraceFile): Promise<void> {
  const { count, firstLine } = missingReadings;
  if (count > 0)
    await write(
      notes,
      `${path}: ${count} row(s) without a reading, the first in line ${firstLine}: taken as not measured\n`,
    );
}
