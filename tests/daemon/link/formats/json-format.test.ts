import { describe, expect, it } from "vitest";
import { readJsonLine } from "#daemon/link/formats/json-format";

const format = {
  kind: "json",
  fields: new Map([
    ["s", "seconds"],
    ["T", "celsius"],
    ["P", "hectopascals"],
  ] as const),
} as const;

describe("JSON lines", () => {
  it.each([
    '{"s":123.0,"T":512.4,"P":1013.2}',
    ' { "T" : "512.4" , "s":123 , "P":1013.2, "state":"say \\"T\\":", "ok":true } ',
  ])("are read from %s", (line) => {
    expect(readJsonLine(format, line)).toEqual({
      ok: true,
      channels: { instrumentSeconds: 123, celsius: 512.4, hectopascals: 1013.2 },
    });
  });

  it("may have null for a pressure", () => {
    expect(readJsonLine(format, '{"T":512.4,"P":null}')).toEqual({ ok: true, channels: { celsius: 512.4 } });
  });

  it.each([
    { line: '{"T":null,"P":1013}', channels: { sensorWord: "no-value", hectopascals: 1013 } },
    { line: '{"T":"OPEN","P":null}', channels: { sensorWord: "open-circuit" } },
    { line: '{"s":1,"T":9.9E37}', channels: { instrumentSeconds: 1, sensorWord: "above-range" } },
  ])("tell of the probe in $line", ({ line, channels }) => {
    expect(readJsonLine(format, line)).toEqual({ ok: true, channels });
  });

  it.each([
    { line: '{"T":512.4', why: "not JSON" },
    { line: "[512.4]", why: "a JSON array where an object belongs" },
    { line: "512.4", why: "not a JSON object" },
    { line: "null", why: "not a JSON object" },
    { line: '{"T":512.4,"x":{"y":1}}', why: "nested JSON in x" },
    { line: '{"T":[512.4]}', why: "nested JSON in T" },
    { line: '{"T":512.4,"T":1}', why: "a JSON key is given twice" },
    { line: '{"T":512.4,"\\u0054":1}', why: "a JSON key is given twice" },
    { line: '{"T":1e999}', why: "T: not a number" },
    { line: '{"s":null}', why: "s: not a number" },
    { line: '{"T":true}', why: "T: not a number" },
    { line: '{"x":1}', why: "none of s, T, P on the line" },
    { line: `{"T":512.4,"x":"${"y".repeat(2048)}"}`, why: "JSON of more than 2048 characters" },
    {
      line: `{${Array.from({ length: 65 }, (_, index) => `"k${index}":1`).join()}}`,
      why: "more than 64 JSON keys",
    },
  ])("are refused: $why", ({ line, why }) => {
    expect(readJsonLine(format, line)).toEqual({ ok: false, why });
  });

  it("may carry a key named as the language's own", () => {
    expect(readJsonLine(format, '{"__proto__":1,"constructor":2,"T":512.4}')).toEqual({
      ok: true,
      channels: { celsius: 512.4 },
    });
  });
});
