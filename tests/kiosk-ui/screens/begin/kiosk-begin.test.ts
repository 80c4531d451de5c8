// @vitest-environment happy-dom
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { KioskBegin } from "#kiosk-ui/screens/begin/kiosk-begin";
import type { BeginRequest } from "#shared/requests";
import { buttonIn, wordsIn } from "#tests/helpers/check-desk";
import { openBake } from "#tests/helpers/kiosk-messages";
import { fakeBeginDesk, MADE_UP_JOB, madeUpCards, madeUpMaterials } from "#tests/helpers/made-up-jobs";

const ZIRCONIA_LARGE_SECOND = { framework: "zirconia", caseSize: "large", bake: "second" } as const;

beforeEach(() => localStorage.clear());
afterEach(() => document.body.replaceChildren());

async function shown(properties: Partial<KioskBegin> = {}) {
  const element = new KioskBegin();
  const desk = fakeBeginDesk();
  Object.assign(element, {
    heading: "Begin on Furnace 1",
    client: desk,
    furnaceId: "furnace-1",
    plans: madeUpCards(),
    materials: madeUpMaterials(),
    ...properties,
  });
  const chosen: BeginRequest[] = [];
  element.addEventListener("chosen", (event) => chosen.push((event as CustomEvent<BeginRequest>).detail));
  document.body.append(element);
  const settled = async () => {
    for (let round = 0; round < 6; round++) await new Promise((resolve) => setTimeout(resolve, 0));
  };
  await settled();
  const root = () => element.shadowRoot ?? element;
  const tap = async (...names: string[]) => {
    for (const name of names) {
      buttonIn(root(), name).click();
      await settled();
    }
  };
  /** A card, or what goes in, by how its button begins. */
  const tapFirst = async (beginning: string) => {
    const found = within(root()).find(
      (part) => part instanceof HTMLButtonElement && wordsIn(part).startsWith(beginning),
    );
    (found as HTMLButtonElement).click();
    await settled();
  };
  const enterJob = async (job: string) => {
    const field = within(root()).find((part) => part instanceof HTMLInputElement) as HTMLInputElement;
    field.value = job;
    field.dispatchEvent(new Event("input"));
    field.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter" }));
    await settled();
  };
  const scan = async (job: string) => {
    for (const key of [...job, "Enter"]) window.dispatchEvent(new KeyboardEvent("keydown", { key }));
    await settled();
  };
  return {
    element,
    desk,
    chosen,
    settled,
    tap,
    tapFirst,
    enterJob,
    scan,
    text: () => wordsIn(root()),
    button: (name: string) => buttonIn(root(), name),
  };
}

/** Everything inside, through every shadow root. */
function within(root: ParentNode): Element[] {
  return [...root.querySelectorAll("*")].flatMap((element) => [
    element,
    ...(element.shadowRoot ? within(element.shadowRoot) : []),
  ]);
}

describe("Begin, while its numbers are looked at,", () => {
  it("says that the card was changed, until the card is chosen as it is now", async () => {
    const { element, settled, tap, tapFirst, text } = await shown();
    await tap("Zirconia", "Small", "The plan");
    expect(text()).toContain("Set these numbers on the furnace.");
    const [first, ...others] = madeUpCards();
    if (!first) throw new Error("the demonstration has lost its cards");
    element.plans = [{ ...first, revision: first.revision + 1 }, ...others];
    await settled();
    expect(text()).toContain(`This card was changed meanwhile: revision ${first.revision + 1}.`);
    expect(text()).not.toContain("Set these numbers on the furnace.");
    await tapFirst(first.plan.name);
    expect(text()).toContain("Set these numbers on the furnace.");
  });
});

