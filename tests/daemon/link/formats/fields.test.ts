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
    { word: "celsius", text: "1768.1", channels: { celsius: 1768.1 } },
    { word: "celsius", text: "-270", channels: { celsius: -270 } },
    { word: "millivolts", text: "4.1234", channels: { millivolts: 4.1234 } },
    { word: "millivolts", text: "-0.0123 mV", channels: { millivolts: -0.0123 } },
    { word: "microvolts", text: "4123", channels: { millivolts: 4.123 } },
    { word: "microvolts", text: "4123 uV", channels: { millivolts: 4.123 } },
    { word: "microvolts", text: "4123 \u00b5V", channels: { millivolts: 4.123 } },
    { word: "microvolts", text: "4123 \u03bcV", channels: { millivolts: 4.123 } },
    { word: "cold-fahrenheit", text: "77", channels: { coldJunctionCelsius: 25 } },
    { word: "hectopascals", text: "50.5 mbar", channels: { hectopascals: 50.5 } },
    { word: "kilopascals", text: "101.3 kPa", channels: { hectopascals: 1013 } },
    { word: "duty-fraction", text: "0.42", channels: { heaterDutyFraction: 0.42 } },
    { word: "duty-percent", text: "42 %", channels: { heaterDutyFraction: 0.42 } },
  ])("reads $text in $word", ({ word, text, channels }) => {
    expect(read(word, text)).toEqual({ ok: true, channels });
  });

  it.each<{ word: FieldWord; text: string; why: string }>([
    { word: "celsius", text: "0x10", why: "it: not a number" },
    { word: "celsius", text: "OPENED", why: "it: not a number" },
    { word: "celsius", text: "51OL", why: "it: not a number" },
    { word: "seconds", text: "nan", why: "it: not a number" },
    { word: "millivolts", text: "4.1 V", why: "it: not a number" },
    { word: "millivolts", text: "512.4 °C", why: "it: the line says °C, the format says millivolts" },
    { word: "millivolts", text: "4.1 uV", why: "it: the line says uV, the format says millivolts" },
    { word: "celsius", text: "512.4 F", why: "it: the line says F, the format says celsius" },
    { word: "fahrenheit", text: "512.4 °C", why: "it: the line says °C, the format says fahrenheit" },
    { word: "celsius", text: "1e4", why: "it: the chamber temperature cannot be 10000 °C" },
    { word: "celsius", text: "9.9e36", why: "it: the chamber temperature cannot be 9.9e+36 °C" },
    { word: "celsius", text: "-273.2", why: "it: the chamber temperature cannot be -273.2 °C" },
    { word: "celsius", text: "2500.1", why: "it: the chamber temperature cannot be 2500.1 °C" },
    { word: "millivolts", text: "90.1", why: "it: the thermocouple's voltage cannot be 90.1 mV" },
    { word: "millivolts", text: "-15.1", why: "it: the thermocouple's voltage cannot be -15.1 mV" },
    { word: "microvolts", text: "512400", why: "it: the thermocouple's voltage cannot be 512.4 mV" },
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

  it.each(["celsius", "fahrenheit", "kelvin", "millivolts", "microvolts"] as const)(
    "tells of the probe what stands in place of a number, keeps the other channels: %s",
    (word) => {
      const fields = [
        { word, name: "a", text: "Open" },
        { word: "hectopascals" as const, name: "b", text: "1013" },
        { word: "cold-celsius" as const, name: "c", text: "---" },
      ];
      expect(fieldChannels(fields, true)).toEqual({
        ok: true,
        channels: { sensorWord: "open-circuit", hectopascals: 1013 },
      });
    },
  );

  it.each([
    { celsius: "OPEN", millivolts: "0.0213", channels: { sensorWord: "open-circuit" } },
    { celsius: "20.0", millivolts: "OPEN", channels: { sensorWord: "open-circuit" } },
    { celsius: "nan", millivolts: "OPEN", channels: { sensorWord: "open-circuit" } },
    { celsius: "nan", millivolts: "", channels: { sensorWord: "no-value" } },
    { celsius: "nan", millivolts: "4.1", channels: { millivolts: 4.1 } },
    { celsius: "512.4", millivolts: "---", channels: { celsius: 512.4 } },
  ])(
    "reads of one probe a temperature of $celsius with an EMF of $millivolts",
    ({ celsius, millivolts, channels }) => {
      const fields = [
        { word: "celsius" as const, name: "a", text: celsius },
        { word: "millivolts" as const, name: "b", text: millivolts },
      ];
      expect(fieldChannels(fields, true)).toEqual({ ok: true, channels });
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
