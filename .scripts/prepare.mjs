import { existsSync, readFileSync } from "node:fs";
import {
  canRun,
  installDebianPackages,
  isMain,
  main,
  mayInstallDebianPackages,
  Refusal,
  root,
  run,
} from "./run.mjs";

const OLDEST_NODE = [20, 12];
const COMPILERS = ["python3", "make", "g++"];
const COMPILER_HINT = "apt-get install -y python3 make g++";
const SQLITE_BINARY = "node_modules/sqlite3/build/Release/node_sqlite3.node";

/**
 * Sees that this Node is new enough and that the packages of the lock file are installed.
 * @param mayInstall false to refuse instead of installing
 */
export async function prepare({ mayInstall = true } = {}) {
  requireNode();
  if (packagesAreFresh()) return;
  if (!mayInstall) throw new Refusal("The packages are missing or old: run npm ci.");
  await installPackages();
}

function requireNode() {
  const [major = 0, minor = 0] = process.versions.node.split(".").map(Number);
  const [oldestMajor, oldestMinor] = OLDEST_NODE;
  if (major > oldestMajor || (major === oldestMajor && minor >= oldestMinor)) return;
  throw new Refusal(
    `Node ${process.versions.node} is too old: install Node ${OLDEST_NODE.join(".")} or newer.`,
  );
}

/** True when what npm says it has installed is what the lock file asks for, with sqlite3 built. */
export function packagesAreFresh() {
  const installed = packagesOf("node_modules/.package-lock.json");
  const wanted = packagesOf("package-lock.json");
  if (!installed || !existsSync(`${root}${SQLITE_BINARY}`)) return false;
  return Object.entries(wanted ?? {}).every(
    ([path, { version, optional }]) => path === "" || optional || installed[path]?.version === version,
  );
}

function packagesOf(lockFile) {
  return existsSync(`${root}${lockFile}`)
    ? JSON.parse(readFileSync(`${root}${lockFile}`, "utf8")).packages
    : null;
}

async function installPackages() {
  const missing = COMPILERS.filter((program) => !canRun(program));
  if (missing.length > 0 && !(mayInstallDebianPackages() && (await installDebianPackages(missing))))
    console.error(`${missing.join(", ")} not found: sqlite3 may need them to be built, ${COMPILER_HINT}`);
  console.log("Installing packages; building sqlite3 takes about a minute where no built one can be fetched");
  const code = await run("npm", ["ci", "--include=dev", "--no-audit", "--no-fund"]);
  if (code === 0 && existsSync(SQLITE_BINARY)) return;
  throw new Refusal(
    missing.length > 0
      ? `The packages could not be installed: sqlite3 has to be built here, ${COMPILER_HINT}`
      : "The packages could not be installed (npm ci, above): see that the package registry can be reached and try again.",
  );
}

if (isMain(import.meta.url)) await main(() => prepare());
