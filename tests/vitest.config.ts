import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const conditions = ["source", "module", "node", "development|production"];

export default defineConfig({
  root: fileURLToPath(new URL("..", import.meta.url)),
  resolve: { conditions },
  ssr: { resolve: { conditions } },
  cacheDir: "node_modules/.vite-tests",
  test: {
    environment: "node",
    setupFiles: ["tests/helpers/fixed-seed.ts"],
    testTimeout: 30_000,
    hookTimeout: 60_000,
    projects: [
      {
        extends: true,
        test: {
          name: "unit",
          include: ["tests/{core,shared,daemon,kiosk-ui,simulators,architecture}/**/*.test.ts"],
          benchmark: { include: ["tests/bench/**/*.bench.ts"] },
        },
      },
      {
        extends: true,
        test: {
          name: "journeys",
          include: ["tests/journeys/**/*.test.ts"],
          benchmark: { include: [] },
          fileParallelism: false,
          testTimeout: 180_000,
        },
      },
    ],
  },
});
