import { describe, expect, it } from "vitest";
import { keepLastBegun, keptLastBegun } from "#kiosk-ui/screens/begin/last-begun";

function keep(values: Record<string, string> = {}) {
  const kept = new Map(Object.entries(values));
  return {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => kept.set(key, value),
  };
}

describe("what was begun last", () => {
  it("is kept for each furnace by itself", () => {
    const page = keep();
    const begun = { case: { framework: "metal", caseSize: "small", bake: "first" }, planId: 3 } as const;
    keepLastBegun(page, "furnace-1", begun);
    expect(keptLastBegun(page, "furnace-1")).toEqual(begun);
    expect(keptLastBegun(page, "furnace-2")).toBeNull();
  });

  it.each(["{", "7", '{"case":{"framework":"wood"},"planId":1}', '{"case":null}'])(
    "proposes nothing from what cannot be read: %s",
    (text) => {
      expect(keptLastBegun(keep({ "bakeside-begun-furnace-1": text }), "furnace-1")).toBeNull();
    },
  );

  it("is forgotten where the browser refuses", () => {
    const refusing = {
      getItem: () => {
        throw new Error("refused");
      },
      setItem: () => {
        throw new Error("refused");
      },
    };
    keepLastBegun(refusing, "furnace-1", { case: null, planId: 1 });
    expect(keptLastBegun(refusing, "furnace-1")).toBeNull();
  });
});
