import { describe, expect, it } from "vitest";
import { channelsText } from "#daemon/link/channel-words";
import { EMF_TABLES } from "#tests/core/thermocouple/published-tables";

describe("a line as people read it", () => {
  it.each([
    {
      channels: { celsius: 512.44, coldJunctionCelsius: 24.1, hectopascals: 1013.2 },
      text: "512.4 °C, cold junction 24.1 °C, 1013 hPa",
    },
    {
      channels: { instrumentSeconds: 1200, celsius: 503.9, heaterDutyFraction: 0.421 },
      text: "503.9 °C, heater at 42 %, at 1200 s",
    },
    { channels: { celsius: 500, hectopascals: 51.27 }, text: "500.0 °C, 51.27 hPa" },
    {
      channels: { celsius: 512.4, millivolts: 4.1234, coldJunctionCelsius: 24.1 },
      text: "512.4 °C, 4.1234 mV, cold junction 24.1 °C",
    },
    { channels: { millivolts: 4.1234 }, text: "4.1234 mV: no temperature without its cold junction" },
    {
      channels: { millivolts: -9, coldJunctionCelsius: 24.1 },
      text: "-9.0000 mV, cold junction 24.1 °C: no usual type of thermocouple gives this in a furnace",
    },
    {
      channels: { sensorWord: "open-circuit" as const, hectopascals: 1013.2 },
      text: "no temperature: the instrument says that the thermocouple's circuit is open, 1013 hPa",
    },
  ])("is: $text", ({ channels, text }) => {
    expect(channelsText(channels)).toBe(text);
  });

  // The published tables give EMF at 0 °C of the cold junction, so that no conversion of ours is between.
  it.each(["S", "R", "B", "K", "N"] as const)("has the temperature that type %s would be at", (type) => {
    const [celsius, millivolts] = EMF_TABLES.types[type]?.points.find(([at]) => at === 800) ?? [];
    expect(celsius).toBe(800);
    const text = channelsText({ millivolts, coldJunctionCelsius: 0 });
    const [, read] = new RegExp(`([\\d.]+) °C as type ${type}`).exec(text) ?? [];
    expect(Number(read)).toBeCloseTo(800, 0);
  });

  it("leaves out the types in which no furnace can be", () => {
    const text = channelsText({ millivolts: 32.453, coldJunctionCelsius: 20 });
    expect(text).toMatch(/^32\.4530 mV, cold junction 20\.0 °C: 799\.\d °C as type K, \d+\.\d °C as type N$/);
  });
});
