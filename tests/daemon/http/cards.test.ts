import { afterAll, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { cardFileSchema } from "#shared/card-file";
import { materialRevisionSchema } from "#shared/material";
import { type Adaptation, type Card, planRevisionSchema } from "#shared/plan";
import { card, cardOfCases, paste, plan } from "#tests/daemon/store/store-fixtures";
import { type KioskHouse, openKioskHouse } from "#tests/helpers/kiosk-house";

let house: KioskHouse;

beforeAll(async () => {
  house = await openKioskHouse();
});

beforeEach(() => {
  house.changes.length = 0;
});

afterAll(() => house.close());

async function ask(method: string, path: string, body?: unknown) {
  const response = await fetch(`${house.address}/api/${path}`, {
    method,
    ...(body !== undefined && {
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    }),
  });
  return { status: response.status, headers: response.headers, json: await response.json() };
}

async function saved(change: Partial<Card> = {}) {
  const { status, json } = await ask("POST", "plans", { card: { ...card, ...change } });
  expect(status).toBe(201);
  return planRevisionSchema.parse(json);
}

const large: Adaptation["when"] = { kind: "case-size", caseSize: "large" };
const zirconia: Adaptation["when"] = { kind: "framework", framework: "zirconia" };
const second: Adaptation["when"] = { kind: "bake", bake: "second" };
const onOne: Adaptation["when"] = { kind: "furnace", furnaceId: "furnace-1" };

describe("cards over HTTP", () => {
  it("are saved whole, and pages are told", async () => {
    const material = await house.store.materials.create(paste, false);
    const whole = { ...cardOfCases, materialId: material.materialId };
    const { status, json } = await ask("POST", "plans", { card: whole });
    expect(status).toBe(201);
    expect(planRevisionSchema.parse(json)).toMatchObject({
      ...whole,
      revision: 1,
      isDemonstration: false,
      isRetired: false,
    });
    expect(house.changes).toEqual(["plans"]);
    expect((await ask("GET", "plans")).json.plans).toContainEqual(json);
  });

  it("have their revisions listed, newest first", async () => {
    const first = await saved();
    const newer = await ask("POST", `plans/${first.planId}/revisions`, { card: cardOfCases });
    expect(newer.json.revision).toBe(2);
    expect((await ask("GET", `plans/${first.planId}/revisions`)).json).toEqual({
      revisions: [newer.json, first],
    });
    expect((await ask("GET", "plans/999/revisions")).status).toBe(404);
  });

  it("are copied, retired and taken back, and pages are told each time", async () => {
    const { planId } = await saved();
    house.changes.length = 0;
    const copy = await ask("POST", `plans/${planId}/copy`, { name: " Our own " });
    expect(copy).toMatchObject({ status: 201, json: { plan: { ...plan, name: "Our own" }, revision: 1 } });
    const retired = await ask("POST", `plans/${planId}/retired`, { isRetired: true });
    expect(retired).toMatchObject({ status: 200, json: { planId, isRetired: true } });
    expect((await ask("POST", `plans/${planId}/retired`, { isRetired: false })).json.isRetired).toBe(false);
    expect(house.changes).toEqual(["plans", "plans", "plans"]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { why: "two adaptations set one number differently for a single case", line: /for zirconia, large case, .*two adaptations set the hold at the top to different values/,
      adaptations: [
        { when: zirconia, changes: [{ kind: "set", number: "top-hold", to: 30 }] },
        { when: large, changes: [{ kind: "set", number: "top-hold", to: 40 }] },
      ] },
    { why: "three together take more than there is", line: /for zirconia, large case, second bake: the adaptations make the hold at the top −10/,
      adaptations: [zirconia, large, second].map((when, index) => ({ when, changes: [{ kind: "shift", number: "top-hold", by: [-30, -30, -10][index] }] })) },
    { why: "a furnace of its own contradicts a case", line: /for zirconia, small case, second bake on furnace furnace-1: two adaptations set the top temperature/,
      adaptations: [
        { when: second, changes: [{ kind: "set", number: "top", to: 750 }] },
        { when: onOne, changes: [{ kind: "set", number: "top", to: 764 }] },
      ] },
    { why: "a case would climb downwards", line: /for .*large case.*: step 1 climbs downwards, from 510 to 500 °C/,
      adaptations: [{ when: large, changes: [{ kind: "set", number: "top", to: 500 }] }] },
    { why: "a case would climb faster than any furnace is asked to", line: /for .*large case.*: the adaptations make the climb rate \d+ \(large case\): make one of them smaller/,
      adaptations: [{ when: large, changes: [{ kind: "shift", number: "climb-rate", by: 500 }] }] },
    { why: "two coolings are wanted at once", line: /for zirconia, large case, first bake: two adaptations want different coolings/,
      adaptations: [
        { when: zirconia, changes: [{ kind: "cooling", to: { kind: "steady", toCelsius: 600, kelvinPerMinute: 20 } }] },
        { when: large, changes: [{ kind: "cooling", to: { kind: "steady", toCelsius: 600, kelvinPerMinute: 30 } }] },
      ] },
  ])("are refused in one line when $why", async ({ adaptations, line }) => {
    const { planId } = await saved();
    for (const path of ["plans", `plans/${planId}/revisions`]) {
      const { status, json } = await ask("POST", path, { card: { ...card, adaptations } });
      expect(status).toBe(422);
      expect(json.error).toMatch(line);
      expect(json.error).toMatch(/^This card cannot be fired [^\p{C}]{10,300}\.$/u);
    }
    expect((await house.store.plans.revisions(planId)).length).toBe(1);
  });

  it("may set one number under two conditions that never meet", async () => {
    const adaptations: Adaptation[] = [
      { when: large, changes: [{ kind: "set", number: "top-hold", to: 40 }] },
      {
        when: { kind: "case-size", caseSize: "small" },
        changes: [{ kind: "set", number: "top-hold", to: 50 }],
      },
      { when: onOne, changes: [{ kind: "set", number: "top", to: 764 }] },
      {
        when: { kind: "furnace", furnaceId: "furnace-2" },
        changes: [{ kind: "set", number: "top", to: 757 }],
      },
    ];
    expect((await saved({ adaptations })).adaptations).toEqual(adaptations);
  });

  it("may have a limit below their own top: it refuses single cases, not the card", async () => {
    const limits: Card["limits"] = [{ framework: "lithium-disilicate", topCelsius: 700 }];
    expect((await saved({ limits })).limits).toEqual(limits);
  });

  it("of an unknown material are refused", async () => {
    expect(await ask("POST", "plans", { card: { ...card, materialId: 999 } })).toMatchObject({
      status: 422,
      json: { error: "There is no material 999. Choose another, or none." },
    });
  });
});

describe("a card as a file", () => {
  it("leaves its furnaces at home, takes its material along whole, and comes back as the same card", async () => {
    const material = await house.store.materials.create({ ...paste, name: "Of the file" }, false);
    const { planId } = await saved({ ...cardOfCases, materialId: material.materialId });
    const answer = await ask("GET", `plans/${planId}/file`);
    expect(answer.headers.get("content-disposition")).toContain("Layer-first-bake.card.json");
    const file = cardFileSchema.parse(answer.json);
    const travelling = cardOfCases.adaptations.filter(({ when }) => when.kind !== "furnace");
    expect(file).toEqual({
      format: "bakeside-card",
      version: 1,
      card: { plan, adaptations: travelling, limits: cardOfCases.limits },
      material: material.material,
    });
    house.changes.length = 0;
    const imported = await ask("POST", "plans/import", answer.json);
    expect(imported.status).toBe(201);
    expect(imported.json.material).toEqual(material);
    expect(planRevisionSchema.parse(imported.json.plan)).toMatchObject({
      plan,
      adaptations: travelling,
      limits: cardOfCases.limits,
      materialId: material.materialId,
      revision: 1,
      isDemonstration: false,
    });
    expect(imported.json.plan.planId).not.toBe(planId);
    expect(house.changes).toEqual(["materials", "plans"]);
    const again = await ask("GET", `plans/${imported.json.plan.planId}/file`);
    expect(again.json).toEqual(answer.json);
  });

  it("of a material that is not here brings it along", async () => {
    const material = { ...paste, name: "From elsewhere" };
    const file = { format: "bakeside-card", version: 1, card: { plan }, material };
    const first = await ask("POST", "plans/import", file);
    const added = materialRevisionSchema.parse(first.json.material);
    expect(added).toMatchObject({ material, revision: 1, isDemonstration: false });
    const again = await ask("POST", "plans/import", file);
    expect(again.json.material).toEqual(added);
    expect(again.json.plan.materialId).toBe(added.materialId);
  });

  it("without a material has none here", async () => {
    const file = { format: "bakeside-card", version: 1, card: { plan } };
    expect((await ask("POST", "plans/import", file)).json).toMatchObject({
      material: null,
      plan: { materialId: null },
    });
  });

  it("does not bring a foreign furnace's offset to a furnace of the same id", async () => {
    const adaptations = [{ when: onOne, changes: [{ kind: "shift", number: "top", by: 12 }] }];
    const file = { format: "bakeside-card", version: 1, card: { plan, adaptations } };
    expect((await ask("POST", "plans/import", file)).json.plan.adaptations).toEqual([]);
  });

  it("with as many adaptations as a card may have comes back, too", async () => {
    const changes = Array.from({ length: 20 }, () => ({
      kind: "shift" as const,
      number: "vacuum-level" as const,
      by: 0.123456789,
    }));
    const adaptations = Array.from({ length: 60 }, () => ({ when: large, changes, basis: "é".repeat(200) }));
    const vacuum = { onAtCelsius: 510, levelHectopascals: 60, release: { kind: "hold-end", hold: 1 } };
    const { json, status } = await ask("POST", "plans", {
      card: { plan: { ...plan, vacuum }, adaptations },
    });
    expect(status).toBe(201);
    const file = await ask("GET", `plans/${json.planId}/file`);
    expect(JSON.stringify(file.json, null, 2).length).toBeGreaterThan(64 * 1024);
    const imported = await fetch(`${house.address}/api/plans/import`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(file.json, null, 2),
    });
    expect(imported.status).toBe(201);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "of another format",           file: { format: "chart", version: 1, card: { plan } },                       status: 400 },
    { what: "of a later version",          file: { format: "bakeside-card", version: 2, card: { plan } },               status: 400 },
    { what: "with an id of a house's own", file: { format: "bakeside-card", version: 1, card: { plan, materialId: 1 } }, status: 400 },
    { what: "of a plan that cannot be fired", file: { format: "bakeside-card", version: 1, card: { plan: { ...plan, steps: [{ kind: "hold", seconds: 5 }] } }, material: { ...paste, name: "Never kept" } }, status: 422 },
  ])("$what is refused in one line, and nothing of it kept", async ({ file, status }) => {
    const before = [await house.store.plans.newest(), await house.store.materials.newest()];
    const answer = await ask("POST", "plans/import", file);
    expect(answer.status).toBe(status);
    expect(answer.json.error).toMatch(/^[^\p{C}]{10,300}$/u);
    expect([await house.store.plans.newest(), await house.store.materials.newest()]).toEqual(before);
  });
});

