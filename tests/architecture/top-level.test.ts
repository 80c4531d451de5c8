import { readdirSync } from "node:fs";
import { basename } from "node:path";
import { describe, expect, it } from "vitest";
import { filesIn, projectRoot, SHIPPED_FOLDERS } from "#tests/architecture/source-files";

const ALLOWED = [
  "README.md",
  "DEVELOPERS.md",
  "LICENSE",
  "package.json",
  "package-lock.json",
  "tsconfig.json",
  "tests",
  ...SHIPPED_FOLDERS,
  // Made by npm and by the build, never kept.
  "node_modules",
  "dist",
];

const NAMES_THAT_SAY_NOTHING = /^(utils?|helpers?|common|types|index|misc|lib)\.(c?ts|mjs)$/;

describe("the project", () => {
  it("has nothing at its top level but what everybody knows", () => {
    expect(strangers(readdirSync(projectRoot))).toEqual([]);
  });

  it("has no file named after nothing", () => {
    expect([...SHIPPED_FOLDERS, ".scripts"].flatMap(filesIn).filter(saysNothing)).toEqual([]);
  });

  it("would notice a stranger", () => {
    expect(strangers(["core", ".biome.json", "vite.config.ts"])).toEqual(["vite.config.ts"]);
    expect(["core/units.ts", "core/heat/utils.ts", "daemon/index.ts"].filter(saysNothing)).toEqual([
      "core/heat/utils.ts",
      "daemon/index.ts",
    ]);
  });
});

function strangers(names: readonly string[]): string[] {
  return names.filter((name) => !name.startsWith(".") && !ALLOWED.includes(name));
}

function saysNothing(path: string): boolean {
  return NAMES_THAT_SAY_NOTHING.test(basename(path));
}
