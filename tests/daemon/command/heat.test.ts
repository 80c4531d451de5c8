import { afterAll, describe, expect, it } from "vitest";
import { setpointCurve } from "#core/plan/setpoint";
import { measuredMillivolts } from "#core/thermocouple/cold-junction";
import type { Trace } from "#core/trace/trace";
import { glassOutcomeSchema, wareSchema } from "#shared/glass";
import { materialSchema } from "#shared/material";
import { planSchema } from "#shared/plan";
import { call, temporaryFolder } from "#tests/helpers/call";
import { sampled } from "#tests/helpers/trace";

const folder = temporaryFolder();
afterAll(() => folder.remove());

/** The test glass of the worked examples, in the packing that they fire. */
const material = materialSchema.parse({
  name: "Test glass S1",
  origin: { kind: "invented", statement: "Invented for tests: no product." },
  activationEnergyJoulesPerMole: 275_000,
  referenceCelsius: 760,
  viscosity: { logPascalSeconds: -2.5, kelvin: 4887, zeroCelsius: 153 },
  packing: { cellMicrometres: 20, relativeDensity: 0.6 },
  window: { leastEquivalentSeconds: 60, mostEquivalentSeconds: 200 },
});
const materialPath = folder.file("material.json", JSON.stringify(material));

/** 450 to 760 °C at 45 K/min, 60 s hold, down at 60 K/min to 600 °C: `end-to-end-firing-S1`. */
const plan = planSchema.parse({
  name: "S1",
  lowCelsius: 450,
  steps: [
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
    { kind: "hold", seconds: 60 },
  ],
  cooling: { kind: "steady", toCelsius: 600, kelvinPerMinute: 60 },
});
const curve = sampled(setpointCurve(plan), 1);
const topAtSeconds = ((760 - 450) / 45) * 60;

function tracePath(name: string, trace: Trace, hectopascals: (atSeconds: number) => number | null): string {
  const rows = trace.map(
    ({ atSeconds, celsius }) => `${atSeconds},${celsius.toFixed(4)},${hectopascals(atSeconds) ?? ""}`,
  );
  return folder.file(name, ["seconds,celsius,hectopascals", ...rows, ""].join("\n"));
}

/** 50 hPa from the start, air from the top on. */
const vented = tracePath("vented.csv", curve, (atSeconds) => (atSeconds < topAtSeconds ? 50 : 1013.25));

async function heated(path: string, ...options: string[]) {
  const { code, out, notes } = await call("heat", path, "--material", materialPath, "--json", ...options);
  return { code, notes, said: JSON.parse(out) };
}

