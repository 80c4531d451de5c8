import { existsSync, readdirSync } from "node:fs";
import { build } from "./build.mjs";
import { prepare } from "./prepare.mjs";
import {
  canRun,
  endingSignal,
  installDebianPackages,
  main,
  mayInstallDebianPackages,
  Refusal,
  runPackage,
} from "./run.mjs";

const VITEST = ["run", "--config", "tests/vitest.config.ts"];
const CHROMIUMS = ["chromium", "chromium-browser"];
const CHROMIUM_HINT = "apt-get install -y chromium";

/**
 * Everything that has to pass, from a fresh clone. With a word (`npm test -- heat`) only the tests whose
 * path holds it. With `--no-install` what is missing is named instead of installed.
 */
await main(async (args) => {
  const mayInstall = !args.includes("--no-install");
  const filters = args.filter((argument) => argument !== "--no-install");
  await prepare({ mayInstall });
  return filters.length > 0 ? runFiltered(filters, mayInstall) : runAll(mayInstall);
});

async function runFiltered(filters, mayInstall) {
  const isWanted = (file) => filters.some((filter) => file.includes(filter));
  const files = readdirSync("tests", { recursive: true }).filter(isWanted);
  const needsBrowser = files.some((file) => file.startsWith("journeys"));
  if (needsBrowser) await chromium(mayInstall);
  if (needsBrowser || files.some((file) => file.includes("size-budget"))) {
    const built = await build();
    if (built !== 0) return built;
  }
  return runPackage("vitest", [...VITEST, ...filters]);
}

async function runAll(mayInstall) {
  await chromium(mayInstall);
  const parts = [
    ["build", build],
    ["types", () => runPackage("tsc", ["-b"])],
    ["lint and format", () => runPackage("biome", ["check", "--error-on-warnings", "."])],
    ["unit tests and reference checks", () => runPackage("vitest", [...VITEST, "--project", "unit"])],
    ["browser journeys", () => runPackage("vitest", [...VITEST, "--project", "journeys"])],
  ];
  const results = [];
  for (const [name, work] of parts) {
    console.log(`\n— ${name} —`);
    const startedAt = performance.now();
    const isPassed = (await work()) === 0;
    if (endingSignal) return 1;
    results.push({ name, isPassed, seconds: (performance.now() - startedAt) / 1000 });
  }
  console.log("\nSummary");
  for (const { name, isPassed, seconds } of results)
    console.log(`  ${isPassed ? "passed" : "FAILED"}  ${seconds.toFixed(1).padStart(6)} s  ${name}`);
  return results.every(({ isPassed }) => isPassed) ? 0 : 1;
}

/** Sees that there is a headless Chromium and names it to the journeys by CHROMIUM_PATH. */
async function chromium(mayInstall) {
  const named = process.env.CHROMIUM_PATH;
  if (named && existsSync(named)) return;
  if (named) throw new Refusal(`CHROMIUM_PATH names ${named}, where there is nothing: correct or unset it.`);
  if (!chromiumPath() && mayInstall && mayInstallDebianPackages()) await installDebianPackages(["chromium"]);
  const path = chromiumPath();
  if (!path)
    throw new Refusal(
      `No Chromium found for the browser journeys: ${CHROMIUM_HINT}, or name one with CHROMIUM_PATH.`,
    );
  process.env.CHROMIUM_PATH = path;
}

function chromiumPath() {
  const folders = (process.env.PATH ?? "").split(":");
  return CHROMIUMS.flatMap((name) => folders.map((folder) => `${folder}/${name}`)).find(
    (path) => existsSync(path) && canRun(path),
  );
}
