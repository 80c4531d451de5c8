import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { chmodSync, chownSync, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { randomStream } from "#simulators/random";
import { bakeside, buildProgram, type Ending, ended } from "#tests/helpers/built-program";
import { House, LINE_FORMAT, type StablePort, spokenLines } from "#tests/journeys/house";

const ONE_LINE = /^[^\n]+\n$/;
/** The user that owns nothing. */
const NOBODY = 65_534;
const FLOOD_BYTES = 1_000_000;
const LINE_FEED = 0x0a;
const CARRIAGE_RETURN = 0x0d;

/** The second step goes from 760 down to 700 °C. */
const DOWNWARDS = {
  ...DEMONSTRATION_PLANS[0],
  name: "Downwards",
  steps: [
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
    { kind: "climb", toCelsius: 700, kelvinPerMinute: 45 },
  ],
};

let house: House;
const asNobody = new Set<ChildProcess>();

beforeAll(buildProgram, 120_000);
beforeEach(() => {
  house = new House();
});
afterEach(async () => {
  for (const child of asNobody) child.kill("SIGKILL");
  asNobody.clear();
  await house.close();
});

const call = (...args: readonly string[]): Promise<Ending> => ended(bakeside(args));

/** Writes a file; `content` may be lines. */
function file(name: string, ...lines: readonly string[]): string {
  const path = join(house.folder, name);
  writeFileSync(path, `${lines.join("\n")}\n`);
  return path;
}

const firablePlan = () => file("plan.json", JSON.stringify(DEMONSTRATION_PLANS[1]));

/** The messages in the log of a daemon. */
const logged = (notes: string): string[] =>
  notes
    .split("\n")
    .filter((line) => line !== "")
    .map((line) => (JSON.parse(line) as { msg: string }).msg);

/** The program run by a user who may not open the ports of others: nobody, or whoever runs these tests. */
function unprivileged(...args: readonly string[]): ChildProcess {
  const user = process.getuid?.() === 0 ? { uid: NOBODY, gid: NOBODY } : {};
  const child = spawn(process.execPath, ["dist/daemon/bakeside.cjs", ...args], {
    ...user,
    stdio: ["ignore", "pipe", "pipe"],
  });
  asNobody.add(child);
  return child;
}

/** A pseudo-terminal that only its mode keeps that user from; null when he cannot even run the program. */
async function forbiddenPort(): Promise<StablePort | null> {
  const port = await house.port();
  chmodSync(port.name, 0o000);
  chmodSync(house.folder, 0o755);
  mkdirSync(house.data);
  if (process.getuid?.() === 0) chownSync(house.data, NOBODY, NOBODY);
  const { code } = await ended(unprivileged("version"));
  return code === 0 ? port : null;
}

/** Seeded bytes of every value; the second half holds no line end. */
function floodBytes(): Buffer {
  const random = randomStream(5, "flood");
  const bytes = Uint8Array.from({ length: FLOOD_BYTES }, (_, index) => {
    const byte = Math.floor(random.uniform() * 256);
    const isLineEnd = byte === LINE_FEED || byte === CARRIAGE_RETURN;
    return index >= FLOOD_BYTES / 2 && isLineEnd ? 0 : byte;
  });
  return Buffer.from(bytes);
}

describe("a port that does not exist", () => {
  it("is refused by listen in one line, exit code 2", async () => {
    const { code, out, notes } = await call("listen", join(house.folder, "none"));
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(notes).toMatch(ONE_LINE);
    expect(notes).toMatch(/^Cannot open \S+none: there is no such port\. Plug the adapter in\./);
  });

  it("is told once by a daemon, which hears it as soon as it is there", async () => {
    const port = join(house.folder, "ports", "furnace-1");
    const kiosk = await house.serve("--port", port, "--format", LINE_FORMAT);
    await kiosk.until(() => kiosk.furnace().link.kind === "waiting");
    const { message } = kiosk.furnace().link;
    expect(message).toMatch(/^Cannot open \S+: there is no such port\. Plug the adapter in\./);
    const adapter = await house.port();
    await adapter.isHeardBy(kiosk);
    adapter.say("s=1.0 T=500.25\n");
    await kiosk.until(() => kiosk.furnace().latest?.sample.celsius === 500.25);
    const { code, notes } = await kiosk.stop();
    expect(code).toBe(0);
    expect(logged(notes)).toEqual([message]);
  });
});

describe("a port without permission", () => {
  it("is refused by listen in one line, exit code 2", async ({ skip }) => {
    const port = await forbiddenPort();
    if (!port) return skip("nobody may not run node or read this folder here");
    const { code, out, notes } = await ended(unprivileged("listen", port.name));
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(notes).toBe(
      `Cannot open ${port.name}: permission denied. Add this user to the dialout group and log in again.\n`,
    );
  });

  it("is told by a daemon, which goes on and ends well", async ({ skip }) => {
    const port = await forbiddenPort();
    if (!port) return skip("nobody may not run node or read this folder here");
    const child = unprivileged("serve", "--http-port", "0", "--data", house.data, "--port", port.name);
    const end = ended(child);
    if (child.stderr) await once(child.stderr, "data");
    child.kill("SIGTERM");
    const { code, notes } = await end;
    expect(code).toBe(0);
    expect(logged(notes)).toEqual([
      `Cannot open ${port.name}: permission denied. Add this user to the dialout group and log in again.`,
    ]);
  });
});

describe("a flood of bytes that are no lines", () => {
  it("is counted, and the bake that it came into has every good line", async () => {
    const lines = spokenLines("macfp_tubs_50Kmin_3runs.csv", 15);
    const half = lines.findIndex(({ sample }) => sample.celsius > 600);
    const port = await house.port();
    const kiosk = await house.serve("--port", port.name, "--format", LINE_FORMAT);
    const [plan] = await kiosk.plans();
    const { bake } = await kiosk.begin(plan?.planId ?? 0);
    await port.isHeardBy(kiosk);
    await port.replay(lines.slice(0, half), 600);
    await kiosk.until(() => kiosk.openBakes.get("furnace-1")?.state === "running");
    const flood = floodBytes();
    await port.flood(flood);
    port.say("\n");
    const rest = lines.slice(half, half + 300);
    await port.replay(rest, 600);
    await expect
      .poll(async () => (await kiosk.stored(bake.id)).length, { timeout: 20_000 })
      .toBe(half + rest.length);
    await kiosk.until(() => kiosk.furnace().link.acceptedLines === half + rest.length);
    const { link } = kiosk.furnace();
    console.info(`${FLOOD_BYTES} bytes: ${link.refusedLines} refused, ${link.overlongLines} too long`);
    expect(link).toMatchObject({ kind: "listening", overlongLines: 1 });
    expect(link.refusedLines).toBe(
      flood
        .toString("latin1")
        .split(/[\r\n]+/)
        .filter(Boolean).length - 1,
    );
    expect(link.lastRefusedLine).toMatch(/^\P{C}{1,120}$/u);
    const closed = await kiosk.closeBake(bake.id);
    expect(closed.bake).toMatchObject({ state: "finished", gapSeconds: 0 });
    expect(await kiosk.stored(bake.id)).toEqual(
      lines.slice(0, half + rest.length).map(({ sample }) => sample),
    );
    expect(await kiosk.bakes()).toHaveLength(1);
    const { code, notes } = await kiosk.stop();
    expect(code).toBe(0);
    for (const message of logged(notes)) expect(message).toMatch(/^Lines come, but they do not read as /);
  });
});

describe("a plan that climbs downwards", () => {
  const why = "step 2 climbs downwards, from 760 to 700 °C: raise its toCelsius";

  it("is found by plan check, exit code 1", async () => {
    const path = file("downwards.json", JSON.stringify(DOWNWARDS));
    expect(await call("plan", "check", path)).toEqual({
      code: 1,
      out: `Downwards: cannot be fired\nrefused  ${why}\n`,
      notes: "",
    });
  });

  it("is refused by judge in one line, exit code 2", async () => {
    const path = file("downwards.json", JSON.stringify(DOWNWARDS));
    const trace = file("trace.csv", "seconds,celsius", "0,500", "1,501");
    expect(await call("judge", trace, "--plan", path)).toEqual({
      code: 2,
      out: "",
      notes: `${path} cannot be fired: ${why}\n`,
    });
  });

  it("is refused by the daemon in one line and not kept", async () => {
    const kiosk = await house.serve();
    const before = await kiosk.plans();
    expect(await kiosk.post("api/plans", { card: { plan: DOWNWARDS } })).toEqual({
      status: 422,
      answer: { error: `This plan cannot be fired: ${why}.` },
    });
    expect(await kiosk.plans()).toEqual(before);
    expect(await kiosk.stop()).toMatchObject({ code: 0, notes: "" });
  });
});

describe("a CSV with a hole", () => {
  it("is judged around it: what is missing is noted in one line, the silence is a gap", async () => {
    const seconds = Array.from({ length: 600 }, (_, index) => index);
    const rows = seconds
      .filter((second) => second < 200 || second > 260)
      .map((second) => `${second},${second === 100 ? "" : 500 + second / 4}`);
    const trace = file("hole.csv", "seconds,celsius", ...rows);
    const { code, out, notes } = await call("judge", trace, "--plan", firablePlan(), "--json");
    expect(code).toBe(1); // the plan's 760 °C are not reached
    expect(notes).toBe(
      `${trace}: 1 row(s) without a reading, the first in line 102: taken as not measured\n`,
    );
    expect(JSON.parse(out)).toMatchObject({
      samples: 538,
      missingReadings: { count: 1, firstLine: 102 },
      gaps: [{ fromSeconds: 199, toSeconds: 261 }],
    });
  });

  it("is refused when a word stands where a number should, with its line", async () => {
    const trace = file("word.csv", "seconds,celsius", "0,500", "1,5o1", "2,502");
    expect(await call("judge", trace, "--plan", firablePlan())).toEqual({
      code: 2,
      out: "",
      notes: `${trace} line 3: "5o1" in column celsius is no number\n`,
    });
  });
});

describe("a text file that is no CSV", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { by: "judge",      args: (path: string) => ["judge", path, "--plan", firablePlan()], code: 2, says: /line 1: no column for the time/ },
    { by: "plan check", args: (path: string) => ["plan", "check", path],                  code: 2, says: /is not JSON/ },
    { by: "listen",     args: (path: string) => ["listen", path],                         code: 1, says: /^No format fits the 2 lines/ },
  ])("is refused by $by in one line, exit code $code", async ({ args, code, says }) => {
    const path = file("letter.txt", "Dear colleague,", "the furnace is warm.");
    const ending = await call(...args(path));
    expect(ending.code).toBe(code);
    expect(ending.notes).toMatch(ONE_LINE);
    expect(ending.notes).toMatch(says);
  });
});

describe("an unknown option", () => {
  it.each([
    ["serve"],
    ["judge", "trace.csv"],
    ["plan check", "plan.json"],
    ["plan curve", "plan.json"],
    ["export", "all"],
    ["simulate"],
    ["listen", "/dev/ttyNone"],
    ["ports"],
  ])("of %s is refused in one line, exit code 2", async (verb, ...words) => {
    const { code, out, notes } = await call(...verb.split(" "), ...words, "--loud");
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(notes).toMatch(ONE_LINE);
    expect(notes).toContain(`bakeside ${verb}`);
  });
});
