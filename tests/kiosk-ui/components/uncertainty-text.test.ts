import { describe, expect, it } from "vitest";
import {
  holdUncertaintyKelvin,
  judgedSentence,
  plusMinusText,
  ratioRangeText,
  sureText,
  withinText,
} from "#kiosk-ui/components/uncertainty-text";
import type { ComparisonUncertainty, Finding } from "#shared/comparison";

const uncertainty: ComparisonUncertainty = {
  coverageFactor: 2,
  basis: "class",
  topKelvin: 4.8,
  holds: [{ index: 1, expandedKelvin: 3.9 }],
  heatWorkRatio: { low: 0.92, high: 1.19 },
  fiveKelvinFraction: 0.17,
};

const plain = (text: string) => text.replaceAll("\u00a0", " ");

describe("what a thermocouple cannot tell", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { kelvin: 2.1,  unit: "celsius"    as const, says: "less than the ± 3.9 K of the thermocouple" },
    { kelvin: -3.8, unit: "celsius"    as const, says: "less than the ± 3.9 K of the thermocouple" },
    { kelvin: 2.1,  unit: "fahrenheit" as const, says: "less than the ± 7.0 °F of the thermocouple" },
    { kelvin: 3.9,  unit: "celsius"    as const, says: "" },
    { kelvin: 9,    unit: "celsius"    as const, says: "" },
    { kelvin: 0,    unit: "celsius"    as const, says: "" },
  ])("of $kelvin K in $unit is said as “$says”", ({ kelvin, unit, says }) => {
    expect(plain(withinText(kelvin, 3.9, unit))).toBe(says);
  });

  it("is not spoken of where nobody knows", () => {
    expect(withinText(0.1, null, "celsius")).toBe("");
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { code: "hold-high",  planned: 760, actual: 762.1, says: "Hold 1 was 2.1 K above 760 °C on average (less than the ± 3.9 K of the thermocouple): 7 % more heat work." },
    { code: "hold-low",   planned: 760, actual: 752,   says: "Hold 1 was 8 K below 760 °C on average: 7 % more heat work." },
    { code: "overshoot",  planned: 760, actual: 3,     says: "Hold 1 overshot 760 °C by 3 K (less than the ± 3.9 K of the thermocouple): 7 % more heat work." },
    { code: "undershoot", planned: 760, actual: 12,    says: "Hold 1 sank 12 K below 760 °C: 7 % more heat work." },
    { code: "hold-short", planned: 60,  actual: 59,    says: "Hold 1 lasted 59 s instead of 60 s: 7 % more heat work." },
  ] as const)("stands in the finding $code of $actual where it belongs", ({ code, planned, actual, says }) => {
    const finding: Finding = { code, index: 1, planned, actual, heatWorkEffectFraction: 0.07, needsPerson: false };
    expect(plain(judgedSentence(finding, uncertainty, "celsius"))).toBe(says);
  });

  it("leaves findings as they are without an uncertainty", () => {
    const finding = {
      code: "overshoot",
      index: 1,
      planned: 760,
      actual: 3,
      heatWorkEffectFraction: 0,
    } as const;
    expect(judgedSentence({ ...finding, needsPerson: false }, null, "celsius")).toBe(
      "Hold 1 overshot 760 °C by 3 K.",
    );
  });
});

describe("how sure the numbers of a bake are", () => {
  it("is told with the temperature, the hold and the heat work", () => {
    expect(plain(plusMinusText(4.8, "celsius"))).toBe("± 4.8 K");
    expect(plain(ratioRangeText(uncertainty))).toBe("92 to 119 %");
    expect(holdUncertaintyKelvin(uncertainty, 1)).toBe(3.9);
    expect(holdUncertaintyKelvin(uncertainty, 2)).toBe(4.8);
  });

  it("says what 5 K are worth, and what to do where it is not known", () => {
    expect(sureText(uncertainty, "celsius")).toContain("5 K are 17 % of it.");
    expect(sureText(null, "celsius")).toBe(
      "How sure: not known. Set the thermocouple’s class in Upkeep, or check it.",
    );
    expect(ratioRangeText(null)).toBe("");
    expect(holdUncertaintyKelvin(null, 1)).toBeNull();
  });
});
