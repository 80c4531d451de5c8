import { describe, expect, it } from "vitest";
import { findingSentence } from "#core/compare/finding-words";
import type { Finding } from "#core/compare/findings";

const finding = (rest: Partial<Finding> & Pick<Finding, "code">): Finding => ({
  heatWorkEffectFraction: 0,
  needsPerson: true,
  ...rest,
});

describe("a finding in words", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { said: finding({ code: "climb-slow", index: 1, planned: 45, actual: 38.24, heatWorkEffectFraction: 0.113 }), celsius: "Climb 1 ran at 38 K/min instead of 45: 11 % more heat work.", fahrenheit: "Climb 1 ran at 69 °F/min instead of 81: 11 % more heat work." },
    { said: finding({ code: "overshoot", index: 1, planned: 760, actual: 4.25, heatWorkEffectFraction: 0.06 }), celsius: "Hold 1 overshot 760 °C by 4.3 K: 6 % more heat work.", fahrenheit: "Hold 1 overshot 1400 °F by 7.7 °F: 6 % more heat work." },
    { said: finding({ code: "hold-short", index: 2, planned: 120, actual: 45 }), celsius: "Hold 2 lasted 45 s instead of 2 min 00 s.", fahrenheit: "Hold 2 lasted 45 s instead of 2 min 00 s." },
    { said: finding({ code: "top-not-reached", index: 1, planned: 760, actual: 741.2, heatWorkEffectFraction: -0.31 }), celsius: "Hold 1 never reached 760 °C; the highest was 741 °C: 31 % less heat work.", fahrenheit: "Hold 1 never reached 1400 °F; the highest was 1366 °F: 31 % less heat work." },
    { said: finding({ code: "vacuum-late", planned: 510, actual: 640.4 }), celsius: "The vacuum began at 640 °C instead of 510 °C.", fahrenheit: "The vacuum began at 1185 °F instead of 950 °F." },
    { said: finding({ code: "gap", actual: 31 }), celsius: "Nothing was measured for 31 s.", fahrenheit: "Nothing was measured for 31 s." },
    { said: finding({ code: "as-planned" }), celsius: "The bake went as planned.", fahrenheit: "The bake went as planned." },
  ])("is: $celsius", ({ said, celsius, fahrenheit }) => {
    expect(findingSentence(said, "celsius")).toBe(celsius);
    expect(findingSentence(said, "fahrenheit")).toBe(fahrenheit);
  });
});
