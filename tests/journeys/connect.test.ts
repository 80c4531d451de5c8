import { execFile } from "node:child_process";
import { promisify } from "node:util";
import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, describe, expect, it, onTestFinished } from "vitest";
import { type KioskStub, startKioskStub } from "#tests/helpers/kiosk-stub";
import { House, type Kiosk } from "#tests/journeys/house";
import { KioskPage, openBrowser } from "#tests/journeys/kiosk-page";

const exec = promisify(execFile);
/** What Chromium writes on its console for an answer that is a refusal. */
const REFUSED_ANSWER = /^Failed to load resource: .* 4\d\d /;

let browser: Browser;
let kiosk: KioskPage;

beforeAll(async () => {
  const build = ["node_modules/.test-build-lock", process.execPath, ".scripts/build.mjs"];
  await exec("flock", build, { env: { ...process.env, NODE_ENV: "production" } });
  browser = await openBrowser();
}, 240_000);
afterEach(() => kiosk.close());
afterAll(() => browser.close());

/** Opens *Connect a furnace* by touch. */
async function openFlow(address: string): Promise<void> {
  kiosk = await KioskPage.open(browser, `${address}#upkeep`);
  await kiosk.tapButton("Connect a furnace");
  await question("Where is the furnace plugged in?");
}

const question = (text: string | RegExp) =>
  kiosk.page.getByRole("heading", { level: 2, name: text }).waitFor();

describe("connecting a furnace at a made-up daemon", () => {
  let stub: KioskStub;
  beforeAll(async () => {
    stub = await startKioskStub({ scene: "idle", listenMilliseconds: 300, speed: 0 });
  });
  afterAll(() => stub.close());

  it("is four taps, each on a screen that can be touched and read", async () => {
    await openFlow(stub.address);
    expect(await kiosk.faults("connect-port")).toEqual([]);
    await kiosk.tapButton(/^Demo Millivolt Adapter D4418/);
    await question("Which of these is right?");
    expect(await kiosk.faults("connect-format")).toEqual([]);
    await kiosk.tapButton(/^4\.1234 mV, cold junction 24\.1 °C/);
    await question("Which thermocouple is in the furnace?");
    expect(await kiosk.faults("connect-probe")).toEqual([]);
    await kiosk.tapButton(/^S 503 °C/);
    await question("What is it called here?");
    expect(await kiosk.faults("connect-name")).toEqual([]);
    await kiosk.tapButton("Connect");
    await question(/ is heard\.$/);
    expect(await kiosk.faults("connect-heard")).toEqual([]);
    await kiosk.tapButton("Done");
    await kiosk.page.getByRole("heading", { name: "Furnace 3" }).waitFor();
    expect(kiosk.errors).toEqual([]);
    expect(kiosk.strangers).toEqual([]);
  });

  it("says why a port was refused, and what else can be done in silence", async () => {
    await openFlow(stub.address);
    await kiosk.tapButton(/^demo-2/);
    await question("The port could not be listened to.");
    await kiosk.page.getByText("Add this user to the dialout group").waitFor();
    expect(await kiosk.faults("connect-refused")).toEqual([]);
    await kiosk.tapButton(/^Port: demo-2/);
    await kiosk.tapButton(/^Demo Panel Meter/);
    await question("Nothing that reads was heard.");
    expect(await kiosk.faults("connect-silence")).toEqual([]);
    await kiosk.tapButton(/^Other format/);
    expect(await kiosk.faults("connect-other-format")).toEqual([]);
    await kiosk.tapButton(/^Ask the instrument/);
    await kiosk.button(/^498\.1 °C/).waitFor();
    expect(kiosk.errors.filter((error) => !REFUSED_ANSWER.test(error))).toEqual([]);
  });

  it("works by keys alone", async () => {
    await openFlow(stub.address);
    const press = async (name: string | RegExp) => {
      const button = kiosk.button(name);
      await button.waitFor();
      for (let tabs = 0; !(await button.evaluate((element) => element.matches(":focus"))); tabs++) {
        expect(tabs, `tabs to ${name}`).toBeLessThan(30);
        await kiosk.page.keyboard.press("Tab");
      }
      await kiosk.page.keyboard.press("Enter");
    };
    await press(/^Demo Temperature/);
    await press(/^512\.4 °C, cold/);
    await press(/^Not known/);
    await kiosk.page.keyboard.press("Escape");
    await kiosk.page.getByRole("dialog").waitFor({ state: "hidden" });
  });
});

describe("connecting a furnace at the daemon", () => {
  let house: House;
  let daemon: Kiosk;
  beforeAll(async () => {
    house = new House();
    daemon = await house.serve();
  });
  afterAll(() => house.close());

  it("is four taps on what it heard: port, reading, thermocouple, name", async () => {
    const port = await house.port();
    let said = 0;
    const instrument = setInterval(() => port.say(`E=${(4.1 + said++ / 1000).toFixed(4)} CJ=24.1\n`), 100);
    onTestFinished(() => clearInterval(instrument));
    await openFlow(daemon.address);
    await kiosk.page.getByLabel("Or over the network").fill(port.name);
    await kiosk.tapButton("Listen there");
    await kiosk.tap(kiosk.button(/^4\.\d{4} mV, cold junction 24\.1 °C/).first());
    await kiosk.tapButton(/^S \d+ °C/);
    await kiosk.tapButton("Connect");
    await question(/ is heard\.$/);
    await kiosk.tapButton("Done");
    await expect.poll(() => added(daemon)?.latest?.sample.celsius).toBeGreaterThan(499);
    expect(added(daemon)?.furnace).toMatchObject({ port: port.name, probe: { type: "S" } });
    expect(added(daemon)?.furnace).toMatchObject({
      format: "pairs:E=millivolts,CJ=cold-celsius",
      baudRate: 9600,
      framing: "8N1",
    });
    expect(kiosk.errors).toEqual([]);
  });

  it("listens anew right after it was stopped", async () => {
    const port = await house.port("furnace-2");
    await openFlow(daemon.address);
    await kiosk.page.getByLabel("Or over the network").fill(port.name);
    await kiosk.tapButton("Listen there");
    for (let times = 0; times < 3; times++) {
      await question(/^Listening to /);
      await kiosk.tapButton("Stop");
      await question("Stopped listening.");
      await kiosk.tapButton(/^Listen again/);
    }
    await question(/^Listening to /);
    const instrument = setInterval(() => port.say("512.4,24.1\n"), 100);
    onTestFinished(() => clearInterval(instrument));
    await question("Which of these is right?");
    await kiosk.button(/^512\.4 °C, cold junction 24\.1 °C/).waitFor();
    expect(kiosk.errors).toEqual([]);
  });
});

/** The furnace that came last. */
const added = ({ furnaces }: Kiosk) => [...furnaces.values()].at(-1);
