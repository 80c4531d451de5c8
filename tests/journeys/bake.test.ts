import { execFile } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { promisify } from "node:util";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
import * as z from "zod";
import { bakeSummarySchema } from "#shared/bake";
import { sampleSchema } from "#shared/sample";
import { endPrograms, type Served, served } from "#tests/helpers/built-program";
import { temporaryFolder } from "#tests/helpers/call";
import { type Glance, KioskPage, openBrowser } from "#tests/journeys/kiosk-page";

const JOB = "4711";
/** The shortest that comes with the program: 14 to 20 minutes, so some twenty seconds at 60×. */
const PLAN = "Demo glaze in air, two climbs";
const FURNACE = "Demo furnace 1";
const exec = promisify(execFile);
const samplesSchema = z.object({ samples: z.array(sampleSchema) });
const bakesSchema = z.object({ bakes: z.array(bakeSummarySchema) });

const data = temporaryFolder();
let daemon: Served;
let browser: Browser;
let kiosk: KioskPage;

beforeAll(async () => {
  const build = ["node_modules/.test-build-lock", process.execPath, ".scripts/build.mjs"];
  await exec("flock", build, { env: { ...process.env, NODE_ENV: "production" } });
  browser = await openBrowser();
  daemon = await served(data.path, ["--demo", "--speed", "60", "--seed", "1"]);
  kiosk = await KioskPage.open(browser, daemon.address);
});

afterAll(async () => {
  await browser?.close();
  daemon?.child.kill("SIGCONT");
  endPrograms();
  await vi.waitUntil(() => processesNaming(data.path).length === 0, { timeout: 20_000 });
  data.remove();
});

let isBroken = false;

beforeEach(({ skip, onTestFailed }) => {
  skip(isBroken, "a step before this one failed");
  onTestFailed(() => {
    isBroken = true;
  });
});

