import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { heatWorkEquivalentSeconds } from "#core/heat/heat-work";
import { median } from "#core/statistics/median";
import { bakeGlassSchema } from "#shared/glass";
import { jobLedgerSchema } from "#shared/layer";
import { materialFitSchema } from "#shared/material-fit";
import { cardSchema, type Plan, planSchema } from "#shared/plan";
import { type BeginRequest, experienceSchema } from "#shared/requests";
import { simulateBake } from "#simulators/simulate-bake";
import { paste, plan } from "#tests/daemon/store/store-fixtures";
import { FURNACE, type KioskHouse, openKioskHouse } from "#tests/helpers/kiosk-house";

/** Fires at 730 °C and 40 K/min in air: invented, as all here. */
const GLAZE: Plan = planSchema.parse({
  ...plan,
  name: "Colour glaze",
  steps: [
    { kind: "climb", toCelsius: 730, kelvinPerMinute: 40 },
    { kind: "hold", seconds: 45 },
  ],
});
const BUILD_UP: Plan = planSchema.parse({
  ...plan,
  vacuum: { onAtCelsius: 510, levelHectopascals: 60, release: { kind: "hold-end", hold: 1 } },
});
const SMALL = { framework: "zirconia", caseSize: "small", bake: "first" } as const;

let house: KioskHouse;
/** Ids of the bakes: build-up, then colour on it, of one job; and one that runs still. */
const ids = { buildUp: 0, colour: 0, running: 0 };

beforeAll(async () => {
  house = await openKioskHouse();
  const { materials, plans } = house.store;
  await materials.create({ ...paste, name: "Paste" }, false);
  await materials.create({ ...paste, name: "Colour", referenceCelsius: 730, window: null }, false);
  await materials.create({ ...paste, name: "Never fired" }, false);
  await plans.create(cardSchema.parse({ plan: BUILD_UP, materialId: 1 }), false);
  await plans.create(cardSchema.parse({ plan: GLAZE }), false);
  ids.buildUp = await fire(BUILD_UP, 3, {
    planId: 1,
    case: SMALL,
    jobNumber: "J-1",
    layers: [{ name: "Build-up", materialId: 1 }],
  });
  ids.colour = await fire(GLAZE, 4, {
    planId: 2,
    jobNumber: "J-1",
    layers: [{ name: "Colour", materialId: 2 }],
  });
  ids.running = await fire(GLAZE, 5, { planId: 2, jobNumber: "J-2/b" }, 0.6);
});

afterAll(() => house.close());

/** Begins and fires a simulated bake; all of it, or a share that leaves it open. */
async function fire(what: Plan, seed: number, request: BeginRequest, share = 1): Promise<number> {
  const { samples } = simulateBake({ plan: what, seed, noiseKelvin: 0.2, restAfterSeconds: 400 });
  const { bake } = await house.recorder.begin("furnace-1", request);
  for (const { atSeconds, celsius, hectopascals } of samples.slice(0, Math.floor(share * samples.length)))
    house.recorder.take({
      furnaceId: "furnace-1",
      celsius,
      hectopascals,
      instrumentSeconds: atSeconds,
      receivedAtSeconds: atSeconds,
      receivedAtEpochMilliseconds: 1_700_000_000_000 + atSeconds * 1000,
    });
  await house.recorder.flush();
  if (share === 1 && house.recorder.openBakes().length > 0) await house.recorder.closeBake(bake.id);
  return bake.id;
}

async function ask(path: string, method = "GET") {
  const response = await fetch(`${house.address}/api/${path}`, {
    method,
    ...(method === "POST" && { headers: { "content-type": "application/json" }, body: "{}" }),
  });
  return { status: response.status, json: await response.json() };
}

