import { describe, expect, it } from "vitest";
import { equivalentSecondsText } from "#kiosk-ui/components/equivalent-seconds-text";
import { adaptationAlone, caseOf, USUAL_CASE } from "#kiosk-ui/screens/plans/adaptation-alone";
import {
  flowLengthText,
  lengthChangeText,
  percentChangeText,
  worthRows,
} from "#kiosk-ui/screens/plans/worth-text";
import { madeUpCard } from "#tests/helpers/made-up-card";

const plain = (text: string) => text.replaceAll("\u00a0", " ");

describe("what a change is worth", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { before: 80,  after: 60,     says: "−25 %" },
    { before: 80,  after: 82.4,   says: "+3.0 %" },
    { before: 100, after: 100.04, says: "the same" },
    { before: 100, after: 250,    says: "+150 %" },
    { before: 0,   after: 5,      says: "–" },
  ])("from $before to $after is $says", ({ before, after, says }) => {
    expect(plain(percentChangeText(before, after))).toBe(says);
  });

  it("is said of lengths in minutes and seconds", () => {
    expect(lengthChangeText(600, 672)).toBe("1:12 longer");
    expect(lengthChangeText(672, 600)).toBe("1:12 shorter");
    expect(lengthChangeText(600, 600.3)).toBe("the same");
  });

  // biome-ignore format: a table reads in columns
  it.each([
    { text: equivalentSecondsText(4.25),      says: "4.3 s" },
    { text: equivalentSecondsText(1234.4),    says: "1,234 s" },
    { text: flowLengthText(3.12),   says: "3.1 µm" },
    { text: flowLengthText(412.4),  says: "412 µm" },
    { text: flowLengthText(1840),   says: "1.84 mm" },
    { text: flowLengthText(42_000), says: "42 mm" },
  ])("is read as $says", ({ text, says }) => {
    expect(plain(text)).toBe(says);
  });

  it("leaves out the flow length where no material states a viscosity", () => {
    const worth = {
      lengthSeconds: 600,
      chamberEquivalentSeconds: 80,
      wareEquivalentSeconds: 70,
      flowLengthMicrometres: null,
    };
    expect(worthRows(worth, worth).map(({ name }) => name)).toEqual([
      "heat work, chamber",
      "heat work, ware",
      "length",
    ]);
  });
});

describe("an adaptation on its own", () => {
  const card = madeUpCard();
  const [large] = card.adaptations;
  const settings = { activationEnergyJoulesPerMole: 325_000, material: null };

  it("is reckoned for the usual case, changed so that it applies", () => {
    expect(caseOf({ kind: "case-size", caseSize: "large" })).toEqual({ ...USUAL_CASE, caseSize: "large" });
    expect(caseOf({ kind: "furnace", furnaceId: "furnace-1" })).toEqual(USUAL_CASE);
  });

  it("of a top 10 K lower takes about a third of the chamber's heat work", () => {
    if (!large) throw new Error("the card has lost its adaptation");
    const effect = adaptationAlone(card, large, settings);
    // Arrhenius, computed independently: exp(−(325,000/8.314463)·(1/1023.15 − 1/1033.15)) = 0.691 over the hold;
    // the climb, which is 10 K shorter as well, loses the same share
    expect(
      (effect?.after.chamberEquivalentSeconds ?? 0) / (effect?.before.chamberEquivalentSeconds ?? 1),
    ).toBeCloseTo(0.69, 1);
  });

  it("says so where it gives no plan", () => {
    const impossible = {
      when: { kind: "bake", bake: "second" },
      changes: [{ kind: "shift", number: "top-hold", by: -90 }],
    } as const;
    expect(adaptationAlone(card, impossible, settings)).toBeNull();
  });
});