describe("a bake by touch", () => {
  it("shows the bake that the demonstration begins by itself, and the way to the furnaces", async () => {
    await kiosk.page.locator("kiosk-waiting").waitFor();
    expect(await kiosk.faults("waiting")).toEqual([]);
    await kiosk.tapButton("Furnaces");
    await kiosk.page.getByRole("article", { name: FURNACE }).waitFor();
    expect(await kiosk.faults("one-busy")).toEqual([]);
  });

  it("begins with what goes in, a job number, and the plan that its card gives", async () => {
    await kiosk.tapButton("Begin", kiosk.page.getByRole("article", { name: FURNACE }));
    const begin = kiosk.page.locator("kiosk-begin");
    await begin.waitFor();
    expect(await kiosk.button("The plan").isDisabled()).toBe(true);
    await kiosk.tapButton("Zirconia", begin);
    await kiosk.tapButton("Small", begin);
    await kiosk.typeNumber(JOB, begin, begin.locator("#job"));
    await begin.getByText(`Job ${JOB} is new here: its first bake.`).waitFor();
    await kiosk.tapButton("Demo colour glaze", begin);
    expect(await kiosk.faults("begin-case")).toEqual([]);
    await kiosk.tapButton("The plan");
    await begin.locator("kiosk-fitted-plan").getByRole("heading", { name: PLAN }).waitFor();
    await begin.getByText("Set these numbers on the furnace.").waitFor();
    expect(await kiosk.faults("begin-plan")).toEqual([]);
    await kiosk.tapButton("Begin");
    await begin.waitFor({ state: "hidden" });
    await kiosk.page.locator("kiosk-bake-head").getByText(`job ${JOB}`).waitFor();
  });

  it("follows stages, temperature, plan, difference and heat work, and keeps its curve whole", async () => {
    const seen: Glance[] = [];
    const watchUntil = (stage: string) =>
      kiosk.until(stage, async () => {
        const glance = await kiosk.glance();
        if (glance) seen.push(glance);
        return glance?.stage.startsWith(`${stage}, now`) === true;
      });
    await kiosk.page.locator("kiosk-running").waitFor();
    await watchUntil("Climb to 600");
    expect(await kiosk.faults("running")).toEqual([]);
    await expectWholeCurve();
    await kiosk.tapButton(/^Demo furnace 2 /);
    await runningOn("Demo furnace 2").waitFor();
    await expectWholeCurve("furnace-2");
    await kiosk.tapButton(new RegExp(`^${FURNACE} `));
    await runningOn(FURNACE).waitFor();

    await kiosk.page.reload();
    await lookAtFurnace();
    await expectWholeCurve();

    await kiosk.go("Plans");
    await kiosk.page.locator("kiosk-plans").waitFor();
    await kiosk.tapButton(new RegExp(`^${FURNACE}`));
    await watchUntil("Climb to 730");
    await expectWholeCurve();
    await watchUntil("Cooling");

    const stages = [...new Set(seen.map(({ stage }) => stage.replace(/, now.*/, "")))];
    expect(stages).toEqual(expect.arrayContaining(["Climb to 600", "Climb to 730", "Cooling"]));
    for (const heading of ["stage", "temperature", "plan", "heatWork"] as const)
      expect(new Set(seen.map((glance) => glance[heading])).size, `different ${heading}`).toBeGreaterThan(3);
    const plans = seen.map(({ plan }) => plan).join("\n");
    expect(plans).toMatch(/plan \d+ ·/);
    expect(plans).toMatch(/\d+ (below|above)/);
  });

  it("ends with a verdict, and takes the grade “right”", async () => {
    const finished = kiosk.page.locator("kiosk-finished");
    await finished.waitFor();
    await finished.locator(".findings li").first().waitFor();
    expect(await finished.locator(".heat .figure").textContent()).toMatch(/^\s*\d+\s*%, \d+ to \d+\s%\s*$/);
    expect(await finished.locator(".verdict .sure").textContent()).toMatch(/5\sK are \d+\s% of it\./);
    await expectWholeCurve();
    expect(await kiosk.faults("finished")).toEqual([]);
    await kiosk.tap(finished.getByRole("radio", { name: "right" }));
    await kiosk.page.locator("kiosk-bake-head").getByText(`job ${JOB}`).waitFor({ state: "hidden" });
    expect((await bakeOfJob()).grade).toBe("right");
  });

  it("is found in Past bakes by its job number, and opened", async () => {
    await kiosk.go("Past bakes");
    const rows = kiosk.page.locator("kiosk-bake-list li.bake");
    await rows.first().waitFor();
    expect(await rows.count()).toBeGreaterThan(1);
    expect(await kiosk.faults("past")).toEqual([]);
    await kiosk.tapButton(/^Part of the job number/);
    const dialog = kiosk.page.getByRole("dialog", { name: "Part of the job number" });
    await kiosk.typeNumber(JOB.slice(1), dialog, dialog.locator("input"));
    expect(await kiosk.faults("job-number")).toEqual([]);
    await kiosk.tapButton("Look for it", dialog);
    await kiosk.until("one bake", async () => (await rows.count()) === 1);
    expect(await rows.getByText(`job ${JOB}`).count()).toBe(1);
    await kiosk.tap(rows.locator("button.open"));
    const bakePage = kiosk.page.locator("kiosk-bake-page");
    await bakePage.waitFor();
    // not "Bakes of job …", which stands below once the job's ledger has come
    expect(await bakePage.getByText(new RegExp(`(?<!of )job ${JOB}`)).count()).toBe(1);
    expect(await bakePage.getByRole("radio", { name: "right", checked: true }).count()).toBe(1);
    expect(await kiosk.faults("bake-page")).toEqual([]);
    await kiosk.tapButton("Back");
    await rows.first().waitFor();
  });

  it("is laid over another", async () => {
    const rows = kiosk.page.locator("kiosk-bake-list li.bake");
    await kiosk.tap(rows.locator("button.lay"));
    await kiosk.tapButton(/^Part of the job number/);
    const dialog = kiosk.page.getByRole("dialog", { name: "Part of the job number" });
    await kiosk.tapButton("Clear", dialog);
    await kiosk.tapButton("Look for it", dialog);
    await kiosk.until("several bakes", async () => (await rows.count()) > 1);
    await kiosk.tap(
      rows
        .filter({ hasText: PLAN })
        .filter({ hasNotText: `job ${JOB}` })
        .first()
        .locator("button.lay"),
    );
    await kiosk.until("two bakes chosen", () => kiosk.button("Lay over each other").isEnabled());
    await kiosk.tapButton("Lay over each other");
    const pair = kiosk.page.locator("kiosk-bake-pair");
    await pair.waitFor();
    expect(await pair.locator(".legend li").count()).toBe(2);
    expect(await pair.locator("tbody tr").count()).toBeGreaterThan(3);
    expect(await kiosk.faults("pair")).toEqual([]);
  });

  it("leads back to Now, by way of the other places", async () => {
    await kiosk.go("Plans");
    await kiosk.page.locator("kiosk-plans").waitFor();
    expect(await kiosk.faults("plans")).toEqual([]);
    await kiosk.go("Upkeep");
    await kiosk.page.locator("kiosk-upkeep").waitFor();
    expect(await kiosk.faults("upkeep")).toEqual([]);
    await kiosk.tapButton("Places");
    await kiosk.page.getByRole("dialog", { name: "Places" }).waitFor();
    expect(await kiosk.faults("places")).toEqual([]);
    await kiosk.tapButton("Cancel");
    await kiosk.go("Now");
    await kiosk.page.locator("kiosk-now").waitFor();
    const tile = kiosk.page.getByRole("article", { name: FURNACE });
    await kiosk.until("the furnaces", async () => {
      if (await kiosk.button("Later").isVisible()) await kiosk.tapButton("Later");
      return tile.isVisible();
    });
    await kiosk.until("both at rest", async () => (await kiosk.button("Begin").count()) === 2);
    expect(await kiosk.faults("idle")).toEqual([]);
    expect(kiosk.errors).toEqual([]);
  });
});

