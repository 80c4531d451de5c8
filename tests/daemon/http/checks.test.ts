import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { FIXED_POINTS } from "#core/upkeep/fixed-points";
import { checkListSchema, checkSchema } from "#shared/check";
import { furnaceStatusSchema } from "#shared/furnace";
import { cardSchema, type Plan, planSchema } from "#shared/plan";
import { type SimulatedBake, simulateBake } from "#simulators/simulate-bake";
import { probeS } from "#tests/daemon/store/store-fixtures";
import { FURNACE, type KioskHouse, openKioskHouse } from "#tests/helpers/kiosk-house";

/** A slow climb past silver's melting point: how a wire is melted. */
const WIRE_PLAN: Plan = planSchema.parse({
  name: "Silver wire",
  dryingSeconds: 0,
  closingSeconds: 0,
  lowCelsius: 900,
  lowHoldSeconds: 60,
  steps: [
    { kind: "climb", toCelsius: 985, kelvinPerMinute: 5 },
    { kind: "hold", seconds: 30 },
  ],
  cooling: { kind: "free" },
});
/** What the simulated probe reads too high. */
const OFFSET_KELVIN = 3.4;

let house: KioskHouse;
let wire: SimulatedBake;
let bakeId = 0;

beforeAll(async () => {
  house = await openKioskHouse();
  wire = simulateBake({
    plan: WIRE_PLAN,
    seed: 5,
    noiseKelvin: 0.1,
    wire: "silver",
    probe: { offsetKelvin: OFFSET_KELVIN },
  });
  await setProbe();
  const { planId } = await house.store.plans.create(cardSchema.parse({ plan: WIRE_PLAN }), false);
  bakeId = (await house.recorder.begin("furnace-1", { planId })).bake.id;
  for (const { atSeconds, celsius } of wire.samples)
    house.recorder.take({
      furnaceId: "furnace-1",
      celsius,
      instrumentSeconds: atSeconds,
      receivedAtSeconds: atSeconds,
      receivedAtEpochMilliseconds: 1_700_000_000_000 + atSeconds * 1000,
    });
  if (house.recorder.openBakes().length > 0) await house.recorder.closeBake(bakeId);
  await house.recorder.flush();
});

afterAll(() => house.close());

// Each begins without a correction, whatever the one before left.
beforeEach(async () => {
  await setProbe();
  await ask("POST", "/correction/withdraw", {});
});

async function setProbe(): Promise<void> {
  house.lines.describe(await house.store.furnaces.save({ ...FURNACE, probe: probeS }));
}

async function ask(method: string, path: string, body?: unknown, furnace = "furnace-1") {
  const response = await fetch(`${house.address}/api/furnaces/${furnace}${path}`, {
    method,
    ...(body !== undefined && {
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    }),
  });
  return { status: response.status, json: await response.json() };
}

const reference = (change: object = {}) => ({
  kind: "reference",
  points: [{ readingCelsius: 897, referenceCelsius: 900 }],
  referenceExpandedKelvin: 1,
  by: "Ada",
  ...change,
});
const melting = (reading: object, change: object = {}) => ({
  kind: "melting-wire",
  metal: "silver",
  atmosphere: "vacuum",
  reading,
  ...change,
});

/** Keeps a check. */
async function checked(request: object) {
  const { status, json } = await ask("POST", "/checks", request);
  expect(status, JSON.stringify(json)).toBe(201);
  return checkSchema.parse(json);
}

const correction = async () => (await house.store.furnaces.get("furnace-1"))?.probe.correction ?? null;

