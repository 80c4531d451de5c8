import { it } from "@fast-check/vitest";
import fc from "fast-check";
import { describe, expect } from "vitest";
import {
  beginRequest,
  caseInPart,
  chosenAfter,
  emptyDraft,
  freeName,
  MOST_LAYERS,
  type NewLayer,
  wholeCase,
  withLayerToggled,
} from "#kiosk-ui/screens/begin/begin-draft";
import { layerNameSchema } from "#shared/layer";
import { beginRequestSchema } from "#shared/requests";
import { madeUpMaterials } from "#tests/helpers/made-up-jobs";

const [paste] = madeUpMaterials();
if (!paste) throw new Error("no material");

describe("what goes in", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { pressing: "what is proposed",        chosen: {},                         pressed: { bake: null },                   gives: { bake: "first" } },
    { pressing: "it once more",            chosen: { bake: "first" } as const, pressed: { bake: null },                   gives: { bake: null } },
    { pressing: "another",                 chosen: {},                         pressed: { bake: "second" } as const,      gives: { bake: "second" } },
    { pressing: "what nobody has proposed", chosen: {},                        pressed: { framework: "metal" } as const,  gives: { framework: "metal" } },
  ])("pressing $pressing gives $gives", ({ chosen, pressed, gives }) => {
    expect(chosenAfter({ bake: "first" }, chosen, pressed)).toEqual(gives);
  });

  it("is what was chosen by hand, over what is proposed; what was taken back is missing", () => {
    const proposed = { framework: "zirconia", caseSize: "large", bake: "second" } as const;
    expect(wholeCase(caseInPart(proposed, {}))).toEqual(proposed);
    expect(wholeCase(caseInPart(proposed, { bake: "first" }))).toEqual({ ...proposed, bake: "first" });
    expect(wholeCase(caseInPart(proposed, { caseSize: null }))).toBeNull();
  });
});

describe("the layers", () => {
  it("go on and off by their material, and count on from names that the job has", () => {
    const on = withLayerToggled([], paste, [paste.material.name]);
    expect(on).toEqual([{ materialId: 1, name: "Demo paste, standard 2" }]);
    expect(withLayerToggled(on, paste, [])).toEqual([]);
  });

  it("are no more than the daemon takes", () => {
    const full: NewLayer[] = Array.from({ length: MOST_LAYERS }, (_, index) => ({
      materialId: 100 + index,
      name: `layer ${index}`,
    }));
    expect(withLayerToggled(full, paste, [])).toBe(full);
    expect(
      beginRequestSchema.safeParse(
        beginRequest({ ...emptyDraft, layers: full }, null, { planId: 1, revision: 1 }),
      ).success,
    ).toBe(true);
  });

  it.prop([fc.string({ minLength: 1, maxLength: 80 }), fc.integer({ min: 0, max: 12 })])(
    "have names that fit and that no other has, however long their material's is",
    (name, count) => {
      fc.pre(name.trim() !== "");
      const taken: string[] = [];
      for (let index = 0; index < count; index++) taken.push(freeName(name.trim(), taken));
      const next = freeName(name.trim(), taken);
      expect(taken).not.toContain(next);
      expect(layerNameSchema.parse(next)).toBe(next);
    },
  );
});

describe("the request", () => {
  it("names the revision that was seen, and an empty job number is none", () => {
    expect(beginRequest({ ...emptyDraft, job: "  " }, null, { planId: 2, revision: 3 })).toEqual({
      planId: 2,
      revision: 3,
      case: null,
      jobNumber: null,
      layers: [],
    });
  });
});
