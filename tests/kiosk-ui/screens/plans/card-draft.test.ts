import { describe, expect, it } from "vitest";
import { planFindings } from "#core/plan/findings";
import {
  type CardDraft,
  canAddHold,
  isSameCard,
  limitOf,
  newCard,
  withAdaptation,
  withClimbAdded,
  withCoolingKind,
  withHoldAdded,
  withLimit,
  withoutAdaptation,
  withoutStep,
  withPlan,
  withReleaseKind,
  withStep,
  withVacuum,
} from "#kiosk-ui/screens/plans/card-draft";
import { cardSchema } from "#shared/plan";
import { madeUpCard } from "#tests/helpers/made-up-card";

describe("a card while it is edited", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { edit: "a climb added",        done: (card: CardDraft) => withClimbAdded(card).plan.steps.at(-1),                is: { kind: "climb", toCelsius: 810, kelvinPerMinute: 45 } },
    { edit: "a hold added",         done: (card: CardDraft) => withHoldAdded(card).plan.steps.at(-1),                 is: { kind: "hold", seconds: 30 } },
    { edit: "a step taken out",     done: (card: CardDraft) => withoutStep(card, 1).plan.steps.length,                is: 1 },
    { edit: "a step replaced",      done: (card: CardDraft) => withStep(card, 1, { kind: "hold", seconds: 5 }).plan.steps[1], is: { kind: "hold", seconds: 5 } },
    { edit: "the vacuum off",       done: (card: CardDraft) => withVacuum(card, false).plan.vacuum,                   is: undefined },
    { edit: "the vacuum on again",  done: (card: CardDraft) => withVacuum(withVacuum(card, false), true).plan.vacuum, is: { onAtCelsius: 510, levelHectopascals: 50, release: { kind: "hold-end", hold: 1 } } },
    { edit: "a release by degrees", done: (card: CardDraft) => withReleaseKind(card, "at-temperature").plan.vacuum?.release, is: { kind: "at-temperature", celsius: 759 } },
    { edit: "a release by a hold",  done: (card: CardDraft) => withReleaseKind(card, "hold-start").plan.vacuum?.release, is: { kind: "hold-start", hold: 1 } },
    { edit: "cooling led down",     done: (card: CardDraft) => withCoolingKind(card, "steady").plan.cooling,          is: { kind: "steady", toCelsius: 560, kelvinPerMinute: 40 } },
    { edit: "a limit",              done: (card: CardDraft) => limitOf(withLimit(card, "metal", 900), "metal"),       is: 900 },
    { edit: "no limit any more",    done: (card: CardDraft) => limitOf(withLimit(withLimit(card, "metal", 900), "metal", null), "metal"), is: null },
  ])("with $edit", ({ done, is }) => {
    expect(done(madeUpCard())).toEqual(is);
  });

  it("lets a hold follow a climb, and no hold another", () => {
    expect(canAddHold(madeUpCard())).toBe(false);
    expect(canAddHold(withClimbAdded(madeUpCard()))).toBe(true);
  });

  it("never changes the card that it began with", () => {
    const card = Object.freeze(madeUpCard());
    const before = structuredClone(card);
    withAdaptation(withoutAdaptation(withVacuum(withClimbAdded(card), false), 0), 5, {
      when: { kind: "framework", framework: "metal" },
      changes: [{ kind: "shift", number: "top", by: 5 }],
    });
    expect(card).toEqual(before);
  });

  it("is the same again when what was changed is changed back", () => {
    const card = madeUpCard();
    const higher = withStep(card, 0, { kind: "climb", toCelsius: 765, kelvinPerMinute: 45 });
    expect(isSameCard(card, higher)).toBe(false);
    expect(
      isSameCard(card, withStep(higher, 0, { kelvinPerMinute: 45, kind: "climb", toCelsius: 760 })),
    ).toBe(true);
    expect(isSameCard(card, withPlan(card, { notes: undefined }))).toBe(true);
  });
});

describe("a new card", () => {
  it("is one that the daemon takes, and can be fired", () => {
    const card = newCard("New card");
    expect(cardSchema.parse(card)).toEqual(card);
    expect(planFindings(card.plan)).toEqual([]);
  });
});
