import { describe, expect, it } from "vitest";
import {
  celsiusWithType,
  channelsText,
  isMillivolts,
  latestChannels,
  signalText,
} from "#kiosk-ui/screens/upkeep/connect/channels-text";
import { furnace } from "#tests/helpers/kiosk-messages";

/** With ordinary spaces, as a person reads it. */
const read = (text: string) => text.replaceAll("\u00a0", " ");

describe("what a line said", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { channels: { celsius: 512.4, coldJunctionCelsius: 24.1, hectopascals: 1013 }, text: "512.4 °C, cold junction 24.1 °C, 1013 hPa" },
    { channels: { millivolts: 4.1234, coldJunctionCelsius: 24.1 },                 text: "4.1234 mV, cold junction 24.1 °C" },
    { channels: { celsius: -3.25, heaterDutyFraction: 0.42 },                      text: "−3.3 °C, 42 % power" },
    { channels: { sensorWord: "open-circuit" as const, coldJunctionCelsius: 24 },  text: "its probe says open circuit, cold junction 24.0 °C" },
  ])("reads $text", ({ channels, text }) => {
    expect(read(channelsText(channels, "celsius"))).toBe(text);
  });

  it("is in the page's own unit", () => {
    expect(read(channelsText({ celsius: 100, coldJunctionCelsius: 20 }, "fahrenheit"))).toBe(
      "212.0 °F, cold junction 68.0 °F",
    );
    expect(read(signalText({ millivolts: -0.1 }, "fahrenheit"))).toBe("−0.1000 mV");
  });

  it("is millivolts only where the instrument gives no temperature itself", () => {
    expect(isMillivolts({ millivolts: 4 })).toBe(true);
    expect(isMillivolts({ millivolts: 4, celsius: 500 })).toBe(false);
    expect(isMillivolts({ celsius: 500 })).toBe(false);
  });
});

describe("millivolts with a type", () => {
  // ITS-90 reference tables (NIST Monograph 175), as printed: E of S at 500 °C 4.233 mV, at 20 °C 0.113 mV;
  // of K at 800 °C 33.275 mV, at 20 °C 0.798 mV
  // biome-ignore format: a table reads in columns
  it.each([
    { type: "S" as const, millivolts: 4.233 - 0.113,  celsius: 500 },
    { type: "K" as const, millivolts: 33.275 - 0.798, celsius: 800 },
  ])("$type and $millivolts mV over 20 °C are $celsius °C", ({ type, millivolts, celsius }) => {
    const found = celsiusWithType(type, { millivolts, coldJunctionCelsius: 20 });
    expect(Math.abs((found ?? Number.NaN) - celsius)).toBeLessThan(0.15); // both values are printed to 1 µV
  });

  it("are no temperature outside of the type's range, or without a cold junction", () => {
    expect(celsiusWithType("S", { millivolts: 40, coldJunctionCelsius: 20 })).toBeNull();
    expect(celsiusWithType("B", { millivolts: 1, coldJunctionCelsius: -5 })).toBeNull();
    expect(celsiusWithType("S", { millivolts: 4 })).toBeNull();
  });
});

describe("what a furnace said last", () => {
  const said = (format: string) =>
    latestChannels({
      ...furnace(),
      furnace: { ...furnace().furnace, format },
      latest: { sample: { celsius: 502, millivolts: 4.1 }, receivedAtEpochMilliseconds: 0 },
    });

  it("is its millivolts where the temperature was made of them", () => {
    expect(said("pairs:E=millivolts,CJ=cold-celsius")).toEqual({ millivolts: 4.1 });
  });

  it("is its own temperature where it gives one", () => {
    expect(said("pairs:E=millivolts,T=celsius")).toEqual({ celsius: 502, millivolts: 4.1 });
    expect(latestChannels(furnace())).toEqual({ celsius: 502 });
    expect(latestChannels({ ...furnace(), latest: null })).toEqual({});
  });
});
