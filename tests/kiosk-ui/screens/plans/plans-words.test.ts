import { describe, expect, it } from "vitest";
import { stepperWords } from "#kiosk-ui/components/stepper-words";
import { plansWords } from "#kiosk-ui/screens/plans/plans-words";

/** Every sentence, those with a gap filled in. */
function sentences(value: unknown): string[] {
  if (typeof value === "string") return [value];
  if (typeof value === "function") return [value("7", "8", "9")].flat();
  return Object.values(value as object).flatMap(sentences);
}

describe("the words of Plans", () => {
  it("are never empty and never lack what was put in", () => {
    const all = sentences([plansWords, stepperWords]);
    expect(all.length).toBeGreaterThan(200);
    for (const sentence of all) {
      expect(sentence.trim()).toBe(sentence);
      expect(sentence).not.toMatch(/^$|undefined|NaN|\[object/);
    }
  });

  it("say that the material’s own instructions come first, and that what is invented is", () => {
    expect(plansWords.first).toBe("The material’s own instructions come first.");
    expect(plansWords.materials.invented).toMatch(/^Invented.*not the numbers of any real material/);
  });

  it("use a true minus sign, and never call anything safe", () => {
    for (const sentence of sentences(plansWords)) expect(sentence).not.toMatch(/(^|\s)-\d|safe/i);
  });
});
