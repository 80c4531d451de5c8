import { afterAll, describe, expect, it } from "vitest";
import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import { adaptationEffects } from "#core/plan/adaptation-effects";
import { DEMONSTRATION_CARDS } from "#core/plan/demonstration-plans";
import { cardFileSchema } from "#shared/card-file";
import { numberSourceSchema, planSchema } from "#shared/plan";
import { call, temporaryFolder } from "#tests/helpers/call";

const folder = temporaryFolder();
afterAll(() => folder.remove());

const [, higherFiring] = DEMONSTRATION_CARDS;
const [, material] = DEMONSTRATION_MATERIALS;
if (!higherFiring || !material) throw new RangeError("requires the higher-firing demonstration card");
const { card } = higherFiring;

const cardPath = folder.file(
  "card.json",
  JSON.stringify({ format: "bakeside-card", version: 1, card, material }),
);
const barePath = folder.file("bare.json", JSON.stringify(card));
const planPath = folder.file("plan.json", JSON.stringify(card.plan));
const materialPath = folder.file("material.json", JSON.stringify(material));
const LARGE_SECOND = ["--framework", "zirconia", "--size", "large", "--bake", "second"];

async function fitted(...args: string[]) {
  const { code, out, notes } = await call("plan", "effective", ...args, "--json");
  return { code, notes, said: JSON.parse(out) };
}

