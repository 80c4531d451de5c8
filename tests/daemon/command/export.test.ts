import { readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { parseTrace } from "#daemon/command/trace-file";
import { openStore } from "#daemon/store/store";
import { call, temporaryFolder } from "#tests/helpers/call";
import { FURNACE } from "#tests/helpers/kiosk-house";

const folder = temporaryFolder();
afterAll(() => folder.remove());

const SAMPLES = Array.from({ length: 6_001 }, (_, atSeconds) => ({
  atSeconds,
  celsius: 500 + (atSeconds % 50) / 10,
}));

beforeAll(async () => {
  const store = await openStore(`${folder.path}/bakeside.sqlite`);
  await store.furnaces.save(FURNACE);
  for (const jobNumber of ["A-1", "B-2"]) {
    const id = await store.bakes.create({
      furnaceId: FURNACE.id,
      plan: null,
      jobNumber,
      state: "running",
      isBegunByHand: false,
      startedAtEpochMilliseconds: 0,
      restCelsius: 500,
    });
    await store.bakes.appendSamples(
      id,
      0,
      SAMPLES.map((sample) => ({ ...sample, receivedAtEpochMilliseconds: 0 })),
    );
    await store.bakes.close(id, {
      lengthSeconds: 6_000,
      peakCelsius: 504.9,
      gapSeconds: 0,
      comparison: null,
    });
  }
  await store.close();
});

describe("export", () => {
  it("prints the samples of a bake as CSV that judge reads", async () => {
    const { code, out } = await call("export", "1", "--data", folder.path);
    expect(code).toBe(0);
    expect(parseTrace(out, "out.csv").trace).toEqual(SAMPLES);
  });

  it("writes a bake with everything known of it as JSON, to a file where one is named", async () => {
    const file = `${folder.path}/bake.json`;
    const { code, out } = await call("export", "2", "--json", "--out", file, "--data", folder.path);
    expect({ code, out }).toEqual({ code: 0, out: "" });
    const exported = JSON.parse(readFileSync(file, "utf8"));
    expect(exported).toMatchObject({
      file: "bakeside bake",
      version: 1,
      bake: { id: 2, jobNumber: "B-2" },
      grades: [],
    });
    expect(exported.samples).toEqual(SAMPLES);
  });

  it("prints all bakes, oldest first", async () => {
    const csv = await call("export", "all", "--data", folder.path);
    const rows = csv.out.trimEnd().split("\n");
    expect(rows).toHaveLength(1 + 2 * SAMPLES.length);
    expect([rows[0], rows[1], rows.at(-1)]).toEqual([
      "bake,seconds,celsius,hectopascals,cold_junction_celsius,heater_duty_fraction,millivolts",
      "1,0,500,,,,",
      "2,6000,500,,,,",
    ]);
    const json = await call("export", "all", "--json", "--data", folder.path);
    expect(
      json.out
        .trimEnd()
        .split("\n")
        .map((line) => JSON.parse(line).bake.jobNumber),
    ).toEqual(["A-1", "B-2"]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "a bake that is not there",   args: ["9", "--data", folder.path],                 says: /There is no bake 9/ },
    { what: "a bake of no number",        args: ["latest", "--data", folder.path],            says: /"latest" is no bake: give its number, or all/ },
    { what: "no bake",                    args: ["--data", folder.path],                      says: /the bake's number, or all, is missing/ },
    { what: "both forms",                 args: ["1", "--csv", "--json"],                     says: /choose --csv or --json/ },
    { what: "a folder with nothing kept", args: ["1", "--data", `${folder.path}/none`],       says: /Nothing is kept at .*none\/bakeside\.sqlite: name the folder with --data/ },
    { what: "the demonstration's bakes where there are none", args: ["1", "--demo", "--data", folder.path], says: /Nothing is kept at .*demo\.sqlite/ },
    { what: "a file that cannot be written", args: ["1", "--out", `${folder.path}/no/file`, "--data", folder.path], says: /Cannot write .*no\/file: ENOENT/ },
  ])("refuses $what in one line, exit code 2", async ({ args, says }) => {
    const { code, out, notes } = await call("export", ...args);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(notes).toMatch(/^[^\n]+\n$/);
    expect(notes).toMatch(says);
  });
});