describe("a check over HTTP", () => {
  it("beside a reference is the reading less the corrected reference", async () => {
    const points = [
      {
        readingCelsius: 851,
        referenceCelsius: 848.6,
        referenceCorrectionKelvin: 0.9,
        instrumentCorrectionKelvin: -0.3,
      },
      { readingCelsius: 955, referenceCelsius: 951 },
    ];
    const { result, request, accepted } = await checked(reference({ points, limitKelvin: 5 }));
    expect(result.points.map(({ differenceKelvin }) => differenceKelvin.toFixed(6))).toEqual([
      "1.800000",
      "4.000000",
    ]);
    expect(result.verdict).toBe("within");
    expect(result.correction.map((point) => point.correctionKelvin.toFixed(6))).toEqual([
      "-1.800000",
      "-4.000000",
    ]);
    expect([request.by, accepted]).toEqual(["Ada", null]);
    expect(await correction()).toBeNull();
  });

  it("of a wire finds the plateau in the bake, and with it the probe's offset", async () => {
    const { result } = await checked(melting({ kind: "plateau", bakeId }));
    expect(result.points[0]?.trueCelsius).toBe(FIXED_POINTS.silver.celsius);
    expect(Math.abs(result.worstDifferenceKelvin - OFFSET_KELVIN)).toBeLessThan(
      result.expandedUncertaintyKelvin,
    );
    expect(result.expandedUncertaintyKelvin).toBeLessThan(2);
    expect(result.plateau?.fromSeconds).toBeGreaterThan((wire.melt?.fromSeconds ?? 0) - 60);
  });

  it("of a wire takes the moment at which somebody pressed, less sure by how fast it climbed", async () => {
    const samples = await house.store.bakes.samples(bakeId);
    const pressed = samples.find(({ celsius }) => celsius >= 958);
    const { result } = await checked(
      melting({ kind: "pressed", bakeId, atSeconds: pressed?.atSeconds ?? 0 }),
    );
    expect(result.points[0]?.readingCelsius).toBeCloseTo(958, 0);
    expect(result.plateau).toBeNull();
    const still = await checked(melting({ kind: "by-hand", readingCelsius: 958, kelvinPerMinute: 0 }));
    expect(result.expandedUncertaintyKelvin).toBeGreaterThan(still.result.expandedUncertaintyKelvin);
  });

  it("is of the uncorrected reading, also in a bake that ran with a correction", async () => {
    const before = await checked(melting({ kind: "plateau", bakeId }));
    await ask("POST", `/checks/${(await checked(reference())).id}/accept`, {});
    const { bake } = await house.recorder.begin("furnace-1", { planId: 1 });
    for (const { atSeconds, celsius } of wire.samples)
      house.recorder.take({
        furnaceId: "furnace-1",
        celsius,
        instrumentSeconds: 100_000 + atSeconds,
        receivedAtSeconds: 100_000 + atSeconds,
        receivedAtEpochMilliseconds: 1_700_100_000_000 + atSeconds * 1000,
      });
    const after = await checked(melting({ kind: "plateau", bakeId: bake.id }));
    expect(after.result.worstDifferenceKelvin).toBeCloseTo(before.result.worstDifferenceKelvin, 2);
    if (house.recorder.openBakes().length > 0) await house.recorder.closeBake(bake.id);
    await house.recorder.flush();
    const recorded = await house.store.bakes.samples(bake.id);
    expect(recorded[100]?.celsius).toBeCloseTo((wire.samples[100]?.celsius ?? 0) + 3, 2);
  });

  it("is listed, newest first, with what was asked", async () => {
    const first = await checked(reference({ note: "first" }));
    const second = await checked(reference({ note: "second" }));
    const { checks } = checkListSchema.parse((await ask("GET", "/checks")).json);
    expect(checks.slice(0, 2)).toEqual([second, first]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "no such kind",         body: { kind: "guess" },                                                    status: 400, error: /^The request: kind: / },
    { what: "no points",            body: reference({ points: [] }),                                            status: 400, error: /^The request: points: / },
    { what: "a wild reading",       body: reference({ points: [{ readingCelsius: 1e9, referenceCelsius: 900 }] }), status: 400, error: /readingCelsius/ },
    { what: "more than was asked",  body: reference({ verdict: "within" }),                                     status: 400, error: /verdict/ },
    { what: "an unknown bake",      body: melting({ kind: "plateau", bakeId: 999 }),                            status: 404, error: /There is no bake 999/ },
    { what: "a bake without gold",  body: melting({ kind: "plateau", bakeId: 1 }, { metal: "gold" }),           status: 409, error: /No plateau of melting gold is to be seen in bake 1/ },
    { what: "a moment of silence",  body: melting({ kind: "pressed", bakeId: 1, atSeconds: 80_000 }),           status: 409, error: /Nothing was measured in bake 1 around 80000 s/ },
    { what: "an offset beyond all", body: reference({ points: [{ readingCelsius: 500, referenceCelsius: 900 }] }), status: 409, error: /400 K off: that is a fault and no offset/ },
  ])("with $what is refused in one line", async ({ body, status, error }) => {
    const answer = await ask("POST", "/checks", body);
    expect(answer.status).toBe(status);
    expect(answer.json.error).toMatch(error);
    expect(answer.json.error).not.toContain("\n");
  });

  it("of another furnace's bake is refused", async () => {
    const other = { name: "The other", port: null };
    await fetch(`${house.address}/api/furnaces/furnace-2`, {
      method: "PUT",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(other),
    });
    const answer = await ask("POST", "/checks", melting({ kind: "plateau", bakeId }), "furnace-2");
    expect(answer).toEqual({
      status: 409,
      json: { error: `Bake ${bakeId} was on Furnace 1: name a bake of The other.` },
    });
    expect((await ask("GET", "/checks", undefined, "furnace-9")).status).toBe(404);
  });
});

