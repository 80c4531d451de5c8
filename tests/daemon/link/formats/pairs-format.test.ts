import { describe, expect, it } from "vitest";
import { readPairsLine } from "#daemon/link/formats/pairs-format";

const format = {
  kind: "pairs",
  fields: new Map([
    ["s", "seconds"],
    ["T", "celsius"],
    ["P", "hectopascals"],
  ] as const),
} as const;

describe("pairs", () => {
  it.each([
    "s=123.0 T=512.4 P=1013.2",
    "P=1013.2 T=512.4 s=123.0",
    "s=123.0, T=512.4, P=1013.2",
    "s=123.0;T=512.4;P=1013.2",
    "s: 123.0  T: 512.4  P: 1013.2",
    "s=123,0 T=512,4 P=1013,2",
    "s=123.0 T=512.4 °C P=1013.2 hPa D=0.42 unknown=words",
  ])("are read from %s", (line) => {
    expect(readPairsLine(format, line)).toEqual({
      ok: true,
      channels: { instrumentSeconds: 123, celsius: 512.4, hectopascals: 1013.2 },
    });
  });

  it("may lack some of the keys", () => {
    expect(readPairsLine(format, "T=512.4")).toEqual({ ok: true, channels: { celsius: 512.4 } });
  });

  it.each([
    {
      line: "s=1 T=OPEN TC P=1013",
      channels: { instrumentSeconds: 1, sensorWord: "open-circuit", hectopascals: 1013 },
    },
    { line: "T=", channels: { sensorWord: "no-value" } },
  ])("tell of the probe in $line", ({ line, channels }) => {
    expect(readPairsLine(format, line)).toEqual({ ok: true, channels });
  });

  it.each([
    { line: "t=512.4", why: "none of s, T, P on the line" },
    { line: "T=512.4 T=513.4", why: "T is given twice" },
    { line: "s=", why: "s: not a number" },
    { line: "hello world", why: "not key=value" },
    { line: "512.4", why: "not key=value" },
    { line: "", why: "not key=value" },
    { line: Array.from({ length: 65 }, (_, index) => `k${index}=1`).join(" "), why: "more than 64 pairs" },
  ])("are refused: $why", ({ line, why }) => {
    expect(readPairsLine(format, line)).toEqual({ ok: false, why });
  });
});
