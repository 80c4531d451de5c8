import { describe, expect, it } from "vitest";
import { outlookSentence } from "#core/compare/outlook-words";
import type { BakeInView } from "#kiosk-ui/kiosk-state";
import { bakeSentence, liveFindingSentence } from "#kiosk-ui/screens/now/bake-sentence";
import type { Finding } from "#shared/comparison";
import { openBake } from "#tests/helpers/kiosk-messages";
import { madeUpComparison, madeUpFault, madeUpTrace } from "#tests/helpers/made-up-bakes";
import { MADE_UP_WINDOW, madeUpOutlook } from "#tests/helpers/made-up-outlook";

/** A made-up bake after so many seconds, so many kelvins behind per 100. */
function bakeAt(seconds: number, slowness = 0): BakeInView {
  const open = openBake();
  if (!open.plan) throw new Error("no plan");
  const { plan } = open.plan;
  const samples = madeUpTrace(plan, { seed: 7, slowness, overshootKelvin: 0 }).slice(0, seconds * 4);
  return { ...open, comparison: madeUpComparison(plan, samples, false), samples };
}

describe("the sentence under a running bake", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { at: 120, says: /^Drying and closing: \d:\d\d until the climb\.$/ },
    { at: 123, says: /^Drying and closing: \d:\d0 until the climb\.$/ },
    { at: 500, says: /^Climbing to 760\u00a0°C at 35\u00a0K\/min\.$/ },
  ])("says what is happening after $at s", ({ at, says }) => {
    expect(bakeSentence(bakeAt(at), "celsius", 0, true)).toMatchObject({
      text: expect.stringMatching(says),
      needsPerson: false,
    });
  });

  it("says first that nothing is heard", () => {
    expect(bakeSentence(bakeAt(500), "celsius", 12, true)).toMatchObject({
      text: "Nothing heard from this furnace for 12\u00a0s.",
      needsPerson: true,
    });
  });

  it("says before that where to look while the daemon itself is not heard", () => {
    expect(bakeSentence(bakeAt(500), "celsius", 12, false).text).toBe("Look at the furnace itself.");
  });

  it("says a fault of the thermocouple first, and what to look at", () => {
    const open = madeUpFault("open-circuit", { isActive: true, seconds: 33, needsPerson: true });
    const stuck = madeUpFault("cold-junction-stuck", { isActive: true, needsPerson: true });
    expect(bakeSentence(bakeAt(500), "celsius", 33, true, [stuck, open])).toEqual({
      text: "The thermocouple is open, for 33 s so far.",
      detail: expect.stringMatching(/^Look first at the terminals.* One more fault\.$/),
      needsPerson: true,
    });
  });

  it("leaves a fault that is past to the quiet line", () => {
    const past = madeUpFault("open-circuit", { needsPerson: true });
    expect(bakeSentence(bakeAt(500), "celsius", 0, true, [past]).text).toMatch(/^Climbing to/);
  });

  it("asks for a plan where there is none", () => {
    expect(bakeSentence({ ...bakeAt(500), plan: null, comparison: null }, "celsius", 0, true)).toMatchObject({
      text: "Recording without a plan.",
      needsPerson: true,
    });
  });

  it("turns to the finding that a person should look at, and keeps what is happening beside it", () => {
    const bake = bakeAt(500);
    const finding = {
      code: "climb-slow",
      index: 1,
      planned: 35,
      actual: 29,
      heatWorkEffectFraction: 0.1,
      needsPerson: true,
    } as const;
    const comparison = bake.comparison && { ...bake.comparison, findings: [finding] };
    expect(bakeSentence({ ...bake, comparison }, "celsius", 0, true)).toMatchObject({
      text: "Climb 1 runs at 29 K/min instead of 35.",
      detail: expect.stringContaining("Climbing to 760"),
      needsPerson: true,
    });
  });

  describe("with somewhere it is going", () => {
    const finding = {
      code: "climb-slow",
      index: 1,
      planned: 35,
      actual: 29,
      heatWorkEffectFraction: -0.1,
      needsPerson: true,
    } as const;
    const air = { ...finding, code: "vacuum-absent", planned: 45, heatWorkEffectFraction: 0 } as const;
    const outlook = madeUpOutlook();
    const said = outlookSentence(outlook, "celsius");
    const going = (findings: readonly Finding[], changes: Partial<BakeInView> = {}) => {
      const bake = bakeAt(500);
      const comparison = bake.comparison && { ...bake.comparison, findings: [...findings] };
      return bakeSentence({ ...bake, comparison, outlook, ...changes }, "celsius", 0, true);
    };

    it("says that before what is happening", () => {
      expect(said?.needsPerson).toBe(true);
      expect(going([])).toMatchObject({ text: said?.text, detail: said?.detail, needsPerson: true });
    });

    it("says what is happening where there is nothing to say of it", () => {
      const asPlanned = madeUpOutlook({ asGoing: { ratio: 1, lowRatio: 0.95, highRatio: 1.05 } });
      expect(going([], { outlook: asPlanned }).text).toMatch(/^Climbing to/);
    });

    it("advises first, with the finding that the advice makes up for as its reason", () => {
      expect(going([finding])).toMatchObject({
        text: said?.text,
        detail: "Climb 1 runs at 29 K/min instead of 35.",
      });
    });

    it("says first what no hold can mend, and the advice beside it", () => {
      expect(going([air, finding])).toMatchObject({
        text: "No vacuum came; 45 hPa was planned.",
        detail: `${said?.text} One more finding: see This bake.`,
      });
    });

    it("says a fault of the thermocouple and silence before it", () => {
      const open = madeUpFault("open-circuit", { isActive: true, needsPerson: true });
      const bake = { ...bakeAt(500), outlook };
      expect(bakeSentence(bake, "celsius", 0, true, [open]).text).toMatch(/^The thermocouple is open/);
      expect(bakeSentence(bake, "celsius", 12, true).text).toMatch(/^Nothing heard/);
    });

    it("needs nobody where every layer comes out right all the same: what is happening stands first", () => {
      const wide = { ...MADE_UP_WINDOW, lowRatio: 0.75 };
      expect(going([], { window: wide })).toMatchObject({
        text: expect.stringMatching(/^Climbing to/),
        detail: said?.text,
        needsPerson: false,
      });
      expect(going([], { window: MADE_UP_WINDOW }).needsPerson).toBe(true);
      expect(going([finding], { window: wide }).needsPerson).toBe(false);
      expect(going([air, finding], { window: wide })).toMatchObject({
        text: "No vacuum came; 45 hPa was planned.",
        needsPerson: true,
      });
    });

    it("tells a finding that harms no layer beside what is happening", () => {
      const asPlanned = madeUpOutlook({ asGoing: { ratio: 1, lowRatio: 0.95, highRatio: 1.05 } });
      expect(going([finding], { window: MADE_UP_WINDOW, outlook: asPlanned })).toMatchObject({
        text: expect.stringMatching(/^Climbing to/),
        detail: "Climb 1 runs at 29 K/min instead of 35.",
        finding,
        needsPerson: false,
      });
    });

    it("does not say what has not settled", () => {
      const bake = { ...bakeAt(500), outlook };
      expect(bakeSentence(bake, "celsius", 0, true, [], false).text).toMatch(/^Climbing to/);
    });

    it("advises nothing once it cools", () => {
      const bake = bakeAt(900);
      const comparison = bake.comparison && { ...bake.comparison, findings: [] };
      const sentence = bakeSentence({ ...bake, comparison, outlook }, "celsius", 0, true);
      expect(sentence.text).toBe("Cooling.");
      expect(sentence.detail).toMatch(/^Hot surfaces/);
    });
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { stage: { kind: "climb" as const, index: 1 }, says: "runs" },
    { stage: { kind: "climb" as const, index: 2 }, says: "ran" },
    { stage: { kind: "hold" as const,  index: 1 }, says: "ran" },
  ])("of the first climb says $says during $stage.kind $stage.index", ({ stage, says }) => {
    const slow = { code: "climb-slow", index: 1, planned: 35, actual: 29, heatWorkEffectFraction: 0, needsPerson: false } as const;
    expect(liveFindingSentence(slow, stage, "celsius")).toBe(`Climb 1 ${says} at 29 K/min instead of 35.`);
  });

  it("warns of hot surfaces while it cools, with a plan and without", () => {
    const unplanned = (seconds: number) => ({ ...bakeAt(seconds), plan: null, comparison: null });
    const cooling = bakeSentence(bakeAt(900), "celsius", 0, true);
    expect(cooling).toMatchObject({ needsPerson: true, isHot: true });
    expect(cooling.detail).toMatch(/^Hot surfaces\. Gloves/);
    expect(bakeSentence(unplanned(900), "celsius", 0, true).isHot).toBe(true);
    expect(bakeSentence(unplanned(500), "celsius", 0, true).isHot).toBe(false);
  });
});