describe("Begin, what goes in,", () => {
  it("shows the plan once framework, case and bake are chosen; the first bake is proposed", async () => {
    const { button, tap, text } = await shown();
    expect(button("First").getAttribute("aria-pressed")).toBe("true");
    expect(button("The plan").disabled).toBe(true);
    await tap("Zirconia", "Large");
    expect(text()).toContain("The plan is fitted to: large case on zirconia, first bake.");
    await tap("The plan");
    expect(text()).toContain("710 from the card, −10 large case, +4 this furnace");
  });

  it("opens with the plan where case and job were chosen elsewhere, and what was begun last gives way", async () => {
    localStorage.setItem("bakeside-begun-furnace-1", JSON.stringify({ case: null, planId: 1 }));
    const given = { case: ZIRCONIA_LARGE_SECOND, job: MADE_UP_JOB };
    const { tap, text, chosen } = await shown({ planId: 2, given });
    expect(text()).toContain("Large case on zirconia, second bake");
    await tap("Begin");
    expect(chosen).toMatchObject([{ planId: 2, case: ZIRCONIA_LARGE_SECOND, jobNumber: MADE_UP_JOB }]);
  });

  it("takes a choice back by a second tap", async () => {
    const { button, tap } = await shown();
    await tap("Zirconia", "Large", "Large");
    expect(button("Large").getAttribute("aria-pressed")).toBe("false");
    expect(button("The plan").disabled).toBe(true);
  });

  it("goes on without a case, with the base plan", async () => {
    const { tap, text, chosen } = await shown();
    await tap("Zirconia", "Without a case");
    expect(text()).toContain("No case given");
    expect(text()).not.toContain("large case");
    await tap("Begin");
    expect(chosen).toEqual([{ planId: 1, revision: 2, case: null, jobNumber: null, layers: [] }]);
  });

  it("proposes the second bake, as before, of a job that has had one, and shows what its layers had", async () => {
    const { button, enterJob, text } = await shown();
    await enterJob(MADE_UP_JOB);
    expect(text()).toContain(`Job ${MADE_UP_JOB} has had 1 bake.`);
    for (const name of ["Zirconia", "Large", "Second"])
      expect(button(name).getAttribute("aria-pressed"), name).toBe("true");
    expect(text()).toMatch(/Demo paste, higher-firing right 103 s at 760.°C; window 60 to 230 s/);
  });

  it("keeps what was chosen by hand over what the job proposes", async () => {
    const { button, enterJob, tap } = await shown();
    await tap("Metal");
    await enterJob(MADE_UP_JOB);
    expect(button("Metal").getAttribute("aria-pressed")).toBe("true");
    expect(button("Second").getAttribute("aria-pressed")).toBe("true");
  });

  it("says that a job is new, and that a number cannot be one", async () => {
    const { button, enterJob, tap, text } = await shown();
    await enterJob("900");
    expect(text()).toContain("Job 900 is new here: its first bake.");
    await tap("Zirconia", "Large");
    await enterJob("<900>");
    expect(text()).toContain("letters, digits");
    expect(button("The plan").disabled).toBe(true);
  });

  it("takes a job number from the keypad", async () => {
    const { tap, chosen } = await shown();
    await tap("4", "4", "9", "Delete", "1", "7", "Zirconia", "Small", "The plan", "Begin");
    expect(chosen).toMatchObject([{ jobNumber: "4417" }]);
  });

  it("goes on where nobody answers for the job", async () => {
    const { desk, enterJob, tap, text, chosen } = await shown();
    desk.refusal = "The recording program does not answer.";
    await enterJob(MADE_UP_JOB);
    expect(text()).toContain("The recording program does not answer.");
    await tap("Zirconia", "Small", "The plan", "Begin");
    expect(chosen).toMatchObject([{ jobNumber: MADE_UP_JOB, case: { bake: "first" } }]);
  });

  it("says where no material is kept", async () => {
    const { text } = await shown({ materials: [] });
    expect(text()).toContain("No material is kept yet");
  });
});

