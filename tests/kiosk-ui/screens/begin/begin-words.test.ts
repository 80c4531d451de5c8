import { describe, expect, it } from "vitest";
import { beginWords } from "#kiosk-ui/screens/begin/begin-words";

/** Every sentence, those with a gap filled in. */
function sentences(value: unknown): string[] {
  if (typeof value === "string") return [value];
  if (typeof value === "function") return [value("7", "8", "9")].flat();
  return Object.values(value as object).flatMap(sentences);
}

describe("the words of Begin", () => {
  it("are never empty and never lack what was put in", () => {
    for (const sentence of sentences(beginWords)) {
      expect(sentence.trim()).toBe(sentence);
      expect(sentence).not.toMatch(/^$|undefined|NaN|\[object|(^|\s)-\d/);
    }
  });

  it("count one bake and several", () => {
    expect(beginWords.knownJob("4411", 1)).toBe("Job 4411 has had 1 bake.");
    expect(beginWords.knownJob("4411", 2)).toBe("Job 4411 has had 2 bakes.");
  });

  it("never say that the kiosk sets the furnace", () => {
    expect(beginWords.setNumbers).toBe("Set these numbers on the furnace.");
    expect(beginWords.setNumbersDetail).toContain("only watches");
  });
});