describe("materials over HTTP", () => {
  it("are saved, revised, retired and taken back, and pages are told each time", async () => {
    const material = { ...paste, name: "Our paste" };
    const created = await ask("POST", "materials", { material });
    expect(created.status).toBe(201);
    const { materialId } = materialRevisionSchema.parse(created.json);
    expect(created.json).toMatchObject({ material, revision: 1, isDemonstration: false });
    const revised = await ask("POST", `materials/${materialId}/revisions`, {
      material: { ...material, window: null },
    });
    expect(revised).toMatchObject({ status: 201, json: { materialId, revision: 2 } });
    const retired = await ask("POST", `materials/${materialId}/retired`, { isRetired: true });
    expect(retired.json).toEqual({ ...revised.json, isRetired: true });
    expect((await ask("GET", "materials")).json.materials).toContainEqual(retired.json);
    await ask("POST", `materials/${materialId}/retired`, { isRetired: false });
    expect(house.changes).toEqual(["materials", "materials", "materials", "materials"]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "a window upside down",   path: "materials",               body: { material: { ...paste, window: { leastEquivalentSeconds: 9, mostEquivalentSeconds: 8 } } }, status: 400 },
    { what: "no origin",              path: "materials",               body: { material: { ...paste, origin: undefined } }, status: 400 },
    { what: "a key too many",         path: "materials",               body: { material: { ...paste, colour: "A2" } },     status: 400 },
    { what: "a material not there",   path: "materials/999/revisions", body: { material: paste },                          status: 404 },
    { what: "none to retire",         path: "materials/999/retired",   body: { isRetired: true },                          status: 404 },
    { what: "a material of no number", path: "materials/one/retired",  body: { isRetired: true },                          status: 404 },
    { what: "none to copy",           path: "plans/999/copy",          body: { name: "x" },                                status: 404 },
    { what: "an empty name",          path: "plans/1/copy",            body: { name: "  " },                               status: 400 },
  ])("with $what are refused with $status and one line", async ({ path, body, status }) => {
    const answer = await ask("POST", path, body);
    expect(answer.status).toBe(status);
    expect(answer.json.error).toMatch(/^[^\p{C}]{10,250}$/u);
    expect(house.changes).toEqual([]);
  });
});
