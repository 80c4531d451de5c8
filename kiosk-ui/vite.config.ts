import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  base: "./",
  resolve: { conditions: ["source", "module", "browser", "development|production"] },
  cacheDir: "../node_modules/.vite-kiosk",
  build: { outDir: "../dist/kiosk-ui", emptyOutDir: true, target: "es2022", assetsInlineLimit: 0 },
});
