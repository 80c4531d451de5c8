import { describe, expect, it } from "vitest";
import { effectivePlan } from "#core/plan/adapt";
import {
  asKind,
  changeablesLeft,
  conditionsOf,
  newAdaptation,
  newChange,
  withBasis,
  withChange,
  withoutChange,
} from "#kiosk-ui/screens/plans/adaptation-draft";
import { withVacuum } from "#kiosk-ui/screens/plans/card-draft";
import { adaptationSchema } from "#shared/plan";
import { madeUpCard } from "#tests/helpers/made-up-card";

const card = madeUpCard();
const furnaces = [{ id: "furnace-1", name: "Furnace 1" }];
const top = { kind: "shift", number: "top", by: -10 } as const;

describe("an adaptation while it is edited", () => {
  it("begins with a case that the card says nothing for", () => {
    const { when } = newAdaptation(card, furnaces);
    expect(when).toEqual({ kind: "case-size", caseSize: "small" });
    expect(newAdaptation({ ...card, adaptations: [] }, furnaces).when).toEqual({
      kind: "case-size",
      caseSize: "large",
    });
  });

  it("may be for a furnace that is known, and for none while there is none", () => {
    expect(conditionsOf("furnace", furnaces)).toEqual([{ kind: "furnace", furnaceId: "furnace-1" }]);
    expect(conditionsOf("furnace", [])).toEqual([]);
  });

  it("offers every number once, and of the vacuum only where there is one", () => {
    const adaptation = { when: { kind: "bake", bake: "first" } as const, changes: [top] };
    expect(changeablesLeft(card, adaptation)).toEqual([
      "drying",
      "closing",
      "low",
      "low-hold",
      "climb-rate",
      "top-hold",
      "vacuum-on",
      "vacuum-level",
      "cooling",
    ]);
    expect(changeablesLeft(withVacuum(card, false), adaptation)).not.toContain("vacuum-on");
  });

  it.each(["top", "top-hold", "climb-rate", "drying"] as const)(
    "gives the same plan by a difference of the %s and by its value",
    (number) => {
      const shift = newChange(card, number);
      const plans = [shift, asKind(card, shift, "set")].map((change) => {
        const fitted = effectivePlan(
          { ...card, adaptations: [{ when: { kind: "bake", bake: "first" }, changes: [change] }] },
          { framework: "metal", caseSize: "small", bake: "first" },
          null,
        );
        return fitted.ok ? fitted.plan : null;
      });
      expect(plans[0]).not.toBeNull();
      expect(plans[0]).not.toEqual(card.plan);
      expect(plans[1]).toEqual(plans[0]);
      expect(asKind(card, asKind(card, shift, "set"), "shift")).toEqual(shift);
    },
  );

  it("changes its cooling to the other kind first", () => {
    expect(newChange(card, "cooling")).toMatchObject({ kind: "cooling", to: { kind: "steady" } });
  });

  it("is one that the daemon takes, whatever was done to it", () => {
    const begun = newAdaptation(card, furnaces);
    const longer = withChange(begun, 1, newChange(card, "drying"));
    const edited = withBasis(withoutChange(longer, 0), "our own trials");
    expect(adaptationSchema.parse(edited)).toEqual(edited);
    expect(edited.changes).toEqual([newChange(card, "drying")]);
    expect(withBasis(edited, "")).not.toHaveProperty("basis");
  });
});
