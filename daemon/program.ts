import { existsSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { z } from "zod";

/** The folder of this program: the one with its package.json, whether it runs from source or from `dist`. */
export const programFolder: string = folderWithPackage(dirname(fileURLToPath(import.meta.url)));

/** The version in package.json. */
export function programVersion(): string {
  const text = readFileSync(join(programFolder, "package.json"), "utf8");
  return z.object({ version: z.string() }).parse(JSON.parse(text)).version;
}

function folderWithPackage(folder: string): string {
  const parent = dirname(folder);
  if (existsSync(join(folder, "package.json")) || parent === folder) return folder;
  return folderWithPackage(parent);
}
