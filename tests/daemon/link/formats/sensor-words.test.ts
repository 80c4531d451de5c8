import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { sensorWordOf } from "#daemon/link/formats/sensor-words";

const page = readFileSync(new URL("../../../../daemon/link/formats/formats.md", import.meta.url), "utf8");

/** The page's table of words: every word of a row with what it says. */
const rows = [
  ...page.matchAll(/^\| (.*`) +\| `(open-circuit|above-range|below-range|no-value)` *\|$/gm),
].flatMap(([, cell = "", says = ""]) =>
  [...cell.matchAll(/`([^`]+)`/g)].map(([, text = ""]) => ({ text, says })),
);

describe("words in place of a number", () => {
  it("are on the page", () => {
    expect(new Set(rows.map(({ says }) => says)).size).toBe(4);
    expect(rows.length).toBeGreaterThan(25);
  });

  it.each(rows)("say $says with $text", ({ text, says }) => {
    expect(sensorWordOf(text)).toBe(says);
    expect(sensorWordOf(text.toUpperCase())).toBe(says);
  });

  // SCPI numbers as <NR3> prints them: any number of zeros, a plus in the exponent.
  it.each([
    { text: "", says: "no-value" },
    { text: "OPEN_TC", says: "open-circuit" },
    { text: "+9.90000000E+37", says: "above-range" },
    { text: "-9.90000000E+37", says: "below-range" },
    { text: "+9.91000000E+37", says: "no-value" },
  ])("say $says with $text", ({ text, says }) => {
    expect(sensorWordOf(text)).toBe(says);
  });

  it.each(["512.4", "0", "opened", "o", "T", "OPEN\uFFFD", "9.9E36", "9.92E37", "constructor", "ol1"])(
    "are none in %j",
    (text) => {
      expect(sensorWordOf(text)).toBeNull();
    },
  );
});
