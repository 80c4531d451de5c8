import { request as httpRequest } from "node:http";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { parseTrace } from "#daemon/command/trace-file";
import { bakeDetailSchema } from "#shared/bake";
import { furnaceStatusSchema } from "#shared/furnace";
import { cardSchema, planRevisionSchema } from "#shared/plan";
import { FURNACE, type KioskHouse, openKioskHouse } from "#tests/helpers/kiosk-house";

let house: KioskHouse;
let planId = 0;
let bakeId = 0;
const SAMPLES = Array.from({ length: 12_000 }, (_, index) => ({
  atSeconds: index / 2,
  celsius: index === 5_000 ? 801.5 : 500 + (index % 7) / 10,
  hectopascals: 1013,
}));

beforeAll(async () => {
  house = await openKioskHouse();
  house.kioskFolder.file("index.html", "<!doctype html><title>kiosk</title>");
  const [plan] = DEMONSTRATION_PLANS;
  if (!plan) throw new RangeError("a demonstration plan is required");
  planId = (await house.store.plans.create(cardSchema.parse({ plan }), true)).planId;
  const begun = await house.recorder.begin("furnace-1", { planId, jobNumber: "A-1" });
  bakeId = begun.bake.id;
  for (const { atSeconds, celsius, hectopascals } of SAMPLES)
    house.recorder.take({
      furnaceId: "furnace-1",
      instrumentSeconds: atSeconds,
      celsius,
      hectopascals,
      receivedAtSeconds: atSeconds,
      receivedAtEpochMilliseconds: begun.bake.startedAtEpochMilliseconds + atSeconds * 1000,
    });
  await house.recorder.closeBake(bakeId);
});

afterAll(() => house.close());

async function ask(method: string, path: string, body?: unknown, headers: Record<string, string> = {}) {
  const response = await fetch(`${house.address}${path}`, {
    method,
    headers: body === undefined ? headers : { "content-type": "application/json", ...headers },
    ...(body !== undefined && { body: typeof body === "string" ? body : JSON.stringify(body) }),
  });
  const text = await response.text();
  const isJson = response.headers.get("content-type")?.startsWith("application/json");
  return { status: response.status, headers: response.headers, text, json: isJson ? JSON.parse(text) : null };
}

/** With a Host of one's own choice, which fetch does not allow. */
function askAsHost(host: string, method = "GET", path = "/api/health"): Promise<number> {
  return new Promise((resolve, reject) => {
    const { port } = new URL(house.address);
    const call = httpRequest({ host: "127.0.0.1", port, path, method, headers: { host } }, (response) => {
      response.resume();
      resolve(response.statusCode ?? 0);
    });
    call.on("error", reject).end();
  });
}

describe("the kiosk's page", () => {
  it("is served with a policy that lets nothing in from elsewhere", async () => {
    const { status, text, headers } = await ask("GET", "/");
    expect({ status, text }).toEqual({ status: 200, text: "<!doctype html><title>kiosk</title>" });
    const policy = headers.get("content-security-policy") ?? "";
    expect(policy).toContain("default-src 'none';script-src 'self';");
    expect(policy).toContain("connect-src 'self'");
    expect(policy).not.toMatch(/https?:|\*|unsafe-eval|script-src[^;]*unsafe-inline/);
    expect(headers.get("cache-control")).toBe("no-cache");
    expect(headers.get("x-powered-by")).toBeNull();
    expect(headers.get("x-content-type-options")).toBe("nosniff");
  });

  it.each([
    "/../package.json",
    "/%2e%2e/package.json",
    "/assets/..%2f..%2fpackage.json",
    "/nothing",
    "/%E0%A4%A",
  ])("has nothing at %s", async (path) => {
    expect([400, 404]).toContain(await askAsHost("127.0.0.1", "GET", path));
  });
});

