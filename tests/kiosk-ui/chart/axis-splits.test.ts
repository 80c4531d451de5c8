import { describe, expect, it } from "vitest";
import { temperatureSplits, timeSplits } from "#kiosk-ui/chart/axis-splits";
import { timeMark } from "#kiosk-ui/chart/chart-words";
import { temperatureText } from "#kiosk-ui/format";

describe("the temperature axis", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { from: 460, to: 780, most: 8, unit: "celsius",    marks: ["500", "550", "600", "650", "700", "750"] },
    { from: 748, to: 768, most: 5, unit: "celsius",    marks: ["750", "755", "760", "765"] },
    { from: 460, to: 780, most: 6, unit: "fahrenheit", marks: ["900", "1000", "1100", "1200", "1300", "1400"] },
    { from: 20,  to: 790, most: 4, unit: "celsius",    marks: ["200", "400", "600"] },
  ] as const)("from $from to $to °C is marked $marks in $unit", ({ from, to, most, unit, marks }) => {
    const splits = temperatureSplits({ fromCelsius: from, toCelsius: to }, most, unit);
    expect(splits.map((celsius) => temperatureText(celsius, unit))).toEqual(marks);
  });
});

describe("the time axis", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { from: 0,    to: 960,  most: 9, marks: ["0 min", "2 min", "4 min", "6 min", "8 min", "10 min", "12 min", "14 min", "16 min"] },
    { from: 735,  to: 800,  most: 4, marks: ["12:30", "13 min"] },
    { from: -120, to: 240,  most: 4, marks: ["−2 min", "0 min", "2 min", "4 min"] },
  ])("from $from to $to s is marked $marks", ({ from, to, most, marks }) => {
    expect(timeSplits({ fromSeconds: from, toSeconds: to }, most).map(timeMark)).toEqual(marks);
  });
});
