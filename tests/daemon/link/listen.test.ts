import { describe, expect, it } from "vitest";
import { guessFormats } from "#daemon/link/listen";

/** Lines of a furnace that climbs by 0.73 K a second, as `line` prints them. */
function climb(line: (seconds: number, celsius: string) => string): string[] {
  return [0, 1, 2, 3, 4, 5].map((seconds) => line(seconds, (500 + 0.73 * seconds).toFixed(1)));
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
