import { execFile } from "node:child_process";
import { promisify } from "node:util";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { FIXED_POINTS } from "#core/upkeep/fixed-points";
import { type Check, checkListSchema } from "#shared/check";
import { endPrograms, type Served, served } from "#tests/helpers/built-program";
import { temporaryFolder } from "#tests/helpers/call";
import { type KioskStub, startKioskStub } from "#tests/helpers/kiosk-stub";
import { KioskPage, openBrowser } from "#tests/journeys/kiosk-page";

const exec = promisify(execFile);
const FURNACE = "Demo furnace 1";

let browser: Browser;
let kiosk: KioskPage;
let isBroken = false;

beforeAll(async () => {
  const build = ["node_modules/.test-build-lock", process.execPath, ".scripts/build.mjs"];
  await exec("flock", build, { env: { ...process.env, NODE_ENV: "production" } });
  browser = await openBrowser();
}, 240_000);
afterAll(() => browser.close());

beforeEach(({ skip, onTestFailed }) => {
  skip(isBroken, "a step before this one failed");
  onTestFailed(() => {
    isBroken = true;
  });
});

const seen = (text: string | RegExp) =>
  kiosk.page.getByText(text).filter({ visible: true }).first().waitFor();

/** Types a number on the keys of the field that is open, each once the one before stands there. */
async function typed(digits: string): Promise<void> {
  const keys = kiosk.page.getByRole("dialog");
  for (const [index, digit] of [...digits].entries()) {
    await kiosk.tapButton(digit, keys);
    await keys
      .getByText(digits.slice(0, index + 1))
      .first()
      .waitFor();
  }
  await kiosk.tapButton("Done", keys);
  await keys.waitFor({ state: "hidden" });
}

describe("a furnace's checks by touch, at the real daemon", () => {
  const data = temporaryFolder();
  let daemon: Served;

  beforeAll(async () => {
    daemon = await served(data.path, ["--demo", "--speed", "20", "--seed", "1"]);
    kiosk = await KioskPage.open(browser, `${daemon.address}#upkeep`);
  });
  afterAll(async () => {
    await kiosk.close();
    daemon.child.kill("SIGTERM");
    await daemon.end;
    endPrograms();
    data.remove();
  });

  async function checks(): Promise<readonly Check[]> {
    const response = await fetch(new URL("/api/furnaces/furnace-1/checks", daemon.address));
    return checkListSchema.parse(await response.json()).checks;
  }

  it("opens a furnace's page, where nothing is known of the probe", async () => {
    await kiosk.tapButton(`Open ${FURNACE}`);
    await seen("No check yet");
    expect(await kiosk.faults("furnace-page")).toEqual([]);
  });

  it("keeps what is set of the probe", async () => {
    await kiosk.tapButton("Probe settings");
    await kiosk.tapButton("S");
    await kiosk.tapButton("IEC class 2");
    await kiosk.tapButton(/^Adapter, accuracy ±: .*Type it$/);
    expect(await kiosk.faults("number-keys")).toEqual([]);
    await typed("1.5");
    expect(await kiosk.faults("probe-settings")).toEqual([]);
    await kiosk.tapButton("Save");
    await seen("type S, IEC class 2");
  });

  it("prints the uncertainty, and nothing else, on one sheet", async () => {
    await kiosk.tapButton("Uncertainty");
    await seen("Thermocouple, tolerance when new");
    expect(await kiosk.faults("uncertainty")).toEqual([]);
    await kiosk.page.emulateMedia({ media: "print" });
    expect(await kiosk.page.locator("kiosk-app").isVisible()).toBe(false);
    const sheet = await kiosk.page.locator("#print-sheet").textContent();
    expect(sheet).toContain(FURNACE);
    expect(sheet).toContain("GUM (JCGM 100:2008)");
    expect(sheet).toContain("Name, signature, date");
    for (const format of ["A4", "Letter"]) expect(pagesOf(await kiosk.page.pdf({ format }))).toBe(1);
    await kiosk.page.emulateMedia({ media: "screen" });
    await kiosk.tapButton("Back");
    await kiosk.tapButton("Probe settings");
    expect(await kiosk.page.locator("#print-sheet").count()).toBe(0);
    await kiosk.tapButton("Cancel");
  });

  it("takes a wire by hand, says what it comes to, and keeps it without changing a reading", async () => {
    await kiosk.tapButton("Melting wire");
    expect(await kiosk.faults("wire")).toEqual([]);
    await kiosk.tapButton("Enter by hand");
    await kiosk.tapButton(/^Uncorrected reading when it melted: .*Type it$/);
    await typed("964.9");
    await seen("The probe reads 3.1 K too high");
    expect(await kiosk.faults("wire-by-hand")).toEqual([]);
    await kiosk.tapButton("Save");
    await seen("Readings will be lowered by 3.1 K from the next bake on.");
    expect(await kiosk.faults("check-kept")).toEqual([]);
    const [check] = await checks();
    expect(check?.accepted).toBeNull();
    expect(check?.result.worstDifferenceKelvin).toBeCloseTo(964.9 - FIXED_POINTS.silver.celsius, 9);
  });

  it("makes it the correction only by an act of its own", async () => {
    await kiosk.tapButton(/^Accept as this probe’s correction/);
    await kiosk.tapButton("Yes, correct");
    await seen("It corrects this probe now.");
    expect((await checks())[0]?.accepted).not.toBeNull();
    await kiosk.tapButton("Back");
    await seen(/^Corrected by −3\.1.K since the silver wire of .*, today\.$/);
    expect(await kiosk.faults("furnace-page-corrected")).toEqual([]);
  });

  it("takes a reading beside a reference's", async () => {
    await kiosk.tapButton("Reference");
    await kiosk.tapButton(/^Add a point: reads/);
    await kiosk.tapButton(/^Point 1: Reference reads/);
    await typed("400");
    expect(await kiosk.faults("reference")).toEqual([]);
    await kiosk.tapButton("Save");
    await kiosk.page.getByRole("heading", { name: "Reference, 1 point" }).waitFor();
    const [check] = await checks();
    expect(check?.request.kind).toBe("reference");
    await kiosk.tapButton("Back");
  });

  it("sets when the next is due, and keeps it over a reload", async () => {
    await kiosk.tapButton("1 month");
    await seen(/^Check due .*, in 30 days\.$/);
    await kiosk.page.reload();
    await kiosk.button(`Open ${FURNACE}`).waitFor();
    await seen(/^Check due .*, in 30 days\.$/);
    expect(await kiosk.faults("upkeep")).toEqual([]);
    expect(kiosk.errors).toEqual([]);
    expect(kiosk.strangers).toEqual([]);
  });
});

