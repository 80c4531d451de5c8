// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import type { Card, PlanRevision } from "#shared/plan";
import { madeUpCards } from "#tests/helpers/made-up-jobs";
import { settled, shownPlans } from "#tests/helpers/shown-plans";

const higher = madeUpCards()[1] as PlanRevision;
const saved = (body: unknown) => ({ ...higher, ...(body as { card: Card }).card, revision: 4 });

async function editing(name: string | RegExp = /^Demo build-up, higher-firing/) {
  const shown = await shownPlans({
    "/revisions": saved,
    "/api/plans": (body) => ({ ...saved(body), planId: 9, revision: 1 }),
  });
  await shown.press(...(name === "New card" ? [name] : [name, "Change"]));
  const save = () => shown.button("Save") as HTMLButtonElement | undefined;
  const sent = () => (shown.asked.at(-1)?.body as { card: Card } | undefined)?.card;
  return { ...shown, save, sent };
}

afterEach(() => document.body.replaceChildren());

describe("a card being edited", () => {
  it("can be saved once something is changed, as its next revision", async () => {
    const { press, save, asked, sent, text } = await editing();
    expect(save()?.disabled).toBe(true);
    expect(text()).toContain("Nothing is changed yet.");
    await press("Climb 1: To: more", "Climb 1: Rate: less", "Hold 1: Length: less");
    expect(text()).toContain("Save makes it revision 4; earlier ones stay as they are.");
    await press("Save");
    expect(asked.at(-1)?.path).toBe("/api/plans/2/revisions");
    expect(sent()?.plan.steps).toEqual([
      { kind: "climb", toCelsius: 765, kelvinPerMinute: 40 },
      { kind: "hold", seconds: 55 },
    ]);
    expect(sent()?.adaptations).toEqual(higher.adaptations);
    expect(text()).toContain("Saved as revision 4.");
  });

  it("is unchanged again when it is changed back", async () => {
    const { press, save } = await editing();
    await press("Climb 1: To: more");
    expect(save()?.disabled).toBe(false);
    await press("Climb 1: To: less");
    expect(save()?.disabled).toBe(true);
  });

  it("gets climbs, holds, another vacuum and cooling by taps", async () => {
    const { press, sent } = await editing();
    await press(
      "Add a climb",
      "Add a hold",
      "Remove Hold 1",
      "at a temperature",
      "Free",
      "Opens at: more",
      "Save",
    );
    expect(sent()?.plan).toMatchObject({
      steps: [
        { kind: "climb", toCelsius: 760 },
        { kind: "climb", toCelsius: 810, kelvinPerMinute: 45 },
        { kind: "hold", seconds: 30 },
      ],
      vacuum: { release: { kind: "at-temperature", celsius: 809 } },
      cooling: { kind: "free", openAtCelsius: 550 },
    });
  });

  it("cannot be saved while it cannot be fired, and says why", async () => {
    const { press, save, text } = await editing();
    await press("Add a climb");
    expect(save()?.disabled).toBe(false);
    await press(...Array.from({ length: 10 }, () => "Climb 2: To: less"));
    expect(text()).toContain("Step 3 climbs from 760 to 760 °C, which is no climb");
    expect(save()?.disabled).toBe(true);
    // a large case and a correction take 10 K each: below 785 °C theirs would climb downwards
    await press(...Array.from({ length: 4 }, () => "Climb 2: To: more"));
    expect(save()?.disabled).toBe(true);
    expect(text()).toContain("Large case on zirconia, correction bake: step 3 climbs");
    await press("Climb 2: To: more");
    expect(save()?.disabled).toBe(false);
  });

  it("cannot be saved while two adaptations contradict each other in any case", async () => {
    const { press, save, text, sent } = await editing(/contradictory/);
    expect(text()).toContain(
      "Two adaptations set the hold at the top to different values (large case, second bake)",
    );
    await press("Drying: more");
    expect(save()?.disabled).toBe(true);
    await press("What changes", /^second bake/, "By a difference");
    expect(save()?.disabled).toBe(false);
    await press("Save");
    expect(sent()?.adaptations[1]?.changes).toEqual([{ kind: "shift", number: "top-hold", by: -50 }]);
  });

  it("gets an adaptation by taps, and loses one", async () => {
    const { press, sent } = await editing();
    await press("What changes", /^medium case/, "Remove all of this");
    await press(
      "Add a change",
      "By framework",
      "metal",
      "top: By: more",
      "Add a number",
      "drying",
      "drying: By: more",
    );
    await press("Done", "Save");
    const adaptations = sent()?.adaptations ?? [];
    expect(adaptations.some(({ when }) => when.kind === "case-size" && when.caseSize === "medium")).toBe(
      false,
    );
    expect(adaptations.at(-1)).toEqual({
      when: { kind: "framework", framework: "metal" },
      changes: [
        { kind: "shift", number: "top", by: -9 },
        { kind: "shift", number: "drying", by: 35 },
      ],
    });
  });

  it("shows what an adaptation does while it is set", async () => {
    const { press, text, find } = await editing();
    await press("What changes", /^large case/);
    const curve = () =>
      find("kiosk-plan-curve").at(-1) as unknown as { planName: string; plan: { steps: unknown[] } };
    expect(curve().planName).toBe("large case");
    expect(curve().plan.steps[0]).toEqual({ kind: "climb", toCelsius: 750, kelvinPerMinute: 35 });
    expect(text()).toMatch(/Heat work, chamber −31 %, ware −\d+ %, flow length −\d+ %, length 2:03 longer\./);
    await press("climb to the top: By: more");
    expect(curve().plan.steps[0]).toEqual({ kind: "climb", toCelsius: 750, kelvinPerMinute: 36 });
    await press("Base plan");
    expect(curve().planName).toBe("as changed");
  });

  it("says for which case its top is above the limit of a framework, and can be saved all the same", async () => {
    const { press, save, text } = await editing();
    await press(...Array.from({ length: 5 }, () => "Climb 1: To: more"));
    // lithium disilicate is 10 K higher and bears 790 °C by this card
    expect(text()).toContain(
      "Small case on lithium disilicate, first bake: the top of 795 °C is above the 790 °C",
    );
    expect(save()?.disabled).toBe(false);
  });

  it("gets name, material and limits by taps", async () => {
    const { press, sent } = await editing();
    await press("Card", /^Name: /, "Clear", "N", "e", "w", "Done");
    await press(/^Material/, "none said", /^Highest by the framework’s maker: zirconia: more/);
    await press("Save");
    expect(sent()).toMatchObject({ plan: { name: "New" }, materialId: null });
    expect(sent()?.limits).toContainEqual({ framework: "zirconia", topCelsius: 800 });
  });

  it("keeps what was changed when the daemon refuses it", async () => {
    const shown = await shownPlans();
    await shown.press(/^Demo build-up, higher-firing/, "Change", "Drying: more", "Save");
    expect(shown.text()).toContain("No answer to /api/plans/2/revisions.");
    expect(shown.text()).toContain("6:10");
    expect((shown.button("Save") as HTMLButtonElement).disabled).toBe(false);
  });

  it("says so when another revision is saved meanwhile, and keeps what was changed", async () => {
    const { element, press, text } = await editing();
    await press("Drying: more");
    const plans = element.state.plans.map((plan) => (plan.planId === 2 ? { ...plan, revision: 7 } : plan));
    element.state = { ...element.state, plans };
    await settled();
    expect(text()).toContain("Meanwhile revision 7 was saved elsewhere.");
    expect(text()).toContain("6:10");
    expect(text()).toContain("Save makes it revision 8");
  });
});

describe("a new card", () => {
  it("begins with a plan that can be fired and is saved as revision 1", async () => {
    const { press, asked, text } = await editing("New card");
    expect(text()).toContain("Save makes it revision 1.");
    await press("Save");
    expect(asked.at(-1)?.path).toBe("/api/plans");
    expect(text()).toContain("Saved as revision 1.");
  });
});

describe("leaving a card that was changed", () => {
  it("asks once; staying keeps it, leaving loses it", async () => {
    const { press, text, button } = await editing();
    await press("Drying: more", "Cancel");
    expect(text()).toContain("Leave without saving?");
    await press("Stay");
    expect(text()).toContain("6:10");
    await press("Cancel", "Leave");
    expect(button("What if")).toBeDefined();
  });

  it("asks nothing while nothing is changed", async () => {
    const { press, button } = await editing();
    await press("Cancel");
    expect(button("What if")).toBeDefined();
  });

  it("asks before the other places open, and opens them after a yes", async () => {
    const { press, actions } = await editing();
    await press("Drying: more", "Places");
    expect(actions).toEqual([]);
    await press("Leave");
    expect(actions).toEqual([{ kind: "open-places" }]);
  });
});
