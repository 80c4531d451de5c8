import { describe, expect, it } from "vitest";
import { vacuumWord } from "#kiosk-ui/chart/draw-strips";

const span = { fromSeconds: 60, toSeconds: 120 };
const scene = { planned: span, actual: span, hectopascals: 42, isMeasured: true, isStarted: true };

describe("the word at the vacuum strip", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "before a bake",                    of: { actual: null, hectopascals: null, isStarted: false },  word: "vacuum planned" },
    { what: "while the pump has not begun",     of: { actual: null, hectopascals: 1013 },                    word: "vacuum planned; now air, 1013 hPa" },
    { what: "under vacuum",                     of: {},                                                      word: "vacuum 42 hPa" },
    { what: "after air was let in",             of: { hectopascals: 1013 },                                  word: "now air, 1013 hPa" },
    { what: "where none came",                  of: { actual: null, hectopascals: null },                    word: "no vacuum seen" },
    { what: "where nothing measures it",        of: { actual: null, hectopascals: null, isMeasured: false }, word: "vacuum planned, not measured" },
    { what: "after a bake in air",              of: { planned: null, actual: null, hectopascals: null },     word: "in air" },
    { what: "during a bake in air",             of: { planned: null, actual: null, hectopascals: 1013 },     word: "air 1013 hPa" },
  ])("$what is “$word”", ({ of, word }) => {
    expect(vacuumWord({ ...scene, ...of }).replaceAll("\u00a0", " ")).toBe(word);
  });
});