describe("a check that is accepted", () => {
  it("corrects the furnace from then on, and says by whom and when", async () => {
    const { id } = await checked(reference());
    const { status, json } = await ask("POST", `/checks/${id}/accept`, { by: "Bo" });
    expect(status).toBe(200);
    const { furnace } = furnaceStatusSchema.parse(json);
    expect(furnace.probe).toMatchObject({
      type: "S",
      correction: { checkId: id, acceptedBy: "Bo", points: [{ readingCelsius: 897, correctionKelvin: 3 }] },
    });
    expect(
      house.recorder.take({
        furnaceId: "furnace-1",
        celsius: 700,
        receivedAtSeconds: 1e6,
        receivedAtEpochMilliseconds: 1_700_000_000_000,
      }).celsius,
    ).toBe(703);
    const [newest] = checkListSchema.parse((await ask("GET", "/checks")).json).checks;
    expect(newest?.accepted?.by).toBe("Bo");
    expect((await ask("POST", `/checks/${id}/accept`, {})).status).toBe(409);
  });

  it("does not change the bake that is running", async () => {
    await house.recorder.begin("furnace-1", { planId: 1 });
    const take = (seconds: number) =>
      house.recorder.take({
        furnaceId: "furnace-1",
        celsius: 700,
        receivedAtSeconds: 2e6 + seconds,
        receivedAtEpochMilliseconds: 1_700_000_000_000,
      }).celsius;
    expect(take(0)).toBe(700);
    await ask("POST", `/checks/${(await checked(reference())).id}/accept`, {});
    expect(take(1)).toBe(700);
    const [open] = house.recorder.openBakes();
    expect(open?.probe?.correction).toBeNull();
    await house.recorder.closeBake(open?.bake.id ?? 0);
    expect(take(2)).toBe(703);
  });

  it("can be withdrawn, and every change stands in the history", async () => {
    const before = (await ask("GET", "/corrections")).json.corrections.length;
    const { id } = await checked(reference());
    await ask("POST", `/checks/${id}/accept`, { by: "Bo" });
    const { json } = await ask("POST", "/correction/withdraw", { by: "Cy" });
    expect(furnaceStatusSchema.parse(json).furnace.probe.correction).toBeNull();
    const { corrections } = (await ask("GET", "/corrections")).json;
    expect(corrections.slice(before)).toMatchObject([
      { kind: "accepted", checkId: id, by: "Bo", correction: { points: [{ correctionKelvin: 3 }] } },
      { kind: "withdrawn", checkId: id, by: "Cy", correction: null },
    ]);
    const again = await ask("POST", "/correction/withdraw", {});
    expect(again).toMatchObject({
      status: 409,
      json: { error: expect.stringMatching(/nothing to withdraw/) },
    });
  });

  it.each([
    [
      "that cannot tell",
      reference({ referenceExpandedKelvin: 20 }),
      /is less sure \(± 20\.0 K\) than its limit of 5 K/,
    ],
    [
      "of silver in air",
      melting(
        { kind: "by-hand", readingCelsius: 957, kelvinPerMinute: 0 },
        { atmosphere: "air", limitKelvin: 50 },
      ),
      /silver in air, which melts lower by an unknown amount/,
    ],
  ])("is refused when it is one %s", async (_, request, refusal) => {
    const { id } = await checked(request);
    const { status, json } = await ask("POST", `/checks/${id}/accept`, {});
    expect([status, json.error]).toEqual([409, expect.stringMatching(refusal)]);
    expect(await correction()).toBeNull();
  });

  it("is refused when it was of another type of thermocouple, and where there is none of that number", async () => {
    const { id } = await checked(reference());
    house.lines.describe(await house.store.furnaces.save({ ...FURNACE, probe: { ...probeS, type: "K" } }));
    const { status, json } = await ask("POST", `/checks/${id}/accept`, {});
    expect([status, json.error]).toEqual([
      409,
      `Check ${id} was of a thermocouple of type S and Furnace 1 has a thermocouple of type K now: check it again.`,
    ]);
    expect((await ask("POST", "/checks/999/accept", {})).status).toBe(404);
    expect((await ask("POST", "/checks/x/accept", {})).status).toBe(404);
    expect((await ask("POST", `/checks/${id}/accept`, {}, "furnace-2")).status).toBe(404);
  });
});

