import { describe, expect, it } from "vitest";
import { caseText } from "#kiosk-ui/components/case-text";

describe("a case in a line", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { framework: "zirconia",           caseSize: "large",  bake: "second",     says: "large case on zirconia, second bake" },
    { framework: "lithium-disilicate", caseSize: "small",  bake: "first",      says: "small case on lithium disilicate, first bake" },
    { framework: "metal",              caseSize: "medium", bake: "correction", says: "medium case on metal, correction bake" },
    { framework: "none",               caseSize: "small",  bake: "first",      says: "small case, test piece, first bake" },
  ] as const)("is $says", ({ says, ...bakeCase }) => {
    expect(caseText(bakeCase)).toBe(says);
  });
});
