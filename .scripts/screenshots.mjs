import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { build } from "./build.mjs";
import { isMain, main, Refusal } from "./run.mjs";

const PICTURE = "kiosk-ui/pictures/now.png";
const SIZE = { width: 1280, height: 800 };
/** The busy furnace of the demonstration runs the standard plan: at 20× its top is reached within a minute. */
const DEMONSTRATION = ["serve", "--demo", "--http-port", "0", "--speed", "20", "--seed", "1"];

/** Pictures for the README: the kiosk in the hold of a bake of the demonstration. */
export async function screenshots() {
  const code = await build();
  if (code !== 0) return code;
  const data = mkdtempSync(join(tmpdir(), "bakeside-pictures-"));
  const daemon = spawn(process.execPath, ["dist/daemon/bakeside.cjs", ...DEMONSTRATION, "--data", data], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  try {
    await takePicture(await addressOf(daemon));
  } finally {
    await ended(daemon);
    rmSync(data, { recursive: true, force: true });
  }
  console.log(PICTURE);
  return 0;
}

async function takePicture(address) {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM_PATH ?? "/usr/bin/chromium",
    args: ["--headless", "--no-sandbox", "--disable-gpu"],
  });
  try {
    const page = await browser.newPage({ viewport: SIZE, reducedMotion: "reduce" });
    await page.goto(address);
    const hold = page.getByRole("listitem", { name: /^Hold .*, now, [5-9]\d % done$/ });
    await hold.waitFor({ timeout: 120_000 });
    mkdirSync("kiosk-ui/pictures", { recursive: true });
    await page.screenshot({ path: PICTURE });
  } finally {
    await browser.close();
  }
}

function addressOf(daemon) {
  return new Promise((resolve, reject) => {
    daemon.stdout.on("data", (bytes) => {
      const [address] = /http:\/\/\S+/.exec(String(bytes)) ?? [];
      if (address) resolve(address);
    });
    daemon.once("close", () => reject(new Refusal("The demonstration ended before it said where it is.")));
  });
}

function ended(daemon) {
  if (daemon.exitCode !== null || daemon.signalCode !== null) return Promise.resolve();
  return new Promise((resolve) => {
    daemon.once("close", resolve);
    daemon.kill();
  });
}

if (isMain(import.meta.url)) await main(screenshots);