describe("heat", () => {
  it("tells of the worked example what was computed independently", async () => {
    const { code, notes, said } = await heated(vented);
    expect({ code, notes, ware: said.ware }).toEqual({ code: 0, notes: "", ware: null });
    const chamber = glassOutcomeSchema.parse(said.chamber);
    // sintering-worked-examples.json: end-to-end-firing-S1, nominal; here by samples of 1 s to 0.1 mK
    expect((chamber.flowLengthMicrometres ?? 0) / 109.007).toBeCloseTo(1, 3);
    expect((chamber.edgeRadiusMicrometres ?? 0) / 87.2053).toBeCloseTo(1, 3);
    expect(chamber.closure?.celsius).toBeCloseTo(714.885, 1);
    expect(chamber.closure?.hectopascals).toBeCloseTo(50, 6);
    expect((chamber.porosityFraction ?? 0) / 0.000303781).toBeCloseTo(1, 4);
    expect((chamber.reflectanceFraction ?? 0) / 0.0832539).toBeCloseTo(1, 4);
  });

  it("tells the same of a column in mV", async () => {
    const rows = curve.map(
      ({ atSeconds, celsius }) => `${atSeconds},${measuredMillivolts("S", celsius, 24).toFixed(6)},24.0`,
    );
    const path = folder.file("mv.csv", ["seconds,millivolts,cold_junction_celsius", ...rows, ""].join("\n"));
    const { said } = await heated(path, "--type", "S");
    const { said: reference } = await heated(vented);
    expect(said.chamber.heatWorkEquivalentSeconds / reference.chamber.heatWorkEquivalentSeconds).toBeCloseTo(
      1,
      3,
    );
    expect(said.chamber.closure.hectopascals).toBeNull();
    expect(said.chamber.reflectanceFraction).toBeNull();
  });

  it("reckons with the usual ware of a framework, or with the one that was weighed", async () => {
    const usual = (await heated(vented, "--framework", "zirconia", "--size", "large")).said.ware;
    expect(wareSchema.parse(usual.ware)).toEqual({ framework: "zirconia", grams: 5, wallMillimetres: 3 });
    const thin = (await heated(vented, "--framework", "zirconia", "--grams", "1", "--wall", "0.5")).said.ware;
    expect(thin.ware).toEqual({ framework: "zirconia", grams: 1, wallMillimetres: 0.5 });
    const chamber = (await heated(vented)).said.chamber.heatWorkEquivalentSeconds;
    for (const { outcome, slowEquivalentSeconds, fastEquivalentSeconds } of [usual, thin]) {
      const { heatWorkEquivalentSeconds } = glassOutcomeSchema.parse(outcome);
      expect(slowEquivalentSeconds).toBeLessThan(heatWorkEquivalentSeconds);
      expect(heatWorkEquivalentSeconds).toBeLessThan(fastEquivalentSeconds);
      expect(fastEquivalentSeconds).toBeLessThan(chamber);
    }
    expect(usual.outcome.heatWorkEquivalentSeconds).toBeLessThan(thin.outcome.heatWorkEquivalentSeconds);
  });

  it("closes the ware's pores under the pressure of that later moment", async () => {
    const { said } = await heated(vented, "--framework", "metal", "--size", "large");
    // The thick piece is so late that its pores close when air is in already.
    expect(said.chamber.closure.hectopascals).toBeCloseTo(50, 6);
    expect(said.ware.outcome.closure.hectopascals).toBeGreaterThan(500);
    expect(said.ware.outcome.reflectanceFraction).toBeGreaterThan(0.5);
  });

  it("reads as a table, chamber and ware side by side", async () => {
    const { out } = await call("heat", vented, "--material", materialPath, "--framework", "zirconia");
    expect(out).toMatch(/^Test glass S1 \(invented\): 275 kJ\/mol, counted at 760 °C\n/);
    expect(out).toMatch(/\n +chamber +ware\nheat work +\d+\.\d s +\d+\.\d s\n {2}of 60 to 200 s +right\n/);
    expect(out).toMatch(
      /\npores close at +715 °C +71\d °C\nafter +5:53 min +\d:\d\d min\nunder +50 hPa +\d+ hPa\n/,
    );
    expect(out).toMatch(/\nWare: zirconia, 2 g, 2 mm wall; an estimate, \d+ to \d+ s if it takes up heat/);
    expect(out).toContain("consistent with, never caused by");
  });

  it("leaves out a reading that no chamber can have had, and says so", async () => {
    const torn = curve.map((sample) => (sample.atSeconds === 380 ? { ...sample, celsius: 1370 } : sample));
    const { notes, said } = await heated(tracePath("torn.csv", torn, () => 50));
    expect(said.wildReadings).toBe(1);
    expect(notes).toMatch(/torn\.csv: 1 reading\(s\) jumped away and back/);
    const { said: whole } = await heated(tracePath("whole.csv", curve, () => 50));
    expect(said.chamber.heatWorkEquivalentSeconds / whole.chamber.heatWorkEquivalentSeconds).toBeCloseTo(
      1,
      3,
    );
  });

  it("lets a gap hold no heat work, and counts it", async () => {
    const gapped = curve.filter(({ atSeconds }) => atSeconds < 420 || atSeconds > 450);
    const { notes, said } = await heated(tracePath("gap.csv", gapped, () => 50));
    expect(notes).toMatch(/gap\.csv: 1 gap\(s\), the first from 419 to 451 s, hold no heat work and no flow/);
    const { said: whole } = await heated(tracePath("whole.csv", curve, () => 50));
    expect(said.gaps).toHaveLength(1);
    const lost = whole.chamber.heatWorkEquivalentSeconds - said.chamber.heatWorkEquivalentSeconds;
    expect(lost).toBeGreaterThan(30);
    expect(lost).toBeLessThan(33);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "no trace",                  args: ["--material", materialPath],                                       says: /TRACE\.csv is missing/ },
    { what: "no material",               args: [vented],                                                           says: /--material M\.json is missing/ },
    { what: "a size of no framework",    args: [vented, "--material", materialPath, "--size", "large"],            says: /--size needs --framework/ },
    { what: "a wall of no framework",    args: [vented, "--material", materialPath, "--wall", "1"],                says: /--wall needs --framework/ },
    { what: "an unknown framework",      args: [vented, "--material", materialPath, "--framework", "wood"],        says: /--framework takes one of zirconia, lithium-disilicate, metal, none, not "wood"/ },
    { what: "a wall of nothing",         args: [vented, "--material", materialPath, "--framework", "none", "--wall", "0"], says: /--wall takes a number from 0\.05 to 50/ },
    { what: "a plan as material",        args: [vented, "--material", folder.file("plan.json", JSON.stringify(plan))], says: /plan\.json: / },
    { what: "a material as trace",       args: [materialPath, "--material", materialPath],                         says: /material\.json/ },
    { what: "a signal that is none",     args: [vented, "--material", materialPath, "--from", "kelvin"],           says: /--from takes mv or celsius/ },
  ])("refuses $what in one line, exit code 2", async ({ args, says }) => {
    const { code, out, notes } = await call("heat", ...args);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(notes).toMatch(/^[^\n]+\n$/);
    expect(notes).toMatch(says);
  });
});
