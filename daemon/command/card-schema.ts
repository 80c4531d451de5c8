import * as z from "zod";
import { GOOD, type Verb, writeJson } from "#daemon/command/output";
import { cardFileSchema } from "#shared/card-file";

/** `bakeside card schema`: a card as it is carried from one kiosk to another. */
export const run: Verb = async (_args, out) => {
  const { $schema, ...schema } = z.toJSONSchema(cardFileSchema, { io: "input" });
  await writeJson(out, { $schema, $id: "urn:bakeside:card:1", title: "Bakeside card", ...schema });
  return GOOD;
};
