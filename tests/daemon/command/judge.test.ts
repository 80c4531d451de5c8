import { afterAll, describe, expect, it } from "vitest";
import { setpointCurve } from "#core/plan/setpoint";
import { measuredMillivolts } from "#core/thermocouple/cold-junction";
import { THERMOCOUPLE_TYPES } from "#core/thermocouple/emf";
import type { ThermocoupleType } from "#core/thermocouple/its90-coefficients";
import { comparisonSchema } from "#shared/comparison";
import { planSchema } from "#shared/plan";
import { call, temporaryFolder } from "#tests/helpers/call";

const folder = temporaryFolder();
afterAll(() => folder.remove());

const plan = planSchema.parse({
  name: "Made up",
  dryingSeconds: 120,
  lowCelsius: 510,
  steps: [
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 50 },
    { kind: "hold", seconds: 60 },
  ],
  cooling: { kind: "steady", toCelsius: 510, kelvinPerMinute: 50 },
});
const planPath = folder.file("plan.json", JSON.stringify(plan));

/** The planned curve itself once a second, hotter by some kelvins above the low temperature. */
function traceCsv(hotterKelvin = 0, keep: (atSeconds: number) => boolean = () => true): string {
  const curve = setpointCurve(plan);
  const lengthSeconds = curve.at(-1)?.atSeconds ?? 0;
  const rows = Array.from({ length: lengthSeconds + 61 }, (_, atSeconds) => {
    const next = curve.findIndex((corner) => corner.atSeconds >= atSeconds);
    const to = curve[next] ?? { atSeconds: lengthSeconds, celsius: 510 };
    const from = curve[next - 1] ?? to;
    const share = to === from ? 1 : (atSeconds - from.atSeconds) / (to.atSeconds - from.atSeconds);
    const celsius = from.celsius + share * (to.celsius - from.celsius);
    return `${atSeconds},${(celsius + (hotterKelvin * (celsius - 510)) / 250).toFixed(3)}`;
  }).filter((_, atSeconds) => keep(atSeconds));
  return `seconds,celsius\n${rows.join("\n")}\n`;
}

async function judged(csv: string, ...options: string[]) {
  const result = await call("judge", folder.file("trace.csv", csv), "--plan", planPath, "--json", ...options);
  return { ...result, verdict: JSON.parse(result.out) };
}

/** A trace in °C as an adapter at 24 °C would give it in mV. */
function inMillivolts(csv: string, type: ThermocoupleType): string {
  const [, ...rows] = csv.trimEnd().split("\n");
  const lines = rows.map((row) => {
    const [atSeconds, celsius] = row.split(",").map(Number);
    return `${atSeconds},${measuredMillivolts(type, celsius ?? Number.NaN, 24).toFixed(6)},24.0`;
  });
  return ["seconds,millivolts,cold_junction_celsius", ...lines, ""].join("\n");
}

function sentences(findings: readonly { readonly sentence: string }[]): string[] {
  return findings.map(({ sentence }) => sentence);
}

