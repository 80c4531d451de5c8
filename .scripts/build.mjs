import { createHash } from "node:crypto";
import {
  chmodSync,
  copyFileSync,
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { dirname, extname, join } from "node:path";
import { isMain, main, root, runPackage } from "./run.mjs";

const NODE_FOLDERS = ["core", "shared", "daemon", "simulators"];
const KIOSK_FOLDERS = ["core", "shared", "kiosk-ui"];
const SETTINGS = ["tsconfig.json", "package.json", "package-lock.json"];
const ENTRY = "dist/daemon/bakeside.cjs";
const KIOSK_PAGE = "dist/kiosk-ui/index.html";
const STAMP = "dist/.sources.json";

/** Builds what changed since the last build; returns 0, or the code of the step that failed. */
export async function build() {
  process.chdir(root);
  const stamp = existsSync(STAMP) ? JSON.parse(readFileSync(STAMP, "utf8")) : {};
  const sources = { node: fingerprint(NODE_FOLDERS), kiosk: fingerprint(KIOSK_FOLDERS) };
  if (stamp.node !== sources.node || !existsSync(ENTRY)) {
    console.log("Building the daemon");
    const code = await buildNode();
    if (code !== 0) return code;
    keep(stamp, { node: sources.node });
  }
  if (stamp.kiosk !== sources.kiosk || !existsSync(KIOSK_PAGE)) {
    console.log("Building the kiosk");
    const code = await runPackage(
      "vite",
      ["build", "--config", "kiosk-ui/vite.config.ts", "--logLevel", "warn"],
      { env: { ...process.env, NODE_ENV: "production" } },
    );
    if (code !== 0) return code;
    keep(stamp, { kiosk: sources.kiosk });
  }
  linkCommand();
  return 0;
}

/** Content of every source, by path, so that a changed, new or deleted file shows. */
function fingerprint(folders) {
  const hash = createHash("sha256");
  for (const file of [...SETTINGS, ...folders.flatMap(filesIn)])
    hash.update(`${file}\0`).update(readFileSync(file)).update("\0");
  return hash.digest("hex");
}

async function buildNode() {
  for (const folder of NODE_FOLDERS) removeOrphans(folder);
  if (!existsSync(ENTRY))
    for (const folder of NODE_FOLDERS) rmSync(`dist/${folder}/tsconfig.tsbuildinfo`, { force: true });
  const code = await runPackage("tsc", ["-b", ...NODE_FOLDERS]);
  if (code === 0) copyAssets();
  return code;
}

/** The compiler leaves the output of deleted sources behind; a stale file could still be imported. */
function removeOrphans(folder) {
  if (!existsSync(`dist/${folder}`)) return;
  for (const output of filesIn(`dist/${folder}`)) {
    const source = output.slice("dist/".length).replace(/(\.d)?\.(c?)[jt]s(\.map)?$/, ".$2ts");
    if (!output.endsWith(".tsbuildinfo") && !existsSync(source)) rmSync(output);
  }
}

/** What the daemon reads at run time beside its own code: migrations and the like. */
export function copyAssets() {
  for (const file of NODE_FOLDERS.flatMap(filesIn)) {
    if ([".ts", ".cts", ".md"].includes(extname(file)) || file.endsWith("tsconfig.json")) continue;
    mkdirSync(dirname(`dist/${file}`), { recursive: true });
    copyFileSync(file, `dist/${file}`);
  }
}

function keep(stamp, part) {
  Object.assign(stamp, part);
  writeFileSync(STAMP, `${JSON.stringify(stamp)}\n`);
}

/** Lets `npx bakeside` find the command inside the project; `npm ci` takes the link away. */
function linkCommand() {
  chmodSync(ENTRY, 0o755);
  const link = "node_modules/.bin/bakeside";
  if (lstatSync(link, { throwIfNoEntry: false })) return;
  symlinkSync(`../../${ENTRY}`, link);
}

function filesIn(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath ?? entry.path, entry.name))
    .sort();
}

if (isMain(import.meta.url)) await main(build);
