import { describe, expect, it } from "vitest";
import { type PageLoaders, PlacePages } from "#kiosk-ui/screens/place-pages";

/** Pages that come, except those whose line is cut; every asking is noted. */
function pages(cut: Set<string> = new Set()) {
  const asked: string[] = [];
  const load = (place: string) => async () => {
    asked.push(place);
    if (cut.has(place)) throw new TypeError("Failed to fetch dynamically imported module");
  };
  const loaders: PageLoaders = {
    begin: load("begin"),
    "past-bakes": load("past-bakes"),
    plans: load("plans"),
    upkeep: load("upkeep"),
  };
  const seen: string[] = [];
  const subject: PlacePages = new PlacePages(() => seen.push(subject.stateOf("plans")), loaders);
  return { subject, asked, seen, cut };
}

const atOnce = async () => {};

describe("the pages of the places", () => {
  it("are fetched when first opened, and not again", async () => {
    const { subject, asked, seen } = pages();
    expect(subject.stateOf("plans")).toBe("unasked");
    expect(await subject.fetch("plans")).toBe(true);
    expect(await subject.fetch("plans")).toBe(true);
    expect(asked).toEqual(["plans"]);
    expect(seen).toEqual(["loading", "ready"]);
  });

  it("say that one did not come, and come when asked for again", async () => {
    const { subject, seen, cut } = pages(new Set(["plans"]));
    expect(await subject.fetch("plans")).toBe(false);
    expect(subject.stateOf("plans")).toBe("failed");
    cut.clear();
    expect(await subject.fetch("plans")).toBe(true);
    expect(seen).toEqual(["loading", "failed", "loading", "ready"]);
  });

  it("are all there after quiet moments, without a word of loading", async () => {
    const { subject, asked, seen } = pages();
    await subject.fetchInQuiet(atOnce);
    expect(asked).toEqual(["begin", "past-bakes", "plans", "upkeep"]);
    expect(seen).not.toContain("loading");
    expect(subject.stateOf("upkeep")).toBe("ready");
  });

  it("wait for each quiet moment", async () => {
    const { subject, asked } = pages();
    let moments = 0;
    const fetching = subject.fetchInQuiet(() =>
      ++moments <= 2 ? Promise.resolve() : new Promise<never>(() => {}),
    );
    await Promise.race([fetching, new Promise((resolve) => setImmediate(resolve))]);
    expect(asked).toEqual(["begin", "past-bakes"]);
  });

  it("that did not come in quiet are no failure, but fetched when opened", async () => {
    const { subject, cut } = pages(new Set(["upkeep"]));
    await subject.fetchInQuiet(atOnce);
    expect(subject.stateOf("upkeep")).toBe("unasked");
    expect(subject.stateOf("plans")).toBe("ready");
    cut.clear();
    expect(await subject.fetch("upkeep")).toBe(true);
  });
});
