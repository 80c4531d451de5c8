import { describe, expect, it } from "vitest";
import { checkWords } from "#kiosk-ui/screens/upkeep/check-words";
import { upkeepWords } from "#kiosk-ui/screens/upkeep/upkeep-words";

/** Every sentence, those with a gap filled in. */
function sentences(value: unknown): string[] {
  if (typeof value === "string") return [value];
  if (typeof value === "function") return [value(7, "8", "9")].flat();
  return Object.values(value as object).flatMap(sentences);
}

describe("the words of Upkeep", () => {
  const all = [...sentences(checkWords), ...sentences(upkeepWords)];

  it("are never empty and never lack what was put in", () => {
    expect(all.length).toBeGreaterThan(150);
    for (const sentence of all) expect(sentence).not.toMatch(/^\s*$|undefined|NaN|\[object/);
  });

  it("use a true minus sign and never claim that something is safe or cool enough to touch", () => {
    for (const sentence of all) {
      expect(sentence).not.toMatch(/(^|\s)-\d/);
      expect(sentence).not.toMatch(/(^|[^o] )safe\b(?!ty)|cool enough/i);
    }
  });

  it("say that saving a check changes no reading, and what accepting one does", () => {
    expect(checkWords.wire.saveHelp).toBe("Saving changes no reading.");
    expect(checkWords.result.raised("2 K")).toContain("from the next bake on");
    expect(checkWords.result.lowered("2 K")).toContain("from the next bake on");
  });
});
