import { describe, expect, it } from "vitest";
import { guessFormats } from "#daemon/link/listen";

/** Lines of a furnace that climbs by 0.73 K a second, as `line` prints them. */
function climb(line: (seconds: number, celsius: string) => string): string[] {
  return [0, 1, 2, 3, 4, 5].map((seconds) => line(seconds, (500 + 0.73 * seconds).toFixed(1)));
}

/** Microvolts by which readings scatter. */
const SCATTER = [0.3, -0.6, 0.1, 0.9, -0.4, 0.2];

/** Lines of a type S thermocouple at 500 °C and rising, by an adapter at 24 °C: 4.1 mV and 7 µV a second. */
function emf(line: (seconds: number, millivolts: string) => string): string[] {
  return SCATTER.map((microvolts, seconds) =>
    line(seconds, (4.0942 + 0.0072 * seconds + microvolts / 1000).toFixed(4)),
  );
}

/** Lines of something that scatters by some thousandths about a value. */
function resting(value: number, line: (text: string) => string): string[] {
  return SCATTER.map((thousandths) => line((value + thousandths / 1000).toFixed(4)));
}

describe("the formats that fit", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "bare numbers",             lines: climb((_, t) => t),                                             spec: "number:celsius" },
    { what: "numbers with their unit",  lines: climb((_, t) => `${t} °F`),                                     spec: "number:fahrenheit" },
    { what: "numbers with a comma",     lines: climb((_, t) => t.replace(".", ",")),                           spec: "number:celsius" },
    { what: "time and temperature",     lines: climb((s, t) => `${s},${t}`),                                   spec: "columns/comma:seconds,celsius" },
    { what: "three columns",            lines: climb((s, t) => `${s}.0;${t};1013.2`),                          spec: "columns/semicolon:seconds,celsius,hectopascals" },
    { what: "milliseconds, cold end",   lines: climb((s, t) => `${s * 1000}\t${t}\t24.3`),                     spec: "columns/tab:milliseconds,celsius,cold-celsius" },
    { what: "a heading",                lines: ["minutes,fahrenheit", ...climb((s, t) => `${s / 60},${t}`)],   spec: "columns/comma:minutes,fahrenheit" },
    { what: "a heading and a vacuum",   lines: ["Time (s),Temp (C),Pressure (hPa)", ...climb((s, t) => `${s},${t},${900 - 100 * s}`)], spec: "columns/comma:seconds,celsius,hectopascals" },
    { what: "columns nobody wants",     lines: ["n,seconds,celsius,remark", ...climb((s, t) => `${s + 7},${s},${t},ok`)], spec: "columns/comma:skip,seconds,celsius,skip" },
    { what: "pairs",                    lines: climb((s, t) => `s=${s}.0 T=${t} P=1013.2 D=0.42`),             spec: "pairs:s=seconds,T=celsius,P=hectopascals,D=duty-fraction" },
    { what: "t beside T",               lines: climb((s, t) => `t=${s} T=${t}`),                               spec: "pairs:t=seconds,T=celsius" },
    { what: "t alone",                  lines: climb((_, t) => `t=${t} n=3`),                                  spec: "pairs:t=celsius" },
    { what: "kilopascals unsaid",       lines: climb((s, t) => `time=${s} temp=${t} cj=24.1 pressure=101.3`),  spec: "pairs:time=seconds,temp=celsius,cj=cold-celsius,pressure=kilopascals" },
    { what: "torr unsaid, percent",     lines: climb((s, t) => `sec=${s} PV=${t} P=760 out=42`),               spec: "pairs:sec=seconds,PV=celsius,P=torr,out=duty-percent" },
    { what: "JSON",                     lines: climb((s, t) => `{"s":${s}.0,"T":${t},"P":1013.2}`),            spec: "json:s=seconds,T=celsius,P=hectopascals" },
  ])("begin, for $what, with $spec", ({ lines, spec }) => {
    expect(guessFormats(lines)[0]?.spec).toBe(spec);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "an EMF and its cold junction", lines: emf((_, e) => `${e};24.1`),                        spec: "columns/semicolon:millivolts,cold-celsius" },
    { what: "time beside them",             lines: emf((s, e) => `${s}.0;${e};24.1`),                 spec: "columns/semicolon:seconds,millivolts,cold-celsius" },
    { what: "to the microvolt, colder than a room", lines: emf((s, e) => `${s},${e.slice(0, -1)},24.1,1013.2`), spec: "columns/comma:seconds,millivolts,cold-celsius,hectopascals" },
    { what: "an EMF at rest",               lines: [-0.0012, 0.0004, -0.0008, 0.0011].map((e) => `${e.toFixed(4)} 24.1`), spec: "columns/space:millivolts,cold-celsius" },
    { what: "an EMF of type K, glowing",    lines: emf((_, e) => `${(Number(e) + 40).toFixed(4)};24.1`), spec: "columns/semicolon:millivolts,cold-celsius" },
    { what: "as large as its cold junction, written more finely", lines: emf((s, e) => `${s}.0;${(Number(e) + 20).toFixed(4)};24.1`).slice(-3), spec: "columns/semicolon:seconds,millivolts,cold-celsius" },
    { what: "an EMF beside temperature and cold junction", lines: emf((s, e) => `${s};${e};${500 + s};24.1`), spec: "columns/semicolon:seconds,millivolts,celsius,cold-celsius" },
    { what: "units behind them",            lines: emf((_, e) => `${e} mV, 24.1 °C`),                 spec: "columns/comma:millivolts,cold-celsius" },
    { what: "microvolts by their unit",     lines: emf((_, e) => `${Number(e) * 1000} \u00b5V; 24.1 C`), spec: "columns/semicolon:microvolts,cold-celsius" },
    { what: "E and CJ",                     lines: emf((s, e) => `s=${s} E=${e} CJ=24.1`),            spec: "pairs:s=seconds,E=millivolts,CJ=cold-celsius" },
    { what: "E in microvolts, unsaid",      lines: emf((s, e) => `s=${s} E=${Number(e) * 1000} CJ=24.1`), spec: "pairs:s=seconds,E=microvolts,CJ=cold-celsius" },
    { what: "emf with units",               lines: emf((_, e) => `emf: ${e} mV, cj: 75.4 F`),         spec: "pairs:emf=millivolts,cj=cold-fahrenheit" },
    { what: "tc_mv",                        lines: emf((_, e) => `{"tc_mv":${e},"cold_junction":24.1}`), spec: "json:tc_mv=millivolts,cold_junction=cold-celsius" },
    { what: "uV",                           lines: emf((_, e) => `{"uV":${Number(e) * 1000},"Tref":24.1}`), spec: "json:uV=microvolts,Tref=cold-celsius" },
    { what: "a heading with mV",            lines: ["t (s);E (mV);CJ (°C)", ...emf((s, e) => `${s};${e};24.1`)], spec: "columns/semicolon:seconds,millivolts,cold-celsius" },
    { what: "one EMF with its unit",        lines: emf((_, e) => `${e} mV`),                          spec: "number:millivolts" },
    { what: "two temperatures with units",  lines: climb((_, t) => `${t} C, 24.1 C`),                 spec: "columns/comma:celsius,cold-celsius" },
    { what: "named ones with units",        lines: climb((_, t) => `T=${t}C CJ=24.1C`),               spec: "pairs:T=celsius,CJ=cold-celsius" },
    { what: "a probe that broke",           lines: [...climb((s, t) => `${s};${t};1013.2`), "6;OPEN;1013.2", "7;OPEN;1013.2"], spec: "columns/semicolon:seconds,celsius,hectopascals" },
    { what: "a probe that is broken",       lines: climb((s) => `s=${s} T=OPEN P=1013.2`),            spec: "pairs:s=seconds,T=celsius,P=hectopascals" },
    { what: "a broken one in EMF",          lines: emf((s) => `{"s":${s},"E":null,"CJ":24.1}`),       spec: "json:s=seconds,E=millivolts,CJ=cold-celsius" },
    { what: "a probe past its range",       lines: climb((s) => `s=${s} T=2047.8`),                   spec: "pairs:s=seconds,T=celsius" },
  ])("begin, for $what, with $spec", ({ lines, spec }) => {
    expect(guessFormats(lines)[0]?.spec).toBe(spec);
  });

  it.each([
    { what: "a chamber at rest beside its cold junction", lines: resting(24.3, (t) => `${t};24.1043`) },
    {
      what: "a temperature to three decimals, or an EMF of type K",
      lines: resting(61, (t) => `${t.slice(0, -1)};24.1`),
    },
  ])("leave it open whether it is $what", ({ lines }) => {
    const specs = guessFormats(lines).map(({ spec }) => spec);
    expect(specs[0]).toBe("columns/semicolon:celsius,cold-celsius");
    expect(specs).toContain("columns/semicolon:millivolts,cold-celsius");
  });

  it("offer other units where nobody said one, but not those in which no chamber can be", () => {
    const specs = guessFormats(climb((_, t) => `T=${t}`)).map(({ spec }) => spec);
    expect(specs).toEqual(["pairs:T=celsius", "pairs:T=fahrenheit", "pairs:T=kelvin"]);
    expect(guessFormats(climb(() => "T=20.1")).map(({ spec }) => spec)).toEqual([
      "pairs:T=celsius",
      "pairs:T=fahrenheit",
    ]);
  });

  it("do not take a unit behind a space for a column", () => {
    expect(guessFormats(climb((_, t) => `${t} K`)).map(({ spec }) => spec)).toEqual(["number:kelvin"]);
  });

  it("are none for counts that no chamber can be at", () => {
    expect(guessFormats(climb((s) => `${3000 + s}`))).toEqual([]);
  });

  it("show the newest line as it would be read, and how many fit", () => {
    const lines = ["boot v1.2", ...climb((s, t) => `${s};${t}`), "6;50"];
    expect(guessFormats(lines)[0]).toMatchObject({
      spec: "columns/semicolon:seconds,celsius",
      preview: { instrumentSeconds: 6, celsius: 50 },
      fits: 7,
    });
  });

  it.each([
    { what: "no lines", lines: [] },
    { what: "words", lines: ["hello", "hello world", "what=ever"] },
    { what: "binary", lines: ["\u0000\uFFFD\uFFFD", "\uFFFD~\u0001"] },
  ])("are none for $what", ({ lines }) => {
    expect(guessFormats(lines)).toEqual([]);
  });

  it("come in falling order of score, each once", () => {
    const guesses = guessFormats(climb((s, t) => `${s};${t};1013.2;0.4`));
    const scores = guesses.map(({ score }) => score);
    expect(scores.length).toBeGreaterThan(1);
    expect(scores).toEqual([...scores].sort((a, b) => b - a));
    expect(new Set(guesses.map(({ spec }) => spec)).size).toBe(guesses.length);
  });
});