describe("plan effective", () => {
  it("gives the plan for a case, with where each number came from", async () => {
    const { code, said } = await fitted(cardPath, ...LARGE_SECOND);
    expect(code).toBe(0);
    expect(said).toMatchObject({
      name: "Demo build-up, higher-firing",
      case: { framework: "zirconia", caseSize: "large", bake: "second" },
      isFirable: true,
      refusals: [],
      findings: [],
    });
    expect(planSchema.parse(said.plan).steps).toEqual([
      { kind: "climb", toCelsius: 750, kelvinPerMinute: 35 },
      { kind: "hold", seconds: 10 },
    ]);
    const sources = numberSourceSchema.array().parse(said.sources);
    expect(sources.find(({ number }) => number === "top")).toMatchObject({ base: 760, value: 750 });
  });

  it("counts with the material of the card file, and says what each adaptation does", async () => {
    const { said } = await fitted(cardPath, ...LARGE_SECOND);
    expect(said.heatWork).toEqual({
      referenceCelsius: 760,
      activationEnergyJoulesPerMole: 375_000,
      material: "Demo paste, higher-firing",
    });
    const settings = { activationEnergyJoulesPerMole: 375_000, material };
    const bakeCase = { framework: "zirconia", caseSize: "large", bake: "second" } as const;
    expect(said.effects).toMatchObject(adaptationEffects(card, bakeCase, null, settings) ?? {});
    const product = said.effects.steps.reduce(
      (share: number, { ratios }: { ratios: { ware: number } }) => share * ratios.ware,
      1,
    );
    expect(product).toBeCloseTo(said.effects.ratios.ware, 9);
  });

  it("reads as a table with the sums written out", async () => {
    const { out, notes } = await call("plan", "effective", cardPath, ...LARGE_SECOND);
    expect(notes).toBe("");
    expect(out).toMatch(/^Demo build-up, higher-firing, zirconia, large case, second bake\n\n/);
    expect(out).toContain(
      "  top temperature                750 °C  760 from the card, −10 large case  (common practice, no source)\n",
    );
    expect(out).toMatch(/hold at the top +10 s {2}60 from the card, 10: second bake {2}\(common practice/);
    expect(out).toMatch(/\nbase plan +124\.2 s .* 21\.6 min\nlarge case +85\.8 s +×0\.69 /);
    expect(out).toMatch(/\nin all /);
    expect(out).toContain("Heat work in s at 760 °C, 375 kJ/mol (Demo paste, higher-firing, invented)");
  });

  it.each([
    { what: "a card alone", path: barePath },
    { what: "a plan alone, which is a card without adaptations", path: planPath },
  ])("takes $what, and counts with the default where no material is said", async ({ path }) => {
    const { code, said } = await fitted(path);
    expect(code).toBe(0);
    expect(said).toMatchObject({ case: null, plan: card.plan });
    expect(said.heatWork).toMatchObject({ activationEnergyJoulesPerMole: 325_000, material: null });
    expect(said.effects).toMatchObject({ steps: [], base: { flowLengthMicrometres: null } });
  });

  it("takes a material and an activation energy from the call", async () => {
    const { said } = await fitted(planPath, "--material", materialPath, "--activation-energy", "300000");
    expect(said.heatWork).toMatchObject({ activationEnergyJoulesPerMole: 300_000, material: material.name });
    expect(said.effects.base.flowLengthMicrometres).toBeGreaterThan(0);
  });

  it("takes what is not said of the case for a medium first bake of a test piece", async () => {
    const { said } = await fitted(cardPath, "--bake", "correction");
    expect(said.case).toEqual({ framework: "none", caseSize: "medium", bake: "correction" });
  });

  it("adapts to a furnace that the card knows", async () => {
    const dialledIn = {
      ...card,
      adaptations: [
        {
          when: { kind: "furnace", furnaceId: "one" },
          changes: [{ kind: "shift", number: "top", by: 4 }],
          basis: "dial-in of 3 November",
        },
      ],
    };
    const path = folder.file("dialled-in.json", JSON.stringify(dialledIn));
    const { out } = await call("plan", "effective", path, "--furnace", "one");
    expect(out).toMatch(/764 °C {2}760 from the card, \+4 this furnace {2}\(dial-in of 3 November\)/);
    expect((await fitted(path, "--furnace", "two")).said.plan).toEqual(card.plan);
  });

  it("says no where the card refuses the case, and why", async () => {
    const torn = {
      ...card,
      adaptations: [
        ...card.adaptations,
        {
          when: { kind: "case-size", caseSize: "large" },
          changes: [{ kind: "set", number: "top-hold", to: 90 }],
        },
      ],
    };
    const path = folder.file("torn.json", JSON.stringify(torn));
    const { code, said } = await fitted(path, ...LARGE_SECOND);
    expect({ code, plan: said.plan, effects: said.effects }).toEqual({ code: 1, plan: null, effects: null });
    expect(said.refusals.map(({ number }: { number: string }) => number)).toEqual(["top-hold"]);
    const { out } = await call("plan", "effective", path, ...LARGE_SECOND);
    expect(out).toBe(
      "Demo build-up, higher-firing, zirconia, large case, second bake\ngives no plan\nrefused  two adaptations set the hold at the top to different values (large case, second bake): keep one of them, or make one a difference\n",
    );
  });

  it("says no to a plan that the card's own limit forbids", async () => {
    const limited = { ...card, limits: [{ framework: "lithium-disilicate", topCelsius: 765 }] };
    const path = folder.file("limited.json", JSON.stringify(limited));
    const { code, out } = await call("plan", "effective", path, "--framework", "lithium disilicate");
    expect(code).toBe(1);
    expect(out).toContain(
      "cannot be fired\nrefused  the top of 770 °C is above the 765 °C that this card allows",
    );
  });

  it("notes a climb that the furnace does not manage", async () => {
    const { code, out } = await call("plan", "effective", cardPath, "--fastest-climb", "38");
    expect(code).toBe(0);
    expect(out).toContain("note     step 1 climbs at 45 K/min, and this furnace so far reached at most 38");
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "no card",             args: [],                                        says: /CARD\.json is missing/ },
    { what: "an unknown size",     args: [cardPath, "--size", "huge"],              says: /--size takes one of small, medium, large, not "huge"/ },
    { what: "an unknown bake",     args: [cardPath, "--bake", "3"],                 says: /--bake takes one of first, second, correction, not "3"/ },
    { what: "kJ/mol",              args: [cardPath, "--activation-energy", "375"],  says: /--activation-energy takes a number from 1000 to 2000000/ },
    { what: "a material as card",  args: [materialPath],                            says: /material\.json: / },
    { what: "a card as material",  args: [cardPath, "--material", barePath],        says: /bare\.json: / },
    { what: "a card of tomorrow",  args: [folder.file("next.json", JSON.stringify({ format: "bakeside-card", version: 2, card }))], says: /next\.json: version: / },
    { what: "no JSON",             args: [folder.file("no.json", "{")],             says: /no\.json is not JSON/ },
    { what: "a list",              args: [folder.file("list.json", "[]")],          says: /list\.json: / },
  ])("refuses $what in one line, exit code 2", async ({ args, says }) => {
    const { code, out, notes } = await call("plan", "effective", ...args);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(notes).toMatch(/^[^\n]+\n$/);
    expect(notes).toMatch(says);
  });
});

describe("card schema and material schema", () => {
  it("are JSON Schema that asks only for what has no default", async () => {
    const asked = JSON.parse((await call("card", "schema")).out);
    expect(asked).toMatchObject({ $id: "urn:bakeside:card:1", required: ["format", "version", "card"] });
    expect(Object.keys(asked.properties)).toEqual(Object.keys(cardFileSchema.shape));
    const { code, out } = await call("material", "schema");
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({
      $id: "urn:bakeside:material:1",
      required: ["name", "origin", "activationEnergyJoulesPerMole", "referenceCelsius"],
    });
  });
});
