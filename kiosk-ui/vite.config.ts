import { fileURLToPath } from "node:url";
import { defineConfig, type Plugin } from "vite";

/**
 * Styles and markup stand in template literals, which no minifier touches: their indentation, which means
 * nothing to a browser, is taken away before.
 */
const withoutIndentation: Plugin = {
  name: "without-indentation",
  apply: "build",
  enforce: "pre",
  transform: (code, id) =>
    /\/kiosk-ui\/.*\.ts$/.test(id) ? { code: code.replace(/\n[ \t]+/g, "\n"), map: null } : null,
};

export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  base: "./",
  resolve: { conditions: ["source", "module", "browser", "development|production"] },
  plugins: [withoutIndentation],
  cacheDir: "../node_modules/.vite-kiosk",
  build: {
    outDir: "../dist/kiosk-ui",
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0,
    // every browser that knows the target knows modulepreload
    modulePreload: { polyfill: false },
    // which file imports which, for the size budget
    manifest: true,
  },
});