describe("a job over HTTP", () => {
  it("tells what each layer collected in its first bake and in every later one", async () => {
    const ledger = jobLedgerSchema.parse((await ask("jobs/J-1")).json);
    expect(ledger.bakes).toMatchObject([
      { bakeId: ids.buildUp, isOpen: false, planName: BUILD_UP.name, furnaceName: FURNACE.name },
      { bakeId: ids.colour, isOpen: false, planName: "Colour glaze" },
    ]);
    expect(ledger.layers.map(({ name, material }) => [name, material.material.name])).toEqual([
      ["Build-up", "Paste"],
      ["Colour", "Colour"],
    ]);
    const [buildUp, colour] = ledger.layers.map(({ portions }) => portions);
    expect(buildUp?.map(({ bakeId }) => bakeId)).toEqual([ids.buildUp, ids.colour]);
    expect(colour?.map(({ bakeId }) => bakeId)).toEqual([ids.colour]);
    for (const [portion, referenceCelsius] of [
      [buildUp?.[0], 760],
      [buildUp?.[1], 760],
      [colour?.[0], 730],
    ] as const) {
      const samples = await house.store.bakes.samples(portion?.bakeId ?? 0);
      const seconds = heatWorkEquivalentSeconds(samples, { ...paste, referenceCelsius });
      expect((portion?.chamberEquivalentSeconds ?? 0) / seconds).toBeCloseTo(1, 2);
    }
    expect(buildUp?.[0]?.wareEquivalentSeconds).toBeLessThan(buildUp?.[0]?.chamberEquivalentSeconds ?? 0);
    expect(buildUp?.[1]?.wareEquivalentSeconds).toBeNull();
    expect(buildUp?.[0]?.flowLengthMicrometres).toBeGreaterThan(10);
  });

  it("has its open bake with it, as it stands", async () => {
    const ledger = jobLedgerSchema.parse((await ask(`jobs/${encodeURIComponent("J-2/b")}`)).json);
    expect(ledger).toMatchObject({ bakes: [{ bakeId: ids.running, isOpen: true }], layers: [] });
    await house.recorder.assign(ids.running, { layers: [{ name: "Colour", materialId: 2 }] });
    const { layers } = jobLedgerSchema.parse((await ask("jobs/J-2%2Fb")).json);
    expect(layers[0]?.portions[0]?.chamberEquivalentSeconds).toBeGreaterThan(0);
  });

  it.each([
    {
      path: "jobs/J-9",
      status: 404,
      line: "There is no bake of job J-9 yet. Give its bakes this number first.",
    },
    { path: "jobs/a%0Ab", status: 400, line: /^The job number: / },
  ])("at $path is refused with $status and one line", async ({ path, status, line }) => {
    const answer = await ask(path);
    expect(answer.status).toBe(status);
    expect(answer.json.error).toMatch(line);
  });
});

describe("what a bake did to the glass", () => {
  it("is told for its plan's material as it was then, by chamber and ware", async () => {
    const { json } = await ask(`bakes/${ids.buildUp}/glass`);
    const { material, chamber, ware } = bakeGlassSchema.parse(json);
    expect(material).toMatchObject({ materialId: 1, revision: 1 });
    expect(ware?.ware).toEqual({ framework: "zirconia", grams: 1, wallMillimetres: 1 });
    expect(ware?.outcome.heatWorkEquivalentSeconds).toBeLessThan(chamber.heatWorkEquivalentSeconds);
    expect(chamber.closure?.hectopascals).toBeLessThan(200);
    expect(chamber.reflectanceFraction).toBeGreaterThan(0);
    expect(ware?.outcome.closure?.atSeconds).toBeGreaterThan(chamber.closure?.atSeconds ?? 0);
  });

  it("is told for another material, and without a case by the chamber alone; of an open bake, too", async () => {
    for (const id of [ids.colour, ids.running]) {
      const { status, json } = await ask(`bakes/${id}/glass?materialId=2`);
      expect(status).toBe(200);
      expect(bakeGlassSchema.parse(json)).toMatchObject({ material: { materialId: 2 }, ware: null });
    }
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { why: "no material is known",       path: () => `bakes/${ids.colour}/glass`,                  status: 409, line: /^Nothing says of what material bake \d+ was\. Choose one, or give the bake a plan that names it\.$/ },
    { why: "the material is not there",  path: () => `bakes/${ids.colour}/glass?materialId=9`,     status: 404, line: /^There is no material 9\./ },
    { why: "the bake is not there",      path: () => "bakes/99/glass?materialId=1",                status: 404, line: /^There is no bake 99\.$/ },
    { why: "the material is no number",  path: () => `bakes/${ids.colour}/glass?materialId=paste`, status: 400, line: /^The question: materialId/ },
  ])("is refused with $status when $why", async ({ path, status, line }) => {
    const answer = await ask(path());
    expect(answer.status).toBe(status);
    expect(answer.json.error).toMatch(line);
  });
});

