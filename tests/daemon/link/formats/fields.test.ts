import { fc, it as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { type FieldWord, fieldChannels, strictNumber } from "#daemon/link/formats/fields";

/** What one field of a line says. */
function read(word: FieldWord, text: string) {
  return fieldChannels([{ word, name: "it", text }], true);
}

describe("strict number", () => {
  it.each(["512.4", "-3", "+0.5", ".5", "7.", "1.0e3", "2E-1"])("takes %s", (text) => {
    expect(strictNumber(text)).toBe(Number(text));
  });

  it.each([
    "",
    " ",
    "0x10",
    "1e999",
    "Infinity",
    "NaN",
    "-",
    ".",
    "1.2.3",
    "1 2",
    "10\u000084.3",
    "84.3\uFFFD",
    "1_000",
    "１２",
    "1,5",
  ])("refuses %j", (text) => {
    expect(strictNumber(text)).toBeNull();
  });

  it("takes a decimal comma only where it is told that it may", () => {
    expect(strictNumber("512,4", true)).toBe(512.4);
    expect(strictNumber("512,4", false)).toBeNull();
    expect(strictNumber("1,512,4", true)).toBeNull();
    expect(strictNumber("1.512,4", true)).toBeNull();
  });

  property.prop([fc.double({ min: -1e6, max: 1e6, noNaN: true })])("reads what toFixed writes", (value) => {
    expect(strictNumber(value.toFixed(3))).toBe(Number(value.toFixed(3)));
  });
});

describe("field channels", () => {
  // Conversions: core/units.test.ts has the sources.
  it.each<{ word: FieldWord; text: string; channels: object }>([
    { word: "minutes", text: "2.5", channels: { instrumentSeconds: 150, celsius: 20 } },
    { word: "milliseconds", text: "1500", channels: { instrumentSeconds: 1.5, celsius: 20 } },
  ])("reads $text $word as the instrument's time", ({ word, text, channels }) => {
    const fields = [
      { word, name: "a", text },
      { word: "celsius" as const, name: "b", text: "20" },
    ];
    expect(fieldChannels(fields, true)).toEqual({ ok: true, channels });
  });

  it.each<{ word: FieldWord; text: string; channels: object }>([
    { word: "celsius", text: "512.4", channels: { celsius: 512.4 } },
    { word: "celsius", text: "512.4 C", channels: { celsius: 512.4 } },
    { word: "celsius", text: "512.4°C", channels: { celsius: 512.4 } },
    { word: "celsius", text: "512,4 ° C", channels: { celsius: 512.4 } },
    { word: "fahrenheit", text: "1400F", channels: { celsius: 760 } },
    { word: "kelvin", text: "273.15", channels: { celsius: 0 } },
    { word: "cold-fahrenheit", text: "77", channels: { coldJunctionCelsius: 25 } },
    { word: "hectopascals", text: "50.5 mbar", channels: { hectopascals: 50.5 } },
    { word: "kilopascals", text: "101.3 kPa", channels: { hectopascals: 1013 } },
    { word: "duty-fraction", text: "0.42", channels: { heaterDutyFraction: 0.42 } },
    { word: "duty-percent", text: "42 %", channels: { heaterDutyFraction: 0.42 } },
  ])("reads $text in $word", ({ word, text, channels }) => {
    expect(read(word, text)).toEqual({ ok: true, channels });
  });

  it.each<{ word: FieldWord; text: string; why: string }>([
    { word: "celsius", text: "", why: "it: not a number" },
    { word: "celsius", text: "nan", why: "it: not a number" },
    { word: "celsius", text: "512.4 F", why: "it: the line says F, the format says celsius" },
    { word: "fahrenheit", text: "512.4 °C", why: "it: the line says °C, the format says fahrenheit" },
    { word: "celsius", text: "1e4", why: "it: the chamber temperature cannot be 10000 °C" },
    { word: "celsius", text: "-50.1", why: "it: the chamber temperature cannot be -50.1 °C" },
    { word: "celsius", text: "1400.1", why: "it: the chamber temperature cannot be 1400.1 °C" },
    { word: "hectopascals", text: "1200.5", why: "it: the pressure cannot be 1200.5 hPa" },
    { word: "hectopascals", text: "-0.1", why: "it: the pressure cannot be -0.1 hPa" },
    { word: "duty-fraction", text: "42", why: "it: the heater duty cannot be 42 of 1" },
    { word: "hectopascals", text: "nan", why: "no value on the line" },
  ])("refuses $text in $word", ({ word, text, why }) => {
    expect(read(word, text)).toEqual({ ok: false, why });
  });

  it.each(["", "---", "n/a", "NaN", "err"])(
    "leaves a pressure of %j absent and keeps the temperature",
    (text) => {
      const fields = [
        { word: "celsius" as const, name: "a", text: "760.0" },
        { word: "hectopascals" as const, name: "b", text },
      ];
      expect(fieldChannels(fields, true)).toEqual({ ok: true, channels: { celsius: 760 } });
    },
  );

  it("refuses the whole line for one garbled field", () => {
    const fields = [
      { word: "celsius" as const, name: "a", text: "760.0" },
      { word: "hectopascals" as const, name: "b", text: "10\uFFFD3" },
    ];
    expect(fieldChannels(fields, true)).toMatchObject({ ok: false });
  });
});
