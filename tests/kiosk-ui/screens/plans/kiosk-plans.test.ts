// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import type { PlanRevision } from "#shared/plan";
import { openBake } from "#tests/helpers/kiosk-messages";
import { madeUpRevisions } from "#tests/helpers/made-up-cards";
import { madeUpCards } from "#tests/helpers/made-up-jobs";
import { settled, shownPlans } from "#tests/helpers/shown-plans";

const cards = madeUpCards();
const higher = cards[1] as PlanRevision;

async function choose(element: Element, content: string, name = "card.json") {
  const input = element.shadowRoot?.querySelector("input[type=file]") as HTMLInputElement;
  Object.defineProperty(input, "files", { value: [new File([content], name)], configurable: true });
  input.dispatchEvent(new Event("change"));
  await settled();
}

afterEach(() => document.body.replaceChildren());

describe("the list of cards", () => {
  it("says of each what it does and for what it changes", async () => {
    const { text, find } = await shownPlans();
    expect(find(".card")).toHaveLength(4);
    expect(text()).toContain("Demo build-up, higher-firing 760 °C, hold 1:00 · drying 10:00 · 21:33 in all");
    expect(text()).toContain(
      "changes for lithium disilicate, medium and large case, second and correction bake, Furnace 1",
    );
    expect(text()).toContain("The material’s own instructions come first.");
  });

  it("keeps retired ones behind a switch", async () => {
    const { press, text } = await shownPlans();
    expect(text()).not.toContain("Demo build-up, of old");
    await press("Show 1 retired");
    expect(text()).toContain("Demo build-up, of old");
    await press("Hide retired");
    expect(text()).not.toContain("Demo build-up, of old");
  });

  it("says what to do while there is none", async () => {
    const { text, button } = await shownPlans({}, { plans: [] });
    expect(text()).toContain("No plan yet Make a new card, or bring one from another kiosk as a file.");
    expect(button("New card")).toBeDefined();
  });

  it("takes a card from a file, and shows it", async () => {
    const brought = {
      ...higher,
      planId: 9,
      plan: { ...higher.plan, name: "Brought along" },
      materialId: null,
    };
    const { element, asked, text } = await shownPlans({
      "/api/plans/import": () => ({ plan: brought, material: null }),
    });
    const { plan, adaptations, limits } = higher;
    const file = { format: "bakeside-card", version: 1, card: { plan, adaptations, limits }, material: null };
    await choose(element, JSON.stringify(file));
    expect(asked).toEqual([{ path: "/api/plans/import", body: file }]);
    expect(text()).toContain("Brought along is here now. Look at it before you fire it.");
  });

  it("refuses another file in one line, and asks nothing", async () => {
    const { element, asked, text } = await shownPlans();
    await choose(element, "time;temperature", "trace.csv");
    expect(asked).toEqual([]);
    expect(text()).toContain("trace.csv: not a card file. Choose one that was exported from Plans.");
  });

  it("shows the daemon's refusal of a file as the line that it is", async () => {
    const { element, text } = await shownPlans();
    const { plan, adaptations, limits } = higher;
    await choose(
      element,
      JSON.stringify({ format: "bakeside-card", version: 1, card: { plan, adaptations, limits } }),
    );
    expect(text()).toContain("No answer to /api/plans/import.");
  });
});

