import { describe, expect, it } from "vitest";
import type { Outlook } from "#core/compare/outlook";
import { outlookSentence } from "#core/compare/outlook-words";

const TOO_MUCH: Outlook = {
  peak: { celsius: 768.2, inSeconds: 24 },
  asPlannedRatio: 1.02,
  asGoing: { ratio: 1.18, lowRatio: 1.12, highRatio: 1.24 },
  hold: { index: 1, plannedSeconds: 60, neededSeconds: 43.6 },
  learnedFromBakes: 5,
};

const going = (ratio: number, half: number) => ({ ratio, lowRatio: ratio - half, highRatio: ratio + half });

describe("the outlook in words", () => {
  it("says the hold that would make up for it, what comes otherwise, and what it rests on", () => {
    expect(outlookSentence(TOO_MUCH, "celsius")).toEqual({
      text: "A hold of 44 s instead of 60 s would give the planned heat work.",
      detail: "As it goes, 118 %, peak about 768 °C. Reckoned from 5 earlier bakes.",
      needsPerson: true,
    });
  });

  it("says the peak in °F where that is read", () => {
    expect(outlookSentence(TOO_MUCH, "fahrenheit")?.detail).toContain("peak about 1415 °F.");
  });

  it.each([
    { when: "the interval holds the plan", change: { asGoing: going(1.18, 0.2) } },
    { when: "the difference is small", change: { asGoing: going(1.04, 0.02) } },
    { when: "it is small the other way", change: { asGoing: going(0.96, 0.02) } },
  ])("says nothing when $when", ({ change }) => {
    expect(outlookSentence({ ...TOO_MUCH, ...change }, "celsius")).toBeNull();
  });

  it("calls nobody for a few per cent", () => {
    const outlook = { ...TOO_MUCH, asGoing: going(1.07, 0.03) };
    expect(outlookSentence(outlook, "celsius")?.needsPerson).toBe(false);
  });

  it("says only where it goes when no hold would do, or is left to change", () => {
    expect(outlookSentence({ ...TOO_MUCH, hold: null }, "celsius")).toEqual({
      text: "As it goes, 118 % of the planned heat work.",
      detail: "Between 112 % and 124 %. Reckoned from 5 earlier bakes.",
      needsPerson: true,
    });
  });

  it("says nothing without a hold to name while it is unsure", () => {
    const asGoing = { ratio: 1.28, lowRatio: 1.09, highRatio: 1.5 };
    expect(outlookSentence({ ...TOO_MUCH, asGoing, hold: null }, "celsius")).toBeNull();
    expect(outlookSentence({ ...TOO_MUCH, asGoing }, "celsius")?.text).toMatch(/^A hold of 44 s/);
  });

  it("says which hold where there are several, and that it would do without one", () => {
    const second = { index: 2, plannedSeconds: 45, neededSeconds: 70.4 };
    expect(outlookSentence({ ...TOO_MUCH, asGoing: going(0.8, 0.05), hold: second }, "celsius")?.text).toBe(
      "A hold of 70 s instead of 45 s at hold 2 would give the planned heat work.",
    );
    const none = { index: 1, plannedSeconds: 10, neededSeconds: 0.2 };
    expect(outlookSentence({ ...TOO_MUCH, hold: none }, "celsius")?.text).toBe(
      "Without hold 1 it would be the planned heat work.",
    );
  });

  it("says when no earlier bake is a guide", () => {
    expect(outlookSentence({ ...TOO_MUCH, learnedFromBakes: 0 }, "celsius")?.detail).toContain(
      "no earlier bake is a guide",
    );
  });
});
