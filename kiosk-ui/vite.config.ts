import { fileURLToPath } from "node:url";
import { defineConfig, type Plugin } from "vite";

/**
 * Styles and markup stand in template literals, which no minifier touches: comments on lines of their own and
 * indentation, which mean nothing to a browser, are taken away before, and from styles the line ends, too.
 */
const withoutIndentation: Plugin = {
  name: "without-indentation",
  apply: "build",
  enforce: "pre",
  transform: (code, id) =>
    /\/kiosk-ui\/.*\.ts$/.test(id)
      ? {
          code: packedStyles(code.replace(/^[ \t]*\/\*[\s\S]*?\*\/$/gm, "").replace(/\n\s+/g, "\n")),
          map: null,
        }
      : null,
};

/** What ends a rule, a declaration or a selector needs no line of its own, and a name no space before its value. */
function packedStyles(code: string): string {
  return code.replace(/\bcss`[^`]*`/g, (styles) =>
    styles
      .replace(/ *([{};,])\n/g, "$1")
      .replace(/\n}/g, "}")
      .replace(/ \{/g, "{")
      .replace(/^([\w-]+): /gm, "$1:")
      .replace(/([{;])([\w-]+): /g, "$1$2:")
      .replace(/;}/g, "}"),
  );
}

/**
 * Every zod schema carries the way to turn itself into a JSON schema, which no page ever asks for: what it
 * would do that with is left out, and says so if it is called all the same.
 */
const withoutJsonSchemas: Plugin = {
  name: "without-json-schemas",
  apply: "build",
  transform(code, id) {
    if (!/\/zod\/v4\/core\/to-json-schema\.js$/.test(id)) return null;
    const names = [...code.matchAll(/^export (?:const|function|async function) (\w+)/gm)].map(
      ([, name]) => name,
    );
    const leftOut = names.map((name) => `export const ${name} = leftOut;`).join("\n");
    const said = "JSON schemas are left out of the page: see kiosk-ui/vite.config.ts";
    return {
      code: `function leftOut() { throw new Error(${JSON.stringify(said)}); }\n${leftOut}`,
      map: null,
    };
  },
};

const ENTRY = fileURLToPath(new URL("./kiosk-app.ts", import.meta.url));

/** What a build tells of a module: all that a chunk's name needs. */
interface BuiltModules {
  getModuleInfo(id: string): { readonly importedIds: readonly string[] } | null;
}

/**
 * All that Now needs at once is one file: split by who else uses a part, it would be fifteen small ones, which
 * pack worse.
 */
function firstLoad(): (id: string, modules: BuiltModules) => string | null {
  let atOnce: Set<string> | null = null;
  return (id, modules) => {
    atOnce ??= reachedAtOnce(modules);
    return atOnce.has(id) && id !== ENTRY ? "now" : null;
  };
}

/** The page's entry and, over and over, what that imports without waiting. */
function reachedAtOnce(modules: BuiltModules): Set<string> {
  const reached = new Set([ENTRY]);
  for (const id of reached)
    for (const imported of modules.getModuleInfo(id)?.importedIds ?? []) reached.add(imported);
  return reached;
}

export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  base: "./",
  resolve: { conditions: ["source", "module", "browser", "development|production"] },
  plugins: [withoutIndentation, withoutJsonSchemas],
  cacheDir: "../node_modules/.vite-kiosk",
  build: {
    outDir: "../dist/kiosk-ui",
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0,
    // every browser that knows the target knows modulepreload
    modulePreload: { polyfill: false },
    rolldownOptions: { output: { codeSplitting: { groups: [{ debugName: "now", name: firstLoad() }] } } },
    // which file imports which, for the size budget
    manifest: true,
  },
});
