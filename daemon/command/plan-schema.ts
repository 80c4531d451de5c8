import { z } from "zod";
import { GOOD, type Verb, writeJson } from "#daemon/command/output";
import { planSchema } from "#shared/plan";

/** `bakeside plan schema` */
export const run: Verb = async (_args, out) => {
  await writeJson(out, planJsonSchema());
  return GOOD;
};

/** How a plan is written, as JSON Schema: what has a default may be left out. */
export function planJsonSchema(): object {
  const { $schema, ...schema } = z.toJSONSchema(planSchema, { io: "input" });
  return { $schema, $id: "urn:bakeside:plan:1", title: "Bakeside plan", ...schema };
}
