import { describe, expect, it } from "vitest";
import {
  type ColorToken,
  darkColors,
  lightColors,
  linePairs,
  textPairs,
  tokenStyles,
} from "#kiosk-ui/tokens/tokens";

/** Relative luminance of `#rrggbb`: WCAG 2.2, "relative luminance". */
function luminance(color: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5]
    .map((start) => Number.parseInt(color.slice(start, start + 2), 16) / 255)
    .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** Contrast of two colours: WCAG 2.2, "contrast ratio". */
function contrast(one: string, other: string): number {
  const [dim = 0, bright = 0] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (bright + 0.05) / (dim + 0.05);
}

const themes: [string, Readonly<Record<ColorToken, string>>][] = [
  ["light", lightColors],
  ["dark", darkColors],
];

describe("the colour tokens", () => {
  it("are measured by a formula that gives black on white 21:1", () => {
    expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 6);
  });

  for (const [theme, colors] of themes) {
    it.each(textPairs)(`carry text of %s on %s at 4.5:1 (${theme})`, (text, ground) => {
      expect(contrast(colors[text], colors[ground])).toBeGreaterThanOrEqual(4.5);
    });

    it.each(linePairs)(`carry lines of %s on %s at 3:1 (${theme})`, (line, ground) => {
      expect(contrast(colors[line], colors[ground])).toBeGreaterThanOrEqual(3);
    });
  }

  it("say every colour in both themes, and give way to the reader's own palette and to less motion", () => {
    expect(Object.keys(darkColors)).toEqual(Object.keys(lightColors));
    expect(tokenStyles.cssText).toContain("forced-colors: active");
    expect(tokenStyles.cssText).toContain("prefers-reduced-motion: reduce");
  });
});