describe("a melting wire watched in an open bake", () => {
  let stub: KioskStub;
  beforeAll(async () => {
    isBroken = false;
    stub = await startKioskStub({ scene: "melting", atSeconds: 600, speed: 0, hasChecks: true });
    kiosk = await KioskPage.open(browser, `${stub.address}#upkeep`);
  });
  afterAll(async () => {
    await kiosk.close();
    await stub.close();
  });

  it("is guided: a slow climb is right", async () => {
    await kiosk.tapButton("Open Furnace 1");
    await kiosk.tapButton("Melting wire");
    await kiosk.tapButton("The wire is in: watch");
    await seen("Good. Watch the wire.");
    expect(await kiosk.faults("wire-watched")).toEqual([]);
  });

  it("is found by keys: the heading first, then what can be done", async () => {
    await kiosk.page.reload();
    await press("Open Furnace 1");
    await press("Melting wire");
    expect(await focused()).toBe("Melting wire on Furnace 1");
    await press("The wire is in: watch");
    await seen("Good. Watch the wire.");
  });

  it("shows the plateau once the reading has caught up, and takes its temperature without the correction", async () => {
    stub.growTo(1000);
    await kiosk.button("Use the plateau").waitFor();
    expect(await kiosk.faults("wire-plateau")).toEqual([]);
    await kiosk.tapButton("Use the plateau");
    await seen(/^The probe reads .* too low$/);
    await kiosk.tapButton("Save");
    await kiosk.page.getByRole("heading", { name: "Silver wire" }).waitFor();
    await seen(/^In vacuum\. Plateau at /);
    expect(kiosk.errors).toEqual([]);
  });
});

/** Goes to a button by Tab alone and presses it. */
async function press(name: string): Promise<void> {
  const button = kiosk.button(name);
  await button.waitFor();
  for (let tabs = 0; !(await button.evaluate((element) => element.matches(":focus"))); tabs++) {
    expect(tabs, `tabs to ${name}`).toBeLessThan(30);
    await kiosk.page.keyboard.press("Tab");
  }
  await kiosk.page.keyboard.press("Enter");
}

/** What has the focus, through every shadow root. */
async function focused(): Promise<string> {
  let words = "";
  await kiosk.until("a heading with the focus", async () => {
    words = await kiosk.page.evaluate(() => {
      let element = document.activeElement;
      while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
      return element?.localName === "h1" ? (element.textContent ?? "") : "";
    });
    return words.startsWith("Melting wire");
  });
  return words;
}

/** How many pages a PDF has, by its own count. */
function pagesOf(pdf: Buffer): number {
  return Number(
    /\/Type \/Pages\s+\/Count (\d+)|\/Count (\d+)/.exec(pdf.toString("latin1"))?.slice(1).find(Boolean),
  );
}