describe("judge", () => {
  it("finds the planned curve itself as planned: ratio 1, exit code 0", async () => {
    const { code, verdict } = await judged(traceCsv());
    expect(code).toBe(0);
    expect(verdict.heatWork.ratio).toBeCloseTo(1, 3);
    expect(verdict.heatWork.equivalentOffsetKelvin).toBeCloseTo(0, 1);
    expect(verdict.peakCelsius).toBeCloseTo(760, 1);
    expect(verdict.climbs[0].actual.kelvinPerMinute).toBeCloseTo(50, 1);
    expect(verdict.findings.map((finding: { code: string }) => finding.code)).toEqual(["as-planned"]);
  });

  it("says no when the bake ran 25 K too hot, with a sentence for each finding", async () => {
    const { code, verdict } = await judged(traceCsv(25));
    expect(code).toBe(1);
    expect(verdict.overshootKelvin).toBeCloseTo(25, 0);
    expect(verdict.heatWork.ratio).toBeGreaterThan(1.5);
    for (const finding of verdict.findings) expect(finding.sentence).toMatch(/^[A-Z].*\.$/);
  });

  it("prints all that its readers are promised", async () => {
    const { verdict } = await judged(traceCsv());
    expect(Object.keys(verdict)).toEqual(
      expect.arrayContaining([
        "peakCelsius",
        "overshootKelvin",
        "overshootSeconds",
        "undershootKelvin",
        "climbs",
        "holds",
        "heatWork",
        "vacuum",
        "gaps",
        "findings",
      ]),
    );
    expect(() => comparisonSchema.parse(verdict)).not.toThrow();
  });

  it("uses the activation energy that it is given", async () => {
    const { verdict } = await judged(traceCsv(10), "--activation-energy", "450000");
    const { verdict: usual } = await judged(traceCsv(10));
    expect(verdict.heatWork.activationEnergyJoulesPerMole).toBe(450_000);
    expect(usual.heatWork.activationEnergyJoulesPerMole).toBe(325_000);
    expect(verdict.heatWork.ratio).toBeGreaterThan(usual.heatWork.ratio);
  });

  it("reports a hole in the rows as a gap", async () => {
    const { code, verdict } = await judged(traceCsv(0, (atSeconds) => atSeconds < 430 || atSeconds > 470));
    expect(code).toBe(1);
    expect(verdict.gaps).toEqual([{ fromSeconds: 429, toSeconds: 471 }]);
  });

  it("takes rows without a temperature for not measured, says so, and finds the gap", async () => {
    const csv = traceCsv().replace(/^(43\d),.*$/gm, "$1,");
    const { notes, verdict } = await judged(csv);
    expect(verdict.gaps).toEqual([{ fromSeconds: 429, toSeconds: 440 }]);
    expect(verdict.missingReadings).toEqual({ count: 10, firstLine: 432 });
    expect(notes).toMatch(
      /^\S+trace\.csv: 10 row\(s\) without a reading, the first in line 432: taken as not measured\n$/,
    );
  });

  it("reads out to people in their own unit", async () => {
    const path = folder.file("trace.csv", traceCsv(25));
    const celsius = await call("judge", path, "--plan", planPath);
    const fahrenheit = await call("judge", path, "--plan", planPath, "--fahrenheit");
    expect(celsius.out).toMatch(/^Made up\n/);
    expect(celsius.out).toContain("785.0 °C");
    expect(fahrenheit.out).toContain("1445.0 °F");
    expect(fahrenheit.out).not.toContain("°C");
  });

  // Type T ends at 400 °C.
  it.each(THERMOCOUPLE_TYPES.filter((type) => type !== "T"))(
    "finds the same in the millivolts of a type %s as in the temperatures that they come of",
    async (type) => {
      const csv = traceCsv(12);
      const { verdict: fromCelsius } = await judged(csv);
      const { code, verdict } = await judged(inMillivolts(csv, type), "--type", type);
      expect(code).toBe(1);
      expect(verdict.signal).toBe("millivolts");
      expect(verdict.heatWork.ratio).toBeCloseTo(fromCelsius.heatWork.ratio, 4);
      expect(verdict.peakCelsius).toBeCloseTo(fromCelsius.peakCelsius, 2);
      expect(sentences(verdict.findings)).toEqual(sentences(fromCelsius.findings));
    },
  );

  it("takes a cold junction that it is told, and judges another one otherwise", async () => {
    const csv = inMillivolts(traceCsv(), "S").replace(/,[^,\n]*$/gm, "");
    const { verdict } = await judged(csv, "--type", "S", "--cold", "24");
    expect(sentences(verdict.findings)).toEqual(["The bake went as planned."]);
    const { verdict: taken0 } = await judged(csv, "--type", "S", "--cold", "0");
    expect(taken0.peakCelsius).toBeCloseTo(760 - 13, 0);
  });

  it("judges a file with both by its temperatures, says so, and by its millivolts when asked", async () => {
    const hot = traceCsv(12).split("\n");
    const csv = inMillivolts(traceCsv(), "S")
      .split("\n")
      .map((line, index) => (line === "" ? "" : `${line},${hot[index]?.split(",")[1]}`))
      .join("\n");
    const usual = await judged(csv, "--type", "S");
    expect(usual.verdict).toMatchObject({ signal: "celsius", peakCelsius: expect.closeTo(772, 0) });
    expect(usual.notes).toMatch(
      /trace\.csv: judged by its temperatures; --from mv takes the column in mV instead\n$/,
    );
    const asked = await judged(csv, "--type", "S", "--from", "mv");
    expect(asked.verdict).toMatchObject({ signal: "millivolts", peakCelsius: expect.closeTo(760, 0) });
    expect(asked.notes).toBe("");
  });

  it("tells an open thermocouple, and what to look at first", async () => {
    const csv = traceCsv().replace(/^(46\d),.*$/gm, "$1,OPEN");
    const { code, verdict } = await judged(csv);
    expect(code).toBe(1);
    expect(verdict.sensorFaults).toMatchObject([
      {
        kind: "open-circuit",
        needsPerson: true,
        isActive: false,
        sentence: expect.stringMatching(/^The thermocouple was open once, \d+ s in all\.$/),
        firstLook: expect.stringMatching(/^Look first at /),
      },
    ]);
    const { out } = await call("judge", folder.file("trace.csv", csv), "--plan", planPath);
    expect(out).toMatch(
      /\n\nThermocouple\n {2}! {2}The thermocouple was open once, .*\n {5}Look first at .*\n\n/,
    );
  });

  it("finds nothing wrong with a thermocouple that is well", async () => {
    const { verdict } = await judged(inMillivolts(traceCsv(12), "S"), "--type", "S");
    expect(verdict.sensorFaults.filter(({ needsPerson }: { needsPerson: boolean }) => needsPerson)).toEqual(
      [],
    );
  });

  it("suspects the type when another one explains both levels of the plan", async () => {
    // The EMF of a type R, read as type S: right when cold, far off at the top.
    const { code, verdict } = await judged(inMillivolts(traceCsv(), "R"), "--type", "S");
    expect(code).toBe(1);
    expect(verdict.sensorFaults).toContainEqual(
      expect.objectContaining({ kind: "wrong-type", likelyType: "R", needsPerson: true }),
    );
  });

  it("says how sure it is when it is told of the probe, and what nobody said", async () => {
    const known = ["--type", "S", "--class", "iec-2", "--cold-accuracy", "1", "--accuracy", "1.5"];
    const { verdict } = await judged(inMillivolts(traceCsv(), "S"), ...known);
    // By hand at 760 °C: class 2 is 1.9 K, a kelvin at 24 °C is S(24)/S(760) = 6.0/10.7 K, all rectangular:
    // 2·√((1.9² + 1.5² + 0.56²)/3) = 2.87 K.
    expect(verdict.uncertainty).toMatchObject({
      coverageFactor: 2,
      basis: "class",
      topKelvin: expect.closeTo(2.87, 2),
      holds: [{ index: 1, expandedKelvin: expect.closeTo(2.87, 2) }],
    });
    const { low, high } = verdict.uncertainty.heatWorkRatio;
    expect(low).toBeLessThan(verdict.heatWork.ratio);
    expect(high).toBeGreaterThan(verdict.heatWork.ratio);
    expect(verdict.uncertaintyBudget.missing).toEqual(["instrument-resolution", "position"]);
    const path = folder.file("trace.csv", inMillivolts(traceCsv(), "S"));
    const { out } = await call("judge", path, "--plan", planPath, ...known);
    expect(out).toMatch(/\nhighest +760\.0 °C +± 2\.9 K \(k = 2\)\n/);
    expect(out).toMatch(/\nhold 1 +760\.0 °C +7(60\.0|59\.9) °C ± 2\.9 K /);
    // By hand: exp(325 000/8.314·(1/1033.15 − 1/1038.15)) is 1.20 in the hold, a little more below it.
    expect(out).toMatch(/ heat work from \d\d to 1\d\d % of plan\. 5 K are 2[01] % of it\./);
    expect(out).toMatch(/ Nobody said, so not in it: instrument resolution, position\.\n$/);
  });

  it("claims no uncertainty when it is told nothing of the probe", async () => {
    const { verdict } = await judged(traceCsv());
    expect(verdict).toMatchObject({ uncertainty: null, uncertaintyBudget: null });
    const { out } = await call("judge", folder.file("trace.csv", traceCsv()), "--plan", planPath);
    expect(out).not.toContain("±");
  });

  const downwards = folder.file(
    "down.json",
    JSON.stringify({ ...plan, steps: [{ kind: "climb", toCelsius: 400, kelvinPerMinute: 50 }] }),
  );
  const unknownKey = folder.file("key.json", JSON.stringify({ ...plan, hold: 3 }));
  const noJson = folder.file("no.json", "{");
  const good = folder.file("good.csv", traceCsv());
  const holed = folder.file("holed.csv", "seconds,celsius\n0,500\nx,501\n");
  const ofTypeK = folder.file("k.csv", inMillivolts(traceCsv(), "K"));
  const emf = folder.file("emf.csv", "seconds,millivolts\n0,4\n1,5\n");
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "no trace",                 args: ["--plan", planPath],                           says: /TRACE\.csv is missing/ },
    { what: "no plan",                  args: [good],                                         says: /--plan PLAN\.json is missing/ },
    { what: "a trace that is not there", args: [`${good}.x`, "--plan", planPath],             says: /good\.csv\.x does not exist: check the name/ },
    { what: "a folder for a trace",     args: [folder.path, "--plan", planPath],              says: /Cannot read .*: it is a folder/ },
    { what: "a plan that is not there", args: [good, "--plan", `${planPath}.x`],              says: /plan\.json\.x does not exist/ },
    { what: "a plan that climbs down",  args: [good, "--plan", downwards],                    says: /down\.json cannot be fired: step 1 climbs downwards, from 510 to 400 °C: raise its toCelsius/ },
    { what: "a plan with another key",  args: [good, "--plan", unknownKey],                   says: /key\.json: Unrecognized key: "hold"/ },
    { what: "a plan that is no JSON",   args: [good, "--plan", noJson],                       says: /no\.json is not JSON/ },
    { what: "garbage in the trace",     args: [holed, "--plan", planPath],                    says: /holed\.csv line 3: "x" in column seconds is no number/ },
    { what: "an unknown option",        args: [good, "--plan", planPath, "--loud"],           says: /judge: unknown option --loud/ },
    { what: "an option without value",  args: [good, "--plan"],                               says: /judge: --plan needs a value/ },
    { what: "a word too many",          args: [good, "more", "--plan", planPath],             says: /"more" is one word too many/ },
    { what: "an energy in words",       args: [good, "--plan", planPath, "--activation-energy", "lots"], says: /--activation-energy takes a number from 1000 to 2000000, not "lots"/ },
    { what: "mV without a type",        args: [emf, "--plan", planPath],                      says: /emf\.csv line 1: column millivolts is in mV: say the thermocouple with --type/ },
    { what: "mV without a cold junction", args: [emf, "--plan", planPath, "--type", "S"],     says: /line 1: no column for the cold junction of millivolts: name it cold_junction_celsius, or say it with --cold/ },
    { what: "mV of another type",       args: [ofTypeK, "--plan", planPath, "--type", "S"],   says: /k\.csv has 841 of 841 rows whose EMF no type S gives: see whether --type is right, and whether plus and minus are swapped$/m },
    { what: "mV that are not there",    args: [good, "--plan", planPath, "--type", "S", "--from", "mv"], says: /good\.csv line 1: no column in mV: name it millivolts, found seconds, celsius/ },
    { what: "a cold junction for °C",   args: [good, "--plan", planPath, "--type", "S", "--cold", "24"], says: /--cold is for a column in mV, and .*good\.csv was read by its temperatures/ },
    { what: "an unknown type",          args: [emf, "--plan", planPath, "--type", "X"],       says: /--type takes one of B, E, J, K, N, R, S, T, not "X"/ },
    { what: "an unknown class",         args: [good, "--plan", planPath, "--type", "S", "--class", "iec-3"], says: /--class takes one of iec-1, iec-2, astm-standard, astm-special for type S, not "iec-3"/ },
    { what: "a class without a type",   args: [good, "--plan", planPath, "--class", "iec-2"], says: /--class needs --type/ },
    { what: "an accuracy below zero",   args: [good, "--plan", planPath, "--accuracy", "-1"], says: /--accuracy takes a number from 0 to 200, not "-1"/ },
    { what: "another signal",           args: [good, "--plan", planPath, "--from", "volts"],  says: /--from takes mv or celsius, not "volts"/ },
  ])("refuses $what in one line, exit code 2", async ({ args, says }) => {
    const { code, out, notes } = await call("judge", ...args);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    expect(notes).toMatch(/^[^\n]+\n$/);
    expect(notes).toMatch(says);
  });
});