describe("a furnace's experience", () => {
  it("is the steepest whole climb of its judged bakes, and how it falls when nothing leads it", async () => {
    const { bakes, fastestClimbKelvinPerMinute, coolingKelvinPerMinute } = experienceSchema.parse(
      (await ask("furnaces/furnace-1/experience")).json,
    );
    expect(bakes).toBe(2);
    const climbs = (await house.recorder.detail(ids.buildUp)).comparison?.climbs ?? [];
    expect(fastestClimbKelvinPerMinute).toBe(climbs[0]?.actual?.kelvinPerMinute);
    expect(Math.abs((fastestClimbKelvinPerMinute ?? 0) - 50)).toBeLessThan(5);
    const rates = await Promise.all(
      [ids.buildUp, ids.colour].map(async (id) => {
        const { comparison } = await house.recorder.detail(id);
        return comparison?.cooling.actual?.kelvinPerMinute ?? Number.NaN;
      }),
    );
    expect(coolingKelvinPerMinute).toBeCloseTo(median(rates), 9);
  });

  it("of a furnace that has fired nothing is empty, and of none is refused", async () => {
    const two = { ...FURNACE, id: "furnace-2" };
    await house.store.furnaces.save(two);
    await house.lines.set(two);
    expect((await ask("furnaces/furnace-2/experience")).json).toEqual({
      bakes: 0,
      fastestClimbKelvinPerMinute: null,
      coolingKelvinPerMinute: null,
    });
    expect((await ask("furnaces/furnace-9/experience")).status).toBe(404);
  });
});

describe("a material's fit from its own bakes", () => {
  it("is refused for an unknown material, and says when there are too few bakes", async () => {
    expect((await ask("materials/9/fit", "POST")).status).toBe(404);
    const none = await ask("materials/3/fit", "POST");
    expect(materialFitSchema.parse(none.json)).toEqual({
      kind: "not-enough",
      bakes: 0,
      sentence: "No graded bake to go by: a fit needs 6 or more.",
    });
  });

  it("counts graded bakes by layer, or by card where nobody said a layer; second bakes and kept air not", async () => {
    const layers = [{ name: "Build-up", materialId: 1 }];
    if (house.recorder.openBakes().length > 0) await house.recorder.closeBake(ids.running);
    const counted = [
      await fire(BUILD_UP, 11, { planId: 1 }),
      await fire(BUILD_UP, 12, { planId: 1, case: SMALL }),
      await fire(BUILD_UP, 13, { planId: 2, layers }),
    ];
    const notCounted = [
      await fire(BUILD_UP, 14, { planId: 1, case: { ...SMALL, bake: "second" } }),
      await fire(BUILD_UP, 15, { planId: 1, layers: [{ name: "Colour", materialId: 2 }] }),
      await fire({ ...BUILD_UP, vacuum: undefined }, 16, { planId: 1, layers }),
      ids.colour,
    ];
    for (const id of [...counted, ...notCounted])
      await house.store.bakes.addGrade(id, { grade: "right", note: null, by: null });
    const airKept = (await house.recorder.detail(notCounted[2] ?? 0)).comparison?.findings.map(
      ({ code }) => code,
    );
    expect(airKept).toContain("vacuum-absent");
    const fit = materialFitSchema.parse((await ask("materials/1/fit", "POST")).json);
    expect(fit).toMatchObject({ kind: "not-enough", bakes: 3 });
    expect(fit.sentence).toMatch(/^Only 3 graded bakes to go by: a fit needs 6 or more\. .*vacuum/);
  });
});