describe("a card", () => {
  it("says its numbers, what changes when, what that rests on and what it does", async () => {
    const { press, text } = await shownPlans();
    await press(/^Demo build-up, higher-firing/);
    expect(text()).toContain("revision 3");
    expect(text()).toContain("climb 45 K/min to 760 °C");
    expect(text()).toContain("By size of the case");
    expect(text()).toContain(
      "Large case: top 10 K lower, climb to the top 10 K/min slower, drying 1:00 longer",
    );
    expect(text()).toContain("Rests on: common practice, no source.");
    expect(text()).toMatch(/heat work, chamber −\d+ %, ware −\d+ %, flow length −\d+ %, length 2:03 longer/);
    expect(text()).toContain("lithium disilicate 790 °C");
    expect(text()).toContain("Demo paste, higher-firing invented");
  });

  it("begins on a free furnace", async () => {
    const { press, actions } = await shownPlans();
    await press(/^Demo build-up, higher-firing/, "Begin with this plan");
    expect(actions).toEqual([{ kind: "prepare", furnaceId: "furnace-1", planId: 2 }]);
  });

  it("says so when every furnace is busy", async () => {
    const { press, text, button } = await shownPlans({}, { openBakes: [openBake()] });
    await press(/^Demo build-up, higher-firing/);
    expect(button("Begin with this plan")).toBeUndefined();
    expect(text()).toContain("Every furnace has a bake open.");
  });

  it("is retired and brought back, and begins nothing while it is", async () => {
    let isRetired = false;
    const { press, asked, text, button } = await shownPlans({
      "/retired": (body) => {
        ({ isRetired } = body as { isRetired: boolean });
        return { ...higher, isRetired };
      },
    });
    await press(/^Demo build-up, higher-firing/, "Retire");
    expect(asked).toEqual([{ path: "/api/plans/2/retired", body: { isRetired: true } }]);
    expect(text()).toContain("Retired: it is offered for no new bake.");
    expect(button("Begin with this plan")).toBeUndefined();
    await press("Bring back");
    expect(isRetired).toBe(false);
    expect(button("Begin with this plan")).toBeDefined();
  });

  it("is copied under a name that is proposed", async () => {
    const { press, asked, text } = await shownPlans({
      "/copy": (body) => ({ ...higher, planId: 9, plan: { ...higher.plan, ...(body as { name: string }) } }),
    });
    await press(/^Demo build-up, higher-firing/, "Copy", "Done");
    expect(asked).toEqual([
      { path: "/api/plans/2/copy", body: { name: "Demo build-up, higher-firing, copy" } },
    ]);
    expect(text()).toContain("This is the copy; change it as you like.");
  });

  it("is exported as a file by the browser itself", async () => {
    const { press, button } = await shownPlans();
    await press(/^Demo build-up, higher-firing/);
    expect(button("Export")?.getAttribute("href")).toBe("/api/plans/2/file");
    expect(button("Export")?.hasAttribute("download")).toBe(true);
  });

  it("does not call back whoever has left it before the daemon answered", async () => {
    let answer: (value: unknown) => void = () => undefined;
    const { element, press, button } = await shownPlans();
    element.client = {
      ask: (_path, schema) =>
        new Promise((resolve) => {
          answer = (value) => resolve(schema.parse(value));
        }),
    };
    await press(/^Demo build-up, higher-firing/, "Retire", "Back");
    answer({ ...higher, isRetired: true });
    await settled();
    expect(button("New card")).toBeDefined();
  });

  it("shows a refusal, and stays as it is", async () => {
    const { press, text } = await shownPlans();
    await press(/^Demo build-up, higher-firing/, "Retire");
    expect(text()).toContain("No answer to /api/plans/2/retired.");
    expect(text()).not.toContain("Retired: it is offered for no new bake.");
  });
});

describe("the revisions of a card", () => {
  const answers = {
    "/revisions": (body: unknown) =>
      body === undefined
        ? { revisions: madeUpRevisions(higher) }
        : { ...higher, ...(body as { card: object }).card, revision: 4 },
  };

  it("say what changed, newest first", async () => {
    const { press, text, find } = await shownPlans(answers);
    await press(/^Demo build-up, higher-firing/, "Revisions");
    expect(find(".list button")).toHaveLength(3);
    expect(text()).toMatch(/Revision 3, .+, newest climb 1 to 760 °C, was 750 °C/);
    expect(text()).toContain("drying 6:00, was 5:00");
    expect(text()).toMatch(/Revision 1, .+ The first one\./);
  });

  it("can be the newest again: an old one's content makes the next revision", async () => {
    const { press, asked, text, button } = await shownPlans(answers);
    await press(/^Demo build-up, higher-firing/, "Revisions");
    expect(button("Make this the newest again")).toBeUndefined();
    await press(/^Revision 2/, "Make this the newest again");
    const old = madeUpRevisions(higher)[1];
    expect(asked.at(-1)).toEqual({
      path: "/api/plans/2/revisions",
      body: {
        card: {
          plan: old?.plan,
          adaptations: old?.adaptations,
          limits: old?.limits,
          materialId: old?.materialId,
        },
      },
    });
    expect(text()).toContain("Revision 2 is the newest again, as revision 4.");
  });

  it("that do not come are told with the way to ask again", async () => {
    const { press, text, button } = await shownPlans();
    await press(/^Demo build-up, higher-firing/, "Revisions");
    expect(text()).toContain("The revisions did not come. No answer to /api/plans/2/revisions.");
    expect(button("Try again")).toBeDefined();
  });
});
