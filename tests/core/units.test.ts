import { fc, it as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import {
  celsiusFromFahrenheit,
  celsiusFromKelvin,
  fahrenheitDifferenceFromKelvin,
  fahrenheitFromCelsius,
  hectopascalsFromInchesOfMercury,
  hectopascalsFromKilopascals,
  hectopascalsFromMillimetresOfMercury,
  hectopascalsFromTorr,
  kelvinFromCelsius,
} from "#core/units";

describe("temperatures", () => {
  // Fixed points of the scales: by definition; −40 is where both scales meet.
  it.each([
    { fahrenheit: 32, celsius: 0 },
    { fahrenheit: 212, celsius: 100 },
    { fahrenheit: -40, celsius: -40 },
    { fahrenheit: 1400, celsius: 760 },
  ])("of $fahrenheit °F are $celsius °C", ({ fahrenheit, celsius }) => {
    expect(celsiusFromFahrenheit(fahrenheit)).toBeCloseTo(celsius, 10);
  });

  it("of absolute zero are −273.15 °C", () => {
    expect(celsiusFromKelvin(0)).toBe(-273.15);
  });

  it("of silver's freezing point, 961.78 °C on the ITS-90, are 1234.93 K", () => {
    expect(kelvinFromCelsius(961.78)).toBeCloseTo(1234.93, 10); // ITS-90 defining fixed point, table 1
  });

  it("differ by 50 K where they differ by 90 °F", () => {
    expect(fahrenheitDifferenceFromKelvin(50)).toBe(90);
    expect(celsiusFromFahrenheit(1490) - celsiusFromFahrenheit(1400)).toBeCloseTo(50, 9);
  });

  property.prop([fc.double({ min: -273, max: 2000, noNaN: true })])("come back from °F and K", (celsius) => {
    expect(celsiusFromFahrenheit(fahrenheitFromCelsius(celsius))).toBeCloseTo(celsius, 9);
    expect(celsiusFromKelvin(kelvinFromCelsius(celsius))).toBeCloseTo(celsius, 9);
  });
});

describe("pressures", () => {
  it("of 760 torr are one standard atmosphere", () => {
    expect(hectopascalsFromTorr(760)).toBeCloseTo(1013.25, 10); // 101 325 Pa, by definition
  });

  it("of a millimetre of mercury are its density times gravity", () => {
    expect(hectopascalsFromMillimetresOfMercury(1)).toBeCloseTo((13_595.1 * 9.80665 * 0.001) / 100, 8);
  });

  it("of an inch of mercury are 25.4 mm of it, to the digits that are published", () => {
    expect(hectopascalsFromInchesOfMercury(1)).toBeCloseTo(hectopascalsFromMillimetresOfMercury(25.4), 5);
  });

  it("of a kilopascal are ten hectopascals", () => {
    expect(hectopascalsFromKilopascals(101.325)).toBeCloseTo(1013.25, 10);
  });
});