describe("Begin, the plan,", () => {
  it("is of the card of the job's last bake, with what each layer will have had, and is begun as it is seen", async () => {
    const { enterJob, tap, text, chosen } = await shown();
    await enterJob(MADE_UP_JOB);
    await tap("The plan");
    expect(text()).toContain("revision 3, for Demo paste, higher-firing");
    expect(text()).toContain("0:10 second bake, instead of 1:00");
    expect(text()).toMatch(/103 \+ \d+ = \d+ s at 760/);
    expect(text()).toContain("What that does to the heat work");
    await tap("Begin");
    expect(chosen).toEqual([
      { planId: 2, revision: 3, case: ZIRCONIA_LARGE_SECOND, jobNumber: MADE_UP_JOB, layers: [] },
    ]);
  });

  it("is of the card made for a layer that is put on, which goes along", async () => {
    const { enterJob, tap, text, chosen } = await shown();
    await enterJob(MADE_UP_JOB);
    await tap("Demo colour glaze", "The plan");
    expect(text()).toContain("with Demo colour glaze");
    await tap("Begin");
    expect(chosen).toMatchObject([{ planId: 3, layers: [{ name: "Demo colour glaze", materialId: 3 }] }]);
  });

  it("counts a second layer of the same paste on, and takes a layer off again", async () => {
    const { enterJob, tap, button, chosen } = await shown();
    await enterJob(MADE_UP_JOB);
    await tap("Demo colour glaze", "Demo paste, higher-firing", "Demo colour glaze");
    expect(button("Demo paste, higher-firing 2").getAttribute("aria-pressed")).toBe("true");
    await tap("The plan", "Begin");
    expect(chosen[0]?.layers).toEqual([{ name: "Demo paste, higher-firing 2", materialId: 2 }]);
  });

  it("is not begun where the card gives none; the reason stands in its place", async () => {
    const { tap, tapFirst, text, button } = await shown({ planId: 4 });
    await tap("Zirconia", "Large", "Second", "The plan");
    expect(text()).toContain("Two adaptations set the hold at the top to different values");
    expect(button("Begin").disabled).toBe(true);
    await tapFirst("Demo build-up, standard");
    expect(button("Begin").disabled).toBe(false);
  });

  it("says of each card what it would fire, and leaves retired ones out", async () => {
    const { tap, text } = await shown();
    await tap("Zirconia", "Large", "Second", "The plan");
    expect(text()).toMatch(/Demo build-up, higher-firing 754.°C, hold 0:10 · 22:59/);
    expect(text()).toContain("Demo build-up, contradictory gives no plan for this case");
    expect(text()).not.toContain("of old");
  });

  it("warns of a climb that this furnace has never made", async () => {
    const { tap, text } = await shown();
    await tap("Lithium disilicate", "Small", "The plan");
    expect(text()).toMatch(/Step 1 climbs at 50.K\/min, and this furnace so far reached at most 47\./);
  });

  it("waits for the look-up before it is begun: the job may propose another", async () => {
    const { desk, tap, button, settled } = await shown();
    await tap("Zirconia", "Small", "4");
    const letGo = desk.hold();
    await tap("The plan");
    expect(button("Begin").disabled).toBe(true);
    letGo();
    await settled();
    expect(button("Begin").disabled).toBe(false);
  });

  it("is told in °F", async () => {
    const { tap, text } = await shown({ unit: "fahrenheit" });
    await tap("Zirconia", "Large", "The plan");
    expect(text()).toContain("1310 from the card, −18 large case, +7 this furnace");
  });

  it("says where there is no plan at all", async () => {
    const { tap, text, button } = await shown({ plans: [] });
    await tap("Without a case");
    expect(text()).toContain("There is no plan yet");
    expect(button("Begin").disabled).toBe(true);
  });
});

describe("Begin, the next time on the furnace,", () => {
  async function begunOnce() {
    const first = await shown();
    await first.tap("Zirconia", "Large", "The plan");
    await first.tapFirst("Demo build-up, higher-firing");
    await first.tap("Begin");
    document.body.replaceChildren();
  }

  it("opens with the plan for the same again: a plain bake is one more tap", async () => {
    await begunOnce();
    const { tap, text, chosen } = await shown();
    expect(text()).toMatch(/Large.case.on.zirconia, first.bake no job number/);
    await tap("Begin");
    expect(chosen).toMatchObject([
      { planId: 2, case: { caseSize: "large", bake: "first" }, jobNumber: null },
    ]);
  });

  it("goes back to what goes in by a tap, and by a scan", async () => {
    await begunOnce();
    const { tap, tapFirst, scan, text, button } = await shown();
    await tapFirst("What goes in: change");
    expect(text()).toContain("Job number");
    await tap("The plan");
    await scan("JOB-2026-0007");
    expect(text()).toContain("Job JOB-2026-0007 is new here: its first bake.");
    expect(button("The plan").disabled).toBe(false);
  });

  it("knows nothing on another furnace", async () => {
    await begunOnce();
    const { text } = await shown({ furnaceId: "furnace-2" });
    expect(text()).toContain("What goes in?");
  });
});

describe("Begin, for an open bake,", () => {
  it("starts from what is known of it, and does not count it as an earlier one", async () => {
    const [, paste] = madeUpMaterials();
    if (!paste) throw new Error("no material");
    const open = {
      ...openBake({ id: 22, jobNumber: MADE_UP_JOB, case: ZIRCONIA_LARGE_SECOND }),
      layers: [{ name: "Build-up", material: paste }],
      samples: [],
    };
    const { tap, text, button, chosen } = await shown({ openBake: open, planId: 2, confirmWord: "Save" });
    expect(text()).toContain(`Job ${MADE_UP_JOB} is new here`);
    expect(button("Second").getAttribute("aria-pressed")).toBe("true");
    expect(button("Build-up").getAttribute("aria-pressed")).toBe("true");
    await tap("The plan", "Save");
    expect(chosen).toMatchObject([{ planId: 2, layers: [{ name: "Build-up", materialId: 2 }] }]);
  });
});
