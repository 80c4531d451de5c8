// @vitest-environment happy-dom
import { afterEach, describe, expect, it } from "vitest";
import { MADE_UP_JOB, madeUpJob } from "#tests/helpers/made-up-jobs";
import { settled, shownPlans } from "#tests/helpers/shown-plans";

const answers = (fastest: number) => ({
  "/experience": () => ({ bakes: 24, fastestClimbKelvinPerMinute: fastest, coolingKelvinPerMinute: null }),
  [`/api/jobs/${MADE_UP_JOB}`]: () => madeUpJob(MADE_UP_JOB),
  "/api/jobs/new": () => madeUpJob("new"),
});

async function whatIf(name = /^Demo build-up, higher-firing/, fastest = 70) {
  const shown = await shownPlans(answers(fastest));
  await shown.press(name, "What if");
  const enter = async (job: string) => {
    shown.find("kiosk-job-field")[0]?.dispatchEvent(new CustomEvent("job-entered", { detail: job }));
    await settled();
  };
  return { ...shown, enter };
}

afterEach(() => document.body.replaceChildren());

describe("what a card gives for a case", () => {
  it("is told number by number, with where each came from", async () => {
    const { press, text } = await whatIf();
    await press("large", "second");
    // the demonstration's card: 760 °C, 10 K lower in a large case, 4 K higher on furnace 1, the only one there is
    expect(text()).toContain(
      "top 754 °C 760 from the card, −10 large case (common practice, no source), +4 Furnace 1 (dial-in of 3 November)",
    );
    expect(text()).toMatch(
      /hold at the top 0:10 0:10 second bake \(common practice, no source: 0 to 15 s\), instead of 1:00/,
    );
  });

  it("is worth what each change leaves, one after the other, and in all", async () => {
    const { press, text, find } = await whatIf();
    await press("large", "second");
    const rows = find("tbody tr").map((row) => row.querySelector("th")?.textContent?.trim());
    expect(rows).toEqual(["base plan", "large case", "second bake", "Furnace 1", "in all"]);
    expect(text()).toMatch(/Top 754 °C, \d+:\d\d in all, heat work −\d+ % against the base plan\./);
  });

  it("is begun with the case and the job that were looked at", async () => {
    const { press, enter, actions } = await whatIf();
    await press("large", "second");
    await enter(MADE_UP_JOB);
    await press("Begin with this plan");
    const looked = { framework: "zirconia", caseSize: "large", bake: "second" };
    expect(actions).toEqual([
      { kind: "prepare", furnaceId: "furnace-1", planId: 2, case: looked, job: MADE_UP_JOB },
    ]);
  });

  it("is the base plan where nothing applies", async () => {
    const { press, text } = await whatIf(/^Demo glaze/);
    await press("small", "first");
    expect(text()).toContain("Nothing of the card changes for this case: it is the base plan.");
    expect(text()).toContain("heat work as in the base plan");
  });

  it("is held against what the furnace has managed", async () => {
    const { press, text } = await whatIf(undefined, 38);
    await press("small");
    expect(text()).toContain("Step 1 climbs at 45 K/min, and this furnace so far reached at most 38");
    await press("large");
    expect(text()).not.toContain("reached at most");
  });

  it("is no plan where adaptations contradict each other, and nothing can be begun", async () => {
    const { press, text, button } = await whatIf(/contradictory/);
    expect(button("Begin with this plan")).toBeDefined();
    await press("large", "second");
    expect(text()).toContain("This case gets no plan.");
    expect(text()).toContain("Two adaptations set the hold at the top to different values");
    expect(button("Begin with this plan")).toBeUndefined();
  });
});

describe("the layers of a job before its next bake", () => {
  it("are forecast for the case that is looked at", async () => {
    const { press, enter, text } = await whatIf();
    await enter(MADE_UP_JOB);
    await press("large", "second");
    expect(text()).toContain(`Layers of job ${MADE_UP_JOB} after this bake`);
    expect(text()).toMatch(/Demo paste, higher-firing 103 s \d+ s \d+ s right 60 to 230 s/);
    expect(text()).toContain("Demo paste, higher-firing has had 103 s");
    await press("medium", "first");
    expect(text()).toMatch(/\d+ s excess 60 to 230 s/);
  });

  it("are none of a new job", async () => {
    const { enter, text } = await whatIf();
    await enter("new");
    expect(text()).toContain("Job new has no layers yet.");
  });

  it("that do not come are told in the daemon's line, and the plan is there all the same", async () => {
    const { enter, text } = await whatIf();
    await enter("9999");
    expect(text()).toContain("No answer to /api/jobs/9999.");
    expect(text()).toContain("Where each number comes from");
  });
});
