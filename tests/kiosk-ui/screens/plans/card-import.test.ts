import { describe, expect, it } from "vitest";
import { parsedCardFile, readCardFile } from "#kiosk-ui/screens/plans/card-import";
import { madeUpCard } from "#tests/helpers/made-up-card";

const { materialId: _left, ...card } = madeUpCard();
const file = { format: "bakeside-card", version: 1, card, material: null };

function lineOf(value: unknown): string {
  const read = parsedCardFile("x.json", typeof value === "string" ? value : JSON.stringify(value));
  return read.ok ? "" : read.line;
}

describe("a card file", () => {
  it("is read whole", () => {
    expect(parsedCardFile("x.json", JSON.stringify(file))).toEqual({ ok: true, file });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { what: "no JSON",          value: "temperature;time",                                               says: /^x\.json: not a card file\. Choose one that was exported from Plans\.$/ },
    { what: "a bare number",    value: "760",                                                            says: /^x\.json: not a card file/ },
    { what: "some other JSON",  value: { plans: [] },                                                    says: /^x\.json: not a card file/ },
    { what: "a later version",  value: { ...file, version: 2 },                                          says: /^x\.json, version: .+ Export it again, or mend that value\.$/ },
    { what: "a plan too hot",   value: { ...file, card: { ...card, plan: { ...card.plan, lowCelsius: 9000 } } }, says: /^x\.json, card\.plan\.lowCelsius: too big/ },
    { what: "more than a card", value: { ...file, also: true },                                          says: /^x\.json, the file: / },
  ])("that is $what is refused in one line", ({ value, says }) => {
    expect(lineOf(value)).toMatch(says);
    expect(lineOf(value)).not.toContain("\n");
  });

  it("larger than cards are is refused before it is read", async () => {
    const huge = { name: "huge.json", size: 5_000_000, text: () => Promise.reject(new Error("was read")) };
    expect(await readCardFile(huge)).toEqual({
      ok: false,
      line: "huge.json: larger than a card file is, at most 200 kB. Choose another file.",
    });
  });
});
