import type { Writable } from "node:stream";
import { comparison } from "#core/compare/comparison";
import { findingSentence, type TemperatureUnit } from "#core/compare/finding-words";
import { topCelsius } from "#core/plan/plan";
import { median } from "#core/statistics/median";
import { faultSentence, firstLook } from "#core/thermocouple/fault-words";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { type SensorFault, sensorFaults } from "#core/thermocouple/sensor-faults";
import { probeBudget } from "#core/thermocouple/uncertainty";
import { typeThatFits } from "#core/thermocouple/wrong-type";
import type { Trace } from "#core/trace/trace";
import { energyOption } from "#daemon/command/energy-option";
import type { Judged } from "#daemon/command/judged";
import { callOptions, wrongCall } from "#daemon/command/options";
import { GOOD, SAYS_NO, type Verb, write, writeJson } from "#daemon/command/output";
import { readFirablePlanFile } from "#daemon/command/plan-file";
import { PROBE_OPTIONS, probeOption } from "#daemon/command/thermocouple-options";
import { readTraceFile, type TraceFile, type TraceSettings } from "#daemon/command/trace-file";
import { traceSettings } from "#daemon/command/trace-options";
import { verdictText } from "#daemon/command/verdict-text";
import { ended } from "#daemon/measuring/fault-count";
import type { Plan } from "#shared/plan";

const OPTIONS = {
  plan: { type: "string" },
  json: { type: "boolean" },
  fahrenheit: { type: "boolean" },
  "activation-energy": { type: "string" },
  cold: { type: "string" },
  from: { type: "string" },
  ...PROBE_OPTIONS,
} as const;

/**
 * `bakeside judge TRACE.csv --plan PLAN.json [--json] [--fahrenheit] [--activation-energy J/mol]`, for a column
 * in mV with `--type S [--cold 24] [--from mv]`, and what is known of the probe: `--class iec-2`, `--accuracy`,
 * `--resolution`, `--cold-accuracy`, `--position` in ± K. Exit code 1 when a finding or a fault of the
 * thermocouple needs a person. `--fahrenheit` changes what people read, not the JSON's numbers.
 */
export const run: Verb = async (args, out, notes) => {
  const { values, positionals } = callOptions("judge", args, OPTIONS, ["TRACE.csv"]);
  if (values.plan === undefined) throw wrongCall("judge", "--plan PLAN.json is missing");
  const activationEnergyJoulesPerMole = energyOption("judge", values["activation-energy"]);
  const unit: TemperatureUnit = values.fahrenheit ? "fahrenheit" : "celsius";
  const tracePath = positionals[0] ?? "";
  const probe = probeOption("judge", values);
  const settings = traceSettings("judge", probe?.type ?? null, values.cold, values.from);
  const plan = await readFirablePlanFile(values.plan);
  const file = await readTraceFile(tracePath, settings);
  if (values.cold !== undefined && file.signal === "celsius")
    throw wrongCall("judge", `--cold is for a column in mV, and ${tracePath} was read by its temperatures`);
  const judged: Judged = {
    plan,
    file,
    comparison: comparison(plan, file.trace, {
      activationEnergyJoulesPerMole,
      isFinished: true,
      probe,
    }),
    sensorFaults: faultsOf(plan, file, settings.type),
    budget: probe && probeBudget(probe, topCelsius(plan), usualColdJunctionCelsius(file.trace)),
  };
  await noteRemarks(notes, tracePath, file, settings);
  if (values.json) await writeJson(out, verdictJson(judged, unit));
  else await write(out, verdictText(judged, unit));
  const all = [...judged.comparison.findings, ...judged.sensorFaults];
  return all.some(({ needsPerson }) => needsPerson) ? SAYS_NO : GOOD;
};

/** What was wrong with the thermocouple and its adapter; the record is over, so nothing of it lasts. */
function faultsOf(plan: Plan, file: TraceFile, type: ThermocoupleType | null): readonly SensorFault[] {
  const misfit = type && typeThatFits(plan, file.trace, type);
  return ended([...sensorFaults(file.heard, type), ...(misfit ? [misfit] : [])]);
}

/** The median; undefined where the trace has none. */
function usualColdJunctionCelsius(trace: Trace): number | undefined {
  const celsius = trace.flatMap(({ coldJunctionCelsius }) => coldJunctionCelsius ?? []);
  return celsius.length > 0 ? median(celsius) : undefined;
}

function verdictJson(
  { plan, file, comparison, sensorFaults, budget }: Judged,
  unit: TemperatureUnit,
): object {
  return {
    plan: plan.name,
    samples: file.trace.length,
    missingReadings: file.missingReadings,
    signal: file.signal,
    ...comparison,
    findings: comparison.findings.map((finding) => ({
      ...finding,
      sentence: findingSentence(finding, unit),
    })),
    sensorFaults: sensorFaults.map((fault) => ({
      ...fault,
      sentence: faultSentence(fault, unit),
      firstLook: firstLook(fault.kind),
    })),
    uncertaintyBudget: budget,
  };
}

async function noteRemarks(
  notes: Writable,
  path: string,
  { missingReadings, hasOtherSignal }: TraceFile,
  { type, signal }: TraceSettings,
): Promise<void> {
  const { count, firstLine } = missingReadings;
  if (count > 0)
    await write(
      notes,
      `${path}: ${count} row(s) without a reading, the first in line ${firstLine}: taken as not measured\n`,
    );
  if (hasOtherSignal && type !== null && signal === null)
    await write(notes, `${path}: judged by its temperatures; --from mv takes the column in mV instead\n`);
}