describe("a daemon that falters", () => {
  it("is noticed by the page's own clock, and heard again", async () => {
    await kiosk.tapButton("Begin", kiosk.page.getByRole("article", { name: FURNACE }));
    const begin = kiosk.page.locator("kiosk-begin");
    await begin
      .getByRole("button", { name: /^What goes in: change Small case on zirconia, first bake/ })
      .waitFor();
    await kiosk.tapButton(new RegExp(`^${PLAN}`), begin);
    await kiosk.until("Begin enabled", () => kiosk.button("Begin").isEnabled());
    await kiosk.tapButton("Begin");
    const running = kiosk.page.locator("kiosk-running");
    await running.waitFor();
    daemon.child.kill("SIGSTOP");
    const old = running.getByText(/^Last reading .+ ago$/);
    await old.waitFor();
    await running.getByText(/^(Nothing heard from this furnace for |Look at the furnace itself)/).waitFor();
    expect(await kiosk.faults("old")).toEqual([]);
    daemon.child.kill("SIGCONT");
    await old.waitFor({ state: "hidden" });
    const before = (await kiosk.curveSeconds()).length;
    await kiosk.until("more samples", async () => (await kiosk.curveSeconds()).length > before);
    await expectSameAsRecorded();
    expect(kiosk.errors).toEqual([]);
  });

  it("that is gone is said in words", async () => {
    daemon.child.kill("SIGKILL");
    await kiosk.page.getByText(/^No word from the recording program since \d+:\d\d/).waitFor();
    await kiosk.page.getByText("What you see is the last that was known.").waitFor();
    expect(await kiosk.faults("disconnected")).toEqual([]);
    expect(kiosk.strangers).toEqual([]);
  });
});

/** From the tiles, which a page shows after a reload while more than one furnace has a bake. */
async function lookAtFurnace(): Promise<void> {
  const look = kiosk.button("Look", kiosk.page.getByRole("article", { name: FURNACE }));
  const running = runningOn(FURNACE);
  await running.or(look).waitFor();
  if (await look.isVisible()) await kiosk.tap(look);
  await running.waitFor();
}

function runningOn(furnace: string) {
  return kiosk.page.locator("kiosk-running").getByRole("heading", { name: furnace });
}

/** The curve begins at the bake's first sample, has no hole, and no point twice. */
async function expectWholeCurve(furnaceId = "furnace-1"): Promise<void> {
  const seconds = await expectSameAsRecorded(furnaceId);
  const steps = seconds.slice(1).map((to, index) => to - (seconds[index] ?? 0));
  expect(Math.min(...steps)).toBeGreaterThan(0);
  expect(Math.max(...steps)).toBeLessThan(3);
}

/** The curve is what the daemon has recorded of this bake from its first sample on. */
async function expectSameAsRecorded(furnaceId = "furnace-1"): Promise<number[]> {
  const shown = await kiosk.curveSeconds();
  const { id } = await newestBake(furnaceId);
  let recorded: number[] = [];
  await kiosk.until("what is shown in the store", async () => {
    const { samples } = await answer(`/api/bakes/${id}/samples`, samplesSchema);
    recorded = samples.map(({ atSeconds }) => atSeconds);
    return recorded.length >= shown.length;
  });
  expect(shown.length).toBeGreaterThan(100);
  expect(shown).toEqual(recorded.slice(0, shown.length));
  return shown;
}

/** The newest bake of a furnace; the journey uses the first. */
async function newestBake(furnaceId = "furnace-1") {
  const { bakes } = await answer(`/api/bakes?furnaceId=${furnaceId}&limit=1`, bakesSchema);
  const [newest] = bakes;
  if (!newest) throw new Error(`There is no bake on ${furnaceId}`);
  return newest;
}

async function bakeOfJob() {
  const bake = await newestBake();
  expect(bake.jobNumber).toBe(JOB);
  return bake;
}

async function answer<Schema extends z.ZodType>(path: string, schema: Schema): Promise<z.infer<Schema>> {
  return schema.parse(await (await fetch(new URL(path, daemon.address))).json());
}

/** Processes whose command line names a folder. */
function processesNaming(folder: string): string[] {
  return readdirSync("/proc")
    .filter((name) => /^\d+$/.test(name))
    .filter((id) => {
      try {
        return readFileSync(`/proc/${id}/cmdline`, "utf8").includes(folder);
      } catch {
        return false; // it ended meanwhile
      }
    });
}
