import { afterAll, describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { planSchema } from "#shared/plan";
import { call, temporaryFolder } from "#tests/helpers/call";

const folder = temporaryFolder();
afterAll(() => folder.remove());

const simple = {
  name: "Made up",
  dryingSeconds: 60,
  lowCelsius: 500,
  steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 52 }],
};

function planFile(plan: object): string {
  return folder.file("plan.json", JSON.stringify(plan));
}

describe("plan check", () => {
  it.each(DEMONSTRATION_PLANS)("lets $name through", async (plan) => {
    const { code, out } = await call("plan", "check", planFile(plan), "--json");
    expect({ code, findings: JSON.parse(out).findings }).toEqual({ code: 0, findings: [] });
  });

  it("says no to a plan that climbs downwards, and why", async () => {
    const path = planFile({ ...simple, steps: [{ kind: "climb", toCelsius: 400, kelvinPerMinute: 50 }] });
    const { code, out } = await call("plan", "check", path);
    expect(code).toBe(1);
    expect(out).toBe(
      "Made up: cannot be fired\nrefused  step 1 climbs downwards, from 500 to 400 °C: raise its toCelsius\n",
    );
  });

  it("notes what can be fired all the same", async () => {
    const { code, out } = await call("plan", "check", planFile({ ...simple, dryingSeconds: 0 }));
    expect(code).toBe(0);
    expect(out).toContain("note     no drying time");
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "a missing low temperature", plan: { name: "x", steps: simple.steps },          says: /plan\.json: lowCelsius: / },
    { what: "a step of no kind",         plan: { ...simple, steps: [{ kind: "jump" }] },    says: /plan\.json: steps\[1\]\.kind: / },
    { what: "a negative rate",           plan: { ...simple, steps: [{ kind: "climb", toCelsius: 700, kelvinPerMinute: -1 }] }, says: /plan\.json: steps\[1\]\.kelvinPerMinute: / },
    { what: "a list",                    plan: [],                                          says: /plan\.json: / },
  ])("refuses $what in one line, exit code 2", async ({ plan, says }) => {
    const { code, out, notes } = await call("plan", "check", planFile(plan));
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(notes).toMatch(/^[^\n]+\n$/);
    expect(notes).toMatch(says);
  });
});

describe("plan curve", () => {
  it("prints the planned temperature at every step and at the end", async () => {
    const { code, out } = await call("plan", "curve", planFile(simple), "--step", "90");
    expect(code).toBe(0);
    expect(out).toBe("seconds,celsius\n0,500\n90,526\n180,604\n270,682\n360,760\n");
  });

  it("takes 10 s where no step is given, and prints the corners as JSON", async () => {
    const { out } = await call("plan", "curve", planFile(simple), "--json");
    const { points, corners, lengthSeconds } = JSON.parse(out);
    expect(points).toHaveLength(37);
    expect(lengthSeconds).toBe(360);
    expect(corners).toEqual([
      { atSeconds: 0, celsius: 500 },
      { atSeconds: 60, celsius: 500 },
      { atSeconds: 360, celsius: 760 },
    ]);
  });

  it.each(["0", "-1", "ten", ""])("refuses a step of %j in one line", async (step) => {
    const { code, notes } = await call("plan", "curve", planFile(simple), `--step=${step}`);
    expect(code).toBe(2);
    expect(notes).toBe(
      `bakeside plan curve: --step takes a number from 0.1 to 3600, not "${step}". See: bakeside help\n`,
    );
  });

  it("refuses a plan that cannot be fired", async () => {
    const path = planFile({ ...simple, steps: [{ kind: "hold", seconds: 10 }] });
    const { code, notes } = await call("plan", "curve", path);
    expect(code).toBe(2);
    expect(notes).toMatch(/plan\.json cannot be fired: no climb/);
  });
});

describe("plan schema", () => {
  it("is JSON Schema that asks only for what has no default", async () => {
    const { code, out } = await call("plan", "schema");
    const schema = JSON.parse(out);
    expect(code).toBe(0);
    expect(schema).toMatchObject({
      $schema: "https://json-schema.org/draft/2020-12/schema",
      $id: "urn:bakeside:plan:1",
      title: "Bakeside plan",
      type: "object",
      additionalProperties: false,
      required: ["name", "lowCelsius", "steps"],
    });
    expect(Object.keys(schema.properties)).toEqual(Object.keys(planSchema.shape));
  });
});
