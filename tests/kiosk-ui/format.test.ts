import { describe, expect, it } from "vitest";
import {
  ageText,
  differenceWithUnit,
  durationText,
  numberText,
  percentText,
  pressureText,
  rateText,
  signedText,
  temperatureWithUnit,
} from "#kiosk-ui/format";

describe("numbers as people read them", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "a negative number",            shown: numberText(-3.25, 1),                   text: "\u22123.3" },
    { what: "almost nothing below zero",    shown: numberText(-0.04, 1),                   text: "0.0" },
    { what: "a gain",                       shown: signedText(4.2),                        text: "+4" },
    { what: "a loss",                       shown: signedText(-12),                        text: "\u221212" },
    { what: "760 °C",                       shown: temperatureWithUnit(760, "celsius"),    text: "760\u00a0°C" },
    { what: "760 °C in °F",                 shown: temperatureWithUnit(760, "fahrenheit"), text: "1400\u00a0°F" },
    { what: "10 K in °F, without offset",   shown: differenceWithUnit(-10, "fahrenheit"),  text: "18\u00a0°F" },
    { what: "a climb",                      shown: rateText(45, "celsius"),                text: "45\u00a0K/min" },
    { what: "a climb in °F",                shown: rateText(45, "fahrenheit"),             text: "81\u00a0°F/min" },
    { what: "3 minutes 10",                 shown: durationText(190),                      text: "3:10" },
    { what: "a rounded-up minute",          shown: durationText(59.6),                     text: "1:00" },
    { what: "more than an hour",            shown: durationText(3723),                     text: "1:02:03" },
    { what: "no time left",                 shown: durationText(-4),                       text: "0:00" },
    { what: "8 seconds ago",                shown: ageText(8.9),                           text: "8\u00a0s" },
    { what: "3 minutes ago",                shown: ageText(180),                           text: "3\u00a0min" },
    { what: "a share",                      shown: percentText(0.876),                     text: "88" },
    { what: "a vacuum",                     shown: pressureText(42.3),                     text: "42\u00a0hPa" },
    { what: "a fine vacuum",                shown: pressureText(4.26),                     text: "4.3\u00a0hPa" },
  ])("$what reads $text", ({ shown, text }) => {
    expect(shown).toBe(text);
  });
});