describe("bakes over HTTP", () => {
  it("are listed, newest first, with how many there are", async () => {
    const { status, json } = await ask("GET", "/api/bakes?limit=1&job=a-&planId=1&grade=none");
    expect(status).toBe(200);
    expect(json.total).toBe(1);
    expect(json.bakes[0]).toMatchObject({ id: bakeId, jobNumber: "A-1", sampleCount: 12_000 });
  });

  it("are opened one by one", async () => {
    const { json } = await ask("GET", `/api/bakes/${bakeId}`);
    expect(bakeDetailSchema.parse(json).plan?.planId).toBe(planId);
  });

  it("give all their samples, sample for sample", async () => {
    expect((await ask("GET", `/api/bakes/${bakeId}/samples`)).json).toEqual({ samples: SAMPLES });
  });

  it("give fewer for a picture, with the lone peak among them", async () => {
    const { samples } = (await ask("GET", `/api/bakes/${bakeId}/samples?maximumPoints=400`)).json;
    expect(samples.length).toBeGreaterThan(100);
    expect(samples.length).toBeLessThanOrEqual(408);
    expect(samples).toContainEqual(SAMPLES[5_000]);
  });

  it("are exported as CSV that reads back as the same trace", async () => {
    const { headers, text } = await ask("GET", `/api/bakes/${bakeId}/export.csv`);
    expect(headers.get("content-disposition")).toBe(`attachment; filename=bake-${bakeId}.csv`);
    expect(text.slice(0, text.indexOf("\n"))).toBe(
      "seconds,celsius,hectopascals,cold_junction_celsius,heater_duty_fraction,millivolts",
    );
    expect(parseTrace(text, "export.csv").trace).toEqual(SAMPLES);
  });

  it("are exported as JSON with plan and samples", async () => {
    const { json } = await ask("GET", `/api/bakes/${bakeId}/export.json`);
    expect(json).toMatchObject({ file: "bakeside bake", version: 1, bake: { id: bakeId }, plan: { planId } });
    expect(json.samples).toEqual(SAMPLES);
  });

  it("take a job number, a note and a grade afterwards", async () => {
    const patched = await ask("PATCH", `/api/bakes/${bakeId}`, { jobNumber: "B-2", note: "left molar" });
    expect(patched.json).toMatchObject({ bake: { jobNumber: "B-2" }, note: "left molar" });
    const graded = await ask("POST", `/api/bakes/${bakeId}/grades`, { grade: "milky", by: "lead" });
    expect(graded.json.grades).toMatchObject([{ grade: "milky", note: null, by: "lead" }]);
  });
});

describe("furnaces over HTTP", () => {
  it("begin a bake, once at a time", async () => {
    const begun = await ask("POST", "/api/furnaces/furnace-1/begin", { planId, jobNumber: "C-3" });
    expect(begun.status).toBe(200);
    expect(bakeDetailSchema.parse(begun.json).bake).toMatchObject({ state: "waiting", jobNumber: "C-3" });
    expect(house.begun.map(({ bake }) => bake.id)).toEqual([begun.json.bake.id]);
    const again = await ask("POST", "/api/furnaces/furnace-1/begin", { planId });
    expect(again.status).toBe(409);
    const closed = await ask("POST", `/api/bakes/${begun.json.bake.id}/close`, {});
    expect(closed.json.bake.state).toBe("finished");
  });

  it("are heard on another port at once, and a new one may be added", async () => {
    const port = "tcp://127.0.0.1:9";
    const changed = await ask("PUT", "/api/furnaces/furnace-1", {
      name: "By the window",
      port,
      format: "number:celsius",
    });
    expect(furnaceStatusSchema.parse(changed.json)).toMatchObject({
      furnace: { name: "By the window", port, baudRate: 9600, isDemonstration: false },
      link: { kind: "opening", format: "number:celsius" },
    });
    await ask("PUT", "/api/furnaces/furnace-2", { name: "Second", port: null });
    expect(house.openedPorts).toEqual([port]);
    expect((await house.store.furnaces.list()).map(({ name }) => name)).toEqual(["By the window", "Second"]);
    await ask("PUT", "/api/furnaces/furnace-1", { name: FURNACE.name, port: null });
  });
});

describe("plans over HTTP", () => {
  const plan = {
    name: "New",
    dryingSeconds: 60,
    lowCelsius: 500,
    steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }],
  };

  it("are saved, and revised without being edited", async () => {
    const saved = await ask("POST", "/api/plans", { card: { plan } });
    expect(saved.status).toBe(201);
    const { planId: newId } = planRevisionSchema.parse(saved.json);
    const revised = await ask("POST", `/api/plans/${newId}/revisions`, {
      card: { plan: { ...plan, name: "Newer" } },
    });
    expect(revised.json).toMatchObject({ planId: newId, revision: 2, isDemonstration: false });
    expect((await ask("GET", "/api/plans")).json.plans).toContainEqual(revised.json);
    expect((await house.store.plans.get(newId, 1))?.plan.name).toBe("New");
  });

  it("are refused when they climb downwards", async () => {
    const steps = [{ kind: "climb", toCelsius: 400, kelvinPerMinute: 45 }];
    for (const path of ["/api/plans", `/api/plans/${planId}/revisions`])
      expect(await ask("POST", path, { card: { plan: { ...plan, steps } } })).toMatchObject({
        status: 422,
        json: {
          error:
            "This plan cannot be fired: step 1 climbs downwards, from 500 to 400 °C: raise its toCelsius.",
        },
      });
  });
});

describe("health", () => {
  it("names every line and what it does", async () => {
    const { status, json } = await ask("GET", "/api/health");
    expect(status).toBe(200);
    expect(json).toMatchObject({ status: "ok", version: "0.1.0", openBakes: 0 });
    expect(json.furnaces[0]).toEqual({ id: "furnace-1", link: "absent" });
  });
});

