import { describe, expect, it } from "vitest";
import { DEMONSTRATION_MATERIALS } from "#core/heat/demonstration-materials";
import { DEMONSTRATION_CARDS } from "#core/plan/demonstration-plans";
import { cardConflicts, cardRemarks } from "#kiosk-ui/screens/plans/card-conflicts";
import type { Adaptation } from "#shared/plan";
import { madeUpCard } from "#tests/helpers/made-up-card";

const large: Adaptation["when"] = { kind: "case-size", caseSize: "large" };
const second: Adaptation["when"] = { kind: "bake", bake: "second" };
const furnace: Adaptation["when"] = { kind: "furnace", furnaceId: "furnace-2" };

function with_(...adaptations: Adaptation[]) {
  return madeUpCard({ adaptations });
}

describe("what forbids saving a card", () => {
  it("is nothing in a card of which every case gets a plan", () => {
    expect(cardConflicts(madeUpCard())).toEqual([]);
    expect(DEMONSTRATION_CARDS.flatMap(({ card }) => cardConflicts(card))).toEqual([]);
  });

  // biome-ignore format: a table reads in columns
  it.each([
    {
      what: "two values of one number that meet in some case",
      card: with_({ when: large, changes: [{ kind: "set", number: "top-hold", to: 90 }] },
                  { when: second, changes: [{ kind: "set", number: "top-hold", to: 10 }] }),
      says: [/^Two adaptations set the hold at the top to different values \(large case, second bake\)/],
    },
    {
      what: "the same on one furnace alone",
      card: with_({ when: large, changes: [{ kind: "set", number: "top", to: 750 }] },
                  { when: furnace, changes: [{ kind: "set", number: "top", to: 755 }] }),
      says: [/^Two adaptations set the top temperature to different values \(large case, furnace furnace-2\)/],
    },
    {
      what: "shifts that together leave less than nothing",
      card: with_({ when: large, changes: [{ kind: "shift", number: "top-hold", by: -40 }] },
                  { when: second, changes: [{ kind: "shift", number: "top-hold", by: -30 }] }),
      says: [/^The adaptations make the hold at the top −10 \(large case, second bake\)/],
    },
    {
      what: "a case whose climb would go down, with the case that it is",
      card: with_({ when: large, changes: [{ kind: "set", number: "top", to: 400 }] }),
      says: [/^Large case on zirconia, first bake: step 1 climbs downwards, from 510 to 400 °C/],
    },
    {
      what: "a base plan that cannot be fired, once and not for every case",
      card: madeUpCard({ adaptations: [] }, { steps: [{ kind: "climb", toCelsius: 500, kelvinPerMinute: 45 }] }),
      says: [/^Step 1 climbs downwards/],
    },
  ])("is $what", ({ card, says }) => {
    const conflicts = cardConflicts(card);
    expect(conflicts).toHaveLength(says.length);
    for (const [index, sentence] of says.entries()) expect(conflicts[index]).toMatch(sentence);
  });

  it("calls a furnace by its name where it is known", () => {
    const card = with_(
      { when: large, changes: [{ kind: "set", number: "top", to: 750 }] },
      { when: furnace, changes: [{ kind: "set", number: "top", to: 755 }] },
    );
    const [said] = cardConflicts(card, [{ id: "furnace-2", name: "By the window" }]);
    expect(said).toContain("(large case, By the window)");
  });

  it("is not the limit of a framework, which refuses its own cases", () => {
    expect(cardConflicts(madeUpCard({ limits: [{ framework: "metal", topCelsius: 700 }] }))).toEqual([]);
  });
});

describe("what somebody should look at in a card", () => {
  it("is nothing in the demonstration's cards with their materials", () => {
    const remarks = DEMONSTRATION_CARDS.flatMap(({ card, materialName }) =>
      cardRemarks(card, DEMONSTRATION_MATERIALS.find(({ name }) => name === materialName) ?? null),
    );
    expect(remarks).toEqual([]);
  });

  it("is said once for the base plan, and with its case where only a case has it", () => {
    const { vacuum: _none, ...inAir } = madeUpCard().plan;
    const remarks = cardRemarks(
      {
        ...madeUpCard(),
        plan: { ...inAir, dryingSeconds: 0 },
        limits: [{ framework: "metal", topCelsius: 755 }],
      },
      null,
    );
    expect(remarks[0]).toMatch(/^No drying time/);
    expect(remarks).toContainEqual(
      expect.stringMatching(/^Small case on metal, first bake: the top of 760 °C is above the 755 °C/),
    );
    expect(remarks.filter((remark) => /no drying time/i.test(remark))).toHaveLength(1);
  });
});
