import { planFindings } from "#core/plan/findings";
import { DaemonError } from "#daemon/errors";
import { fileText, parsedJson } from "#daemon/input";
import { type Plan, planSchema } from "#shared/plan";

const MOST_PLAN_BYTES = 256 * 1024;

/**
 * A plan from a JSON file, as the schema of `bakeside plan schema` has it.
 * @throws DaemonError in one line when the file cannot be read or is no plan
 */
export async function readPlanFile(path: string): Promise<Plan> {
  const text = await fileText(path, MOST_PLAN_BYTES);
  return parsedJson(planSchema, text.replace(/^\uFEFF/, ""), path);
}

/**
 * The same, for whoever needs a plan that can be fired.
 * @throws DaemonError also when a finding refuses it
 */
export async function readFirablePlanFile(path: string): Promise<Plan> {
  const plan = await readPlanFile(path);
  const refused = planFindings(plan).find((finding) => finding.refuses);
  if (refused) throw new DaemonError("input-refused", `${path} cannot be fired: ${refused.sentence}`);
  return plan;
}
