import { planFindings } from "#core/plan/findings";
import { planLengthSeconds } from "#core/plan/setpoint";
import { callOptions } from "#daemon/command/options";
import { GOOD, SAYS_NO, type Verb, write, writeJson } from "#daemon/command/output";
import { readPlanFile } from "#daemon/command/plan-file";

/** `bakeside plan check PLAN.json [--json]` */
export const run: Verb = async (args, out) => {
  const { values, positionals } = callOptions("plan check", args, { json: { type: "boolean" } }, [
    "PLAN.json",
  ]);
  const plan = await readPlanFile(positionals[0] ?? "");
  const findings = planFindings(plan);
  const isRefused = findings.some((finding) => finding.refuses);
  if (values.json)
    await writeJson(out, {
      name: plan.name,
      isFirable: !isRefused,
      lengthSeconds: planLengthSeconds(plan),
      findings,
    });
  else {
    const lines = findings.map(
      ({ refuses, sentence }) => `${refuses ? "refused" : "note   "}  ${sentence}\n`,
    );
    const summary = isRefused
      ? `${plan.name}: cannot be fired\n`
      : `${plan.name}: can be fired, ${minutes(planLengthSeconds(plan))} without a free cooling\n`;
    await write(out, summary + lines.join(""));
  }
  return isRefused ? SAYS_NO : GOOD;
};

function minutes(seconds: number): string {
  return `${(seconds / 60).toFixed(1)} min`;
}
