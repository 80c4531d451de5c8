import { describe, expect, it } from "vitest";
import {
  type QuantityStyle,
  quantityText,
  steppedQuantity,
  typedQuantity,
  typedText,
} from "#kiosk-ui/components/quantity";

function style(changes: Partial<QuantityStyle>): QuantityStyle {
  return { kind: "temperature", unit: "celsius", decimals: 0, sign: "", isSigned: false, ...changes };
}

const plain = (text: string) => text.replaceAll("\u00a0", " ");

describe("a number that is set", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { value: 760,  of: style({}),                                          text: "760 °C" },
    { value: 760,  of: style({ unit: "fahrenheit" }),                      text: "1400 °F" },
    { value: -10,  of: style({ kind: "difference", isSigned: true }),      text: "−10 K" },
    { value: 10,   of: style({ kind: "difference", isSigned: true }),      text: "+10 K" },
    { value: 10,   of: style({ kind: "difference", unit: "fahrenheit" }),  text: "18 °F" },
    { value: 45,   of: style({ kind: "rate" }),                            text: "45 K/min" },
    { value: 45,   of: style({ kind: "rate", unit: "fahrenheit" }),        text: "81 °F/min" },
    { value: 90,   of: style({ kind: "duration" }),                        text: "1:30" },
    { value: -50,  of: style({ kind: "duration", isSigned: true }),        text: "−0:50" },
    { value: 0,    of: style({ kind: "duration", isSigned: true }),        text: "0:00" },
    { value: 45,   of: style({ kind: "pressure" }),                        text: "45 hPa" },
    { value: 325,  of: style({ kind: "bare", sign: "kJ/mol" }),            text: "325 kJ/mol" },
    { value: -2.4, of: style({ kind: "bare", decimals: 2 }),               text: "−2.40" },
  ])("of $value is read as $text", ({ value, of, text }) => {
    expect(plain(quantityText(value, of))).toBe(text);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { from: 758, step: 5,    direction: 1 as const,  of: style({}),                     to: 760 },
    { from: 760, step: 5,    direction: 1 as const,  of: style({}),                     to: 765 },
    { from: 758, step: 5,    direction: -1 as const, of: style({}),                     to: 755 },
    { from: 0.3, step: 0.01, direction: 1 as const,  of: style({ kind: "bare" }),       to: 0.31 },
    { from: 65,  step: 10,   direction: -1 as const, of: style({ kind: "duration" }),   to: 60 },
    // 1400 °F is 760 °C, 1405 °F is 762.78 °C
    { from: 760, step: 5,    direction: 1 as const,  of: style({ unit: "fahrenheit" }), to: 6865 / 9 },
  ])("goes from $from to the next whole step, $to", ({ from, step, direction, of, to }) => {
    expect(steppedQuantity(from, step, direction, of)).toBeCloseTo(to, 9);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { typed: "130",  of: style({ kind: "duration" }),                     shown: "1:30",  value: 90 },
    { typed: "5",    of: style({ kind: "duration" }),                     shown: "0:05",  value: 5 },
    { typed: "1000", of: style({ kind: "duration" }),                     shown: "10:00", value: 600 },
    { typed: "-30",  of: style({ kind: "duration" }),                     shown: "−0:30", value: -30 },
    { typed: "1400", of: style({ unit: "fahrenheit" }),                   shown: "1400",  value: 760 },
    { typed: "-2.5", of: style({ kind: "bare" }),                         shown: "−2.5",  value: -2.5 },
    { typed: "",     of: style({}),                                       shown: "–",     value: null },
    { typed: "-",    of: style({ kind: "difference" }),                   shown: "−",     value: null },
  ])("typed $typed shows $shown and is $value", ({ typed, of, shown, value }) => {
    expect(typedText(typed, of)).toBe(shown);
    if (value === null) expect(typedQuantity(typed, of)).toBeNull();
    else expect(typedQuantity(typed, of)).toBeCloseTo(value, 9);
  });
});
