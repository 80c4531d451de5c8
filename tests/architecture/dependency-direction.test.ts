import { describe, expect, it } from "vitest";
import { SHIPPED_FOLDERS, type SourceFile, sourcesIn } from "#tests/architecture/source-files";

/** Small, well-kept numeric libraries that `core` may import, each with its reason; none so far. */
const NUMERIC_LIBRARIES: Readonly<Record<string, string>> = {};

/** What a folder may import besides itself; packages are listed only where they are restricted. */
const MAY_IMPORT: Readonly<
  Record<string, { readonly folders: readonly string[]; readonly packages?: readonly string[] }>
> = {
  core: { folders: [], packages: Object.keys(NUMERIC_LIBRARIES) },
  shared: { folders: [], packages: ["zod"] },
  daemon: { folders: ["core", "shared"] },
  "kiosk-ui": { folders: ["core", "shared"] },
  simulators: { folders: ["core", "shared"] },
};

/** Folders without a clock, chance, or a way out. */
const PURE_FOLDERS = ["core", "shared"];

const IMPURE =
  /\b(Date|Math\.random|process|performance|crypto|setTimeout|setInterval|setImmediate|queueMicrotask|fetch|console|globalThis|require)\b/g;

describe("dependency direction", () => {
  it.each(SHIPPED_FOLDERS)("holds in %s", (folder) => {
    const sources = sourcesIn(folder);
    expect(sources.length).toBeGreaterThan(0);
    expect(sources.flatMap(violations)).toEqual([]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { planted: `import { z } from "zod";`,                              path: "core/heat/x.ts",       found: "imports the package zod" },
    { planted: `import { planSchema } from "#shared/plan";`,            path: "core/heat/x.ts",       found: "imports from shared" },
    { planted: `export { legs } from "#core/plan/plan";`,               path: "shared/x.ts",          found: "imports from core" },
    { planted: `import type { Plan } from "./plan";`,                   path: "core/plan/x.ts",       found: "imports ./plan by a relative path" },
    { planted: `import type {\n  Plan,\n} from "../plan/plan";`,        path: "core/heat/x.ts",       found: "imports ../plan/plan by a relative path" },
    { planted: `import "#kiosk-ui/kiosk-app";`,                         path: "daemon/http/x.ts",     found: "imports from kiosk-ui" },
    { planted: `const bench = await import("#simulators/main");`,       path: "daemon/main.ts",       found: "imports from simulators" },
    { planted: `import { systemClock } from "#daemon/clock";`,          path: "kiosk-ui/x.ts",        found: "imports from daemon" },
    { planted: `import { trace } from "#tests/helpers/trace";`,         path: "simulators/x.ts",      found: "imports from tests" },
    { planted: `import { readFileSync } from "node:fs";`,               path: "kiosk-ui/x.ts",        found: "imports node:fs into a page" },
    { planted: `import { readFileSync } from "node:fs";`,               path: "core/x.ts",            found: "imports the package node:fs" },
    { planted: `import { legs } from "#core/plan/plan.ts";`,            path: "daemon/x.ts",          found: "imports #core/plan/plan.ts with an extension" },
    { planted: `const now = Date.now();`,                               path: "core/heat/x.ts",       found: "uses Date" },
    { planted: `const any = Math.random();`,                            path: "shared/x.ts",          found: "uses Math.random" },
    // biome-ignore lint/suspicious/noTemplateCurlyInString: the placeholder is what is planted
    { planted: "const port = `${process.env['PORT']}`;",                path: "core/x.ts",            found: "uses process" },
    { planted: `setTimeout(() => {}, 1);`,                              path: "core/x.ts",            found: "uses setTimeout" },
    { planted: `await fetch(address);`,                                 path: "core/x.ts",            found: "uses fetch" },
  ])("finds what is planted: $path $found", ({ planted, path, found }) => {
    expect(violations({ path, text: planted })).toEqual([`${path} ${found}`]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { allowed: `import { legs } from "#core/plan/plan";`,               path: "core/heat/x.ts" },
    { allowed: `import { z } from "zod";`,                              path: "shared/x.ts" },
    { allowed: `import { readFile } from "node:fs/promises";`,          path: "daemon/x.ts" },
    { allowed: `import { html } from "lit";`,                           path: "kiosk-ui/x.ts" },
    { allowed: `// the Date comes from the daemon, import "./x" does not`, path: "core/x.ts" },
    { allowed: `/* setTimeout is not for us */`,                        path: "core/x.ts" },
    { allowed: `const word = "process";`,                               path: "core/x.ts" },
  ])("finds nothing wrong in $path: $allowed", ({ allowed, path }) => {
    expect(violations({ path, text: allowed })).toEqual([]);
  });
});

function violations({ path, text }: SourceFile): string[] {
  const folder = path.slice(0, path.indexOf("/"));
  const code = withoutComments(text);
  const found = importsOf(code).flatMap((specifier) => importViolation(folder, path, specifier) ?? []);
  if (PURE_FOLDERS.includes(folder))
    for (const [word] of withoutStrings(code).matchAll(IMPURE)) found.push(`uses ${word}`);
  return found.map((sentence) => `${path} ${sentence}`);
}

function importViolation(folder: string, path: string, specifier: string): string | undefined {
  const rule = MAY_IMPORT[folder];
  if (specifier.startsWith(".")) return `imports ${specifier} by a relative path`;
  if (!specifier.startsWith("#")) {
    if (rule?.packages && !rule.packages.includes(specifier)) return `imports the package ${specifier}`;
    const isPage = folder === "kiosk-ui" && !path.endsWith("vite.config.ts");
    return isPage && specifier.startsWith("node:") ? `imports ${specifier} into a page` : undefined;
  }
  const from = specifier.slice(1, specifier.indexOf("/"));
  if (from !== folder && !rule?.folders.includes(from)) return `imports from ${from}`;
  return /\.(c?ts|js)$/.test(specifier) ? `imports ${specifier} with an extension` : undefined;
}

function importsOf(code: string): string[] {
  const statements = code.matchAll(
    /(?:^|[;\n])\s*(?:(?:import|export)\b[\w\s{},*$]*\bfrom\s*|import\s*)["']([^"'\n]+)["']/g,
  );
  const calls = code.matchAll(/\b(?:import|require)\s*\(\s*["'`]([^"'`\n]+)["'`]/g);
  return [...statements, ...calls].flatMap(([, specifier]) => specifier ?? []);
}

/** Comments go, strings stay; `//` inside a string is no comment. */
function withoutComments(text: string): string {
  return text.replace(
    /("(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`)|\/\*[\s\S]*?\*\/|\/\/[^\n]*/g,
    (_match, literal: string | undefined) => literal ?? " ",
  );
}

/** Plain strings go; what a template computes stays. */
function withoutStrings(code: string): string {
  return code
    .replace(/"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'/g, '""')
    .replace(/`(?:[^`\\]|\\.)*`/g, (template) =>
      [...template.matchAll(/\$\{([^}]*)\}/g)].map(([, computed]) => computed).join(";"),
    );
}
