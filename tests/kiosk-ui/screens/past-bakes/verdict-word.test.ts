import { describe, expect, it } from "vitest";
import { verdictWord } from "#kiosk-ui/screens/past-bakes/verdict-word";
import { bake } from "#tests/helpers/bake-library";

describe("the verdict in a word", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { of: "a bake that waits",                 change: { state: "waiting", heatWorkRatio: null }, word: "waiting" },
    { of: "a bake that runs",                  change: { state: "running", heatWorkRatio: 0.3 },  word: "running" },
    { of: "a bake without a plan",             change: { heatWorkRatio: null },                   word: "no-plan" },
    { of: "half the heat work",                change: { heatWorkRatio: 0.5 },                    word: "short" },
    { of: "89 %",                              change: { heatWorkRatio: 0.89 },                   word: "short" },
    { of: "91 %",                              change: { heatWorkRatio: 0.91 },                   word: "right" },
    { of: "109 %",                             change: { heatWorkRatio: 1.09 },                   word: "right" },
    { of: "111 %",                             change: { heatWorkRatio: 1.11 },                   word: "excess" },
    { of: "a minute unmeasured in 20",         change: { heatWorkRatio: 1, gapSeconds: 59 },      word: "right" },
    { of: "more than a twentieth unmeasured",  change: { heatWorkRatio: 1, gapSeconds: 61 },      word: "gap" },
  ] as const)("of $of is $word", ({ change, word }) => {
    expect(verdictWord(bake({ lengthSeconds: 1200, ...change }))).toBe(word);
  });
});