describe("a bad request", () => {
  const begin = "/api/furnaces/furnace-1/begin";
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "an unknown address",          method: "GET",   path: "/api/nothing",                    status: 404 },
    { what: "a bake that is not there",    method: "GET",   path: "/api/bakes/999",                  status: 404 },
    { what: "a bake of no number",         method: "GET",   path: "/api/bakes/1e3",                  status: 404 },
    { what: "a bake of a huge number",     method: "GET",   path: `/api/bakes/${"9".repeat(400)}`,   status: 404 },
    { what: "a half-encoded address",      method: "GET",   path: "/api/bakes/%E0%A4%A",             status: 400 },
    { what: "an unknown filter",           method: "GET",   path: "/api/bakes?colour=red",           status: 400 },
    { what: "a filter given twice",        method: "GET",   path: "/api/bakes?limit=1&limit=2",      status: 400 },
    { what: "a limit too large",           method: "GET",   path: "/api/bakes?limit=100000",         status: 400 },
    { what: "no points at all",            method: "GET",   path: "/api/bakes/1/samples?maximumPoints=0", status: 400 },
    { what: "no body",                     method: "POST",  path: begin,                             status: 400 },
    { what: "half a body",                 method: "POST",  path: begin, body: '{"planId":',         status: 400 },
    { what: "a body of the wrong type",    method: "POST",  path: begin, body: "[1]",                status: 400 },
    { what: "a plan id in words",          method: "POST",  path: begin, body: { planId: "one" },    status: 400 },
    { what: "a key too many",              method: "POST",  path: begin, body: { planId: 1, start: true }, status: 400 },
    { what: "a plan that is not there",    method: "POST",  path: begin, body: { planId: 999 },      status: 404 },
    { what: "a furnace that is not there", method: "POST",  path: "/api/furnaces/none/begin", body: { planId: 1 }, status: 404 },
    { what: "a furnace id of no form",     method: "PUT",   path: "/api/furnaces/A%20B", body: { name: "x", port: null }, status: 400 },
    { what: "a port of no form",           method: "PUT",   path: "/api/furnaces/furnace-1", body: { name: "x", port: "COM3" }, status: 400 },
    { what: "a format of no form",         method: "PUT",   path: "/api/furnaces/furnace-1", body: { name: "x", port: null, format: "morse" }, status: 400 },
    { what: "a job number with a line end", method: "PATCH", path: "/api/bakes/1", body: { jobNumber: "a\nb" }, status: 400 },
    { what: "a grade of no kind",          method: "POST",  path: "/api/bakes/1/grades", body: { grade: "fine" }, status: 400 },
    { what: "a grade for no bake",         method: "POST",  path: "/api/bakes/999/grades", body: { grade: "raw" }, status: 404 },
    { what: "a finished bake to close",    method: "POST",  path: "/api/bakes/1/close", body: {},     status: 409 },
    { what: "a revision of no plan",       method: "POST",  path: "/api/plans/999/revisions", body: { card: { plan: DEMONSTRATION_PLANS[0] } }, status: 404 },
    { what: "a plan without steps",        method: "POST",  path: "/api/plans", body: { card: { plan: { name: "x", lowCelsius: 500, steps: [] } } }, status: 400 },
    { what: "too much of a material",      method: "POST",  path: "/api/materials", body: { material: "x".repeat(65 * 1024) }, status: 413 },
    { what: "too much",                    method: "POST",  path: "/api/plans", body: { card: "x".repeat(513 * 1024) }, status: 413 },
  ])("with $what is refused with $status and one line", async ({ method, path, body, status }) => {
    const answer = await ask(method, path, body);
    expect(answer.status).toBe(status);
    expect(Object.keys(answer.json)).toEqual(["error"]);
    expect(answer.json.error).toMatch(/^[^\p{C}]{10,250}$/u);
  });

  it("that is no JSON by its own word is refused, so that no form of another page gets through", async () => {
    const { status } = await ask("POST", begin, '{"planId":1}', { "content-type": "text/plain" });
    expect(status).toBe(400);
  });

  it.each(["http://evil.example", "null", "http://127.0.0.1:1", "https://127.0.0.1"])(
    "from the origin %s changes nothing",
    async (origin) => {
      const { status, json } = await ask("PATCH", "/api/bakes/1", { note: "gotcha" }, { origin });
      expect(status).toBe(403);
      expect(json.error).toBe("Only the kiosk's own page may change something here.");
      expect((await house.store.bakes.detail(1))?.note).not.toBe("gotcha");
    },
  );

  it("from our own origin is let through", async () => {
    const { status } = await ask("PATCH", "/api/bakes/1", { note: "ours" }, { origin: house.address });
    expect(status).toBe(200);
  });

  it.each(["evil.example", "evil.example:8460", "127.0.0.1.evil.example", "localhost.evil.example", "[::2]"])(
    "to the host %j is refused, also for reading",
    async (host) => {
      expect(await askAsHost(host)).toBe(403);
    },
  );

  it.each(["localhost", "localhost:8460", "127.0.0.1", "[::1]:8460", "LOCALHOST:1"])(
    "to the host %s is answered",
    async (host) => {
      expect(await askAsHost(host)).toBe(200);
    },
  );
});