describe("a furnace's probe over HTTP", () => {
  const put = (change: object) => ask("PUT", "", { name: "Furnace 1", port: null, ...change });

  it("is set in part: what is left out stays, and the correction cannot be set", async () => {
    await ask("POST", `/checks/${(await checked(reference())).id}/accept`, {});
    const { json } = await put({ probe: { positionKelvin: 4 } });
    expect(json.furnace.probe).toMatchObject({
      ...probeS,
      positionKelvin: 4,
      correction: { acceptedBy: null },
    });
    const { json: without } = await put({});
    expect(without.furnace.probe).toEqual(json.furnace.probe);
    const { json: other } = await put({ probe: { correction: null, type: "S" } });
    expect(other.furnace.probe).toEqual(json.furnace.probe);
    expect((await put({ probe: { type: "Z" } })).status).toBe(400);
    expect((await put({ probe: { positionKelvin: -1 } })).json.error).toMatch(/positionKelvin/);
  });

  it("loses its correction with another type, and the history says why", async () => {
    await ask("POST", `/checks/${(await checked(reference())).id}/accept`, {});
    const { json } = await put({ probe: { type: "R" } });
    expect(json.furnace.probe).toEqual({ ...probeS, type: "R" });
    const { corrections } = (await ask("GET", "/corrections")).json;
    expect(corrections.at(-1)).toMatchObject({ kind: "type-changed", correction: null });
  });

  it("has a class that its type has; one that is left over goes with the old thermocouple", async () => {
    const asked = await put({ probe: { type: "B", toleranceClass: "iec-1" } });
    expect([asked.status, asked.json.error]).toEqual([
      400,
      "Type B has no class iec-1: choose one of iec-2, iec-3, astm-standard, astm-special, or null",
    ]);
    const untyped = await put({ probe: { type: null, toleranceClass: "iec-1" } });
    expect([untyped.status, untyped.json.error]).toEqual([
      400,
      "The class iec-1 is another one for each type: say the type, too",
    ]);
    expect((await house.store.furnaces.get("furnace-1"))?.probe).toEqual(probeS);
    await put({ probe: { toleranceClass: "iec-1" } });
    expect((await put({ probe: { type: "R" } })).json.furnace.probe.toleranceClass).toBe("iec-1");
    expect((await put({ probe: { type: "B" } })).json.furnace.probe.toleranceClass).toBeNull();
  });

  it("keeps both of two changes that come at once", async () => {
    const dueEpochMilliseconds = 1_900_000_000_000;
    for (let round = 0; round < 10; round++) {
      await ask("PUT", "/check-due", { dueEpochMilliseconds: null });
      await Promise.all([
        put({ probe: { positionKelvin: round } }),
        ask("PUT", "/check-due", { dueEpochMilliseconds }),
        put({ probe: { instrumentAccuracyKelvin: round } }),
      ]);
      expect(await house.store.furnaces.get("furnace-1")).toMatchObject({
        probe: { positionKelvin: round, instrumentAccuracyKelvin: round },
        checkDueEpochMilliseconds: dueEpochMilliseconds,
      });
      expect(house.lines.furnace("furnace-1")).toEqual(await house.store.furnaces.get("furnace-1"));
    }
    await ask("PUT", "/check-due", { dueEpochMilliseconds: null });
  });

  it("is changed without a break of the line; its port is not", async () => {
    await put({ port: "tcp://127.0.0.1:9" });
    const opened = house.openedPorts.length;
    await put({ port: "tcp://127.0.0.1:9", probe: { positionKelvin: 1 } });
    expect(house.openedPorts).toHaveLength(opened);
    await put({ port: "tcp://127.0.0.1:10" });
    await put({ port: "tcp://127.0.0.1:10", framing: "7E1" });
    expect(house.openedPorts).toHaveLength(opened + 2);
  });

  it("may have a day for its next check", async () => {
    const { json } = await ask("PUT", "/check-due", { dueEpochMilliseconds: 1_800_000_000_000 });
    expect(json.furnace.checkDueEpochMilliseconds).toBe(1_800_000_000_000);
    expect((await house.store.furnaces.get("furnace-1"))?.checkDueEpochMilliseconds).toBe(1_800_000_000_000);
    const cleared = await ask("PUT", "/check-due", { dueEpochMilliseconds: null });
    expect(furnaceStatusSchema.parse(cleared.json).furnace.checkDueEpochMilliseconds).toBeNull();
    expect((await ask("PUT", "/check-due", { dueEpochMilliseconds: "soon" })).status).toBe(400);
    expect((await ask("PUT", "/check-due", { dueEpochMilliseconds: null }, "nobody")).status).toBe(404);
  });
});
