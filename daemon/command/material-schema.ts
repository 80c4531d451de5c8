import * as z from "zod";
import { GOOD, type Verb, writeJson } from "#daemon/command/output";
import { materialSchema } from "#shared/material";

/** `bakeside material schema` */
export const run: Verb = async (_args, out) => {
  const { $schema, ...schema } = z.toJSONSchema(materialSchema, { io: "input" });
  await writeJson(out, { $schema, $id: "urn:bakeside:material:1", title: "Bakeside material", ...schema });
  return GOOD;
};
