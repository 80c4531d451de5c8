import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** The project's folder. */
export const projectRoot = fileURLToPath(new URL("../..", import.meta.url));

/** The folders that are shipped. */
export const SHIPPED_FOLDERS = ["core", "shared", "daemon", "kiosk-ui", "simulators"] as const;

export interface SourceFile {
  /** From the project's folder: `core/heat/heat-work.ts`. */
  readonly path: string;
  readonly text: string;
}

/** Paths of all files in a folder of the project, from the project's folder. */
export function filesIn(folder: string): string[] {
  return readdirSync(join(projectRoot, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(projectRoot.length))
    .sort();
}

/** The TypeScript files of a folder of the project. */
export function sourcesIn(folder: string): SourceFile[] {
  return filesIn(folder)
    .filter((path) => /\.c?ts$/.test(path))
    .map((path) => ({ path, text: readFileSync(join(projectRoot, path), "utf8") }));
}
