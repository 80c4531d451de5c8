import { describe, expect, it } from "vitest";
import {
  BAKES_PER_PAGE,
  bakeFilter,
  everyBake,
  filtered,
  isFiltered,
  pageSpan,
  toggled,
} from "#kiosk-ui/screens/past-bakes/bake-query";
import { bakeFilterSchema } from "#shared/requests";

describe("a query of past bakes", () => {
  it("asks for the newest page of everything to begin with", () => {
    expect(bakeFilter(everyBake)).toEqual({ limit: BAKES_PER_PAGE, offset: 0 });
  });

  it("asks for what is set only, and for its page", () => {
    const query = {
      ...everyBake,
      furnaceId: "furnace-2",
      planId: 3,
      grade: "none",
      job: " 44 ",
      page: 2,
    } as const;
    expect(bakeFilter(query)).toEqual({
      furnaceId: "furnace-2",
      planId: 3,
      grade: "none",
      job: "44",
      limit: BAKES_PER_PAGE,
      offset: 2 * BAKES_PER_PAGE,
    });
  });

  it("is one that the daemon takes", () => {
    const query = filtered(everyBake, { furnaceId: "furnace-2", grade: "milky", job: "44" });
    expect(bakeFilterSchema.safeParse(bakeFilter(query)).success).toBe(true);
  });

  it("starts again at its newest page with another filter", () => {
    expect(filtered({ ...everyBake, page: 4 }, { job: "44" })).toMatchObject({ job: "44", page: 0 });
  });

  it("keeps what is chosen from page to page and from filter to filter", () => {
    const query = toggled({ ...everyBake, page: 3 }, 12);
    expect(filtered(query, { planId: 2 }).chosen).toEqual([12]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { taps: [7],          chosen: [7] },
    { taps: [7, 9],       chosen: [7, 9] },
    { taps: [7, 9, 11],   chosen: [7, 11] },
    { taps: [7, 9, 7],    chosen: [9] },
    { taps: [7, 7],       chosen: [] },
  ])("after taps on $taps has $chosen chosen", ({ taps, chosen }) => {
    expect(taps.reduce(toggled, everyBake).chosen).toEqual(chosen);
  });

  it("knows whether it leaves anything out", () => {
    expect(isFiltered({ ...everyBake, page: 2, chosen: [4] })).toBe(false);
    expect(isFiltered({ ...everyBake, job: "4" })).toBe(true);
  });
});

describe("the span of a page", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { page: 0, total: 0,  span: { from: 0,  to: 0,  hasNewer: false, hasOlder: false } },
    { page: 0, total: 20, span: { from: 1,  to: 20, hasNewer: false, hasOlder: false } },
    { page: 0, total: 21, span: { from: 1,  to: 20, hasNewer: false, hasOlder: true } },
    { page: 1, total: 45, span: { from: 21, to: 40, hasNewer: true,  hasOlder: true } },
    { page: 2, total: 45, span: { from: 41, to: 45, hasNewer: true,  hasOlder: false } },
  ])("$page of $total bakes is $span", ({ page, total, span }) => {
    expect(pageSpan(page, total)).toEqual(span);
  });
});
