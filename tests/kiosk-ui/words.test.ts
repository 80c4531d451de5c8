import { describe, expect, it } from "vitest";
import { words } from "#kiosk-ui/words";

/** Every sentence, those with a gap filled in. */
function sentences(value: unknown): string[] {
  if (typeof value === "string") return [value];
  if (typeof value === "function") return [value("7", "8")].flat();
  return Object.values(value as object).flatMap(sentences);
}

describe("the words", () => {
  it("are never empty and never lack what was put in", () => {
    const all = sentences(words);
    expect(all.length).toBeGreaterThan(150);
    for (const sentence of all) {
      expect(sentence.trim()).toBe(sentence);
      expect(sentence).not.toMatch(/^$|undefined|NaN|\[object/);
    }
  });

  it("use a true minus sign and never claim that something is safe or cool enough to touch", () => {
    for (const sentence of sentences(words)) {
      expect(sentence).not.toMatch(/(^|\s)-\d/);
      expect(sentence).not.toMatch(/safe to|cool enough/i);
    }
  });

  it("say that a demonstration is one", () => {
    expect(words.demonstration).toMatch(/^Demonstration\./);
    expect(words.running.windowNoteBrief).toContain("demonstration");
  });
});
