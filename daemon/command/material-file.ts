import { fileText, parsedJson } from "#daemon/input";
import { type Material, materialSchema } from "#shared/material";

const MOST_MATERIAL_BYTES = 64 * 1024;

/**
 * A material from a JSON file, as the schema of `bakeside material schema` has it.
 * @throws DaemonError in one line when the file cannot be read or is no material
 */
export async function readMaterialFile(path: string): Promise<Material> {
  const text = await fileText(path, MOST_MATERIAL_BYTES);
  return parsedJson(materialSchema, text.replace(/^\uFEFF/, ""), path);
}
