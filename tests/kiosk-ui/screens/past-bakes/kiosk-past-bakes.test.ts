// @vitest-environment happy-dom
import { afterEach, describe, expect, it, vi } from "vitest";
import type { KioskTraceChart } from "#kiosk-ui/chart/kiosk-trace-chart";
import "#kiosk-ui/screens/past-bakes/kiosk-past-bakes";
import { BAKES_PER_PAGE } from "#kiosk-ui/screens/past-bakes/bake-query";
import type { KioskPastBakes } from "#kiosk-ui/screens/past-bakes/kiosk-past-bakes";
import type { BakeSummary } from "#shared/bake";
import { bake, MemoryLibrary } from "#tests/helpers/bake-library";
import { madeUpPlans } from "#tests/helpers/made-up-bakes";

let place: KioskPastBakes;
afterEach(() => place.remove());

const hundred: BakeSummary[] = Array.from({ length: 100 }, (_, index) =>
  bake({
    id: 100 - index,
    furnaceId: `furnace-${1 + (index % 2)}`,
    furnaceName: `Furnace ${1 + (index % 2)}`,
    jobNumber: String(4400 + index),
    grade: index === 30 ? "slumped" : null,
  }),
);

async function opened(library: MemoryLibrary, openBakeId: number | null = null) {
  place = document.createElement("kiosk-past-bakes");
  place.client = library;
  place.plans = madeUpPlans();
  place.openBakeId = openBakeId;
  document.body.append(place);
  await place.updateComplete;
}

/** Everything on the page that matches, through shadow roots. */
function all(selector: string, root: ParentNode = place.renderRoot): HTMLElement[] {
  const here = [...root.querySelectorAll<HTMLElement>(selector)];
  const inside = [...root.querySelectorAll("*")].flatMap((element) =>
    element.shadowRoot ? all(selector, element.shadowRoot) : [],
  );
  return [...here, ...inside];
}

function text(): string {
  return all("h1, h2, p, span, li, td, th, button")
    .map((element) => element.textContent ?? "")
    .join(" ")
    .replace(/\s+/g, " ");
}

function button(name: string | RegExp, nth = 0): HTMLButtonElement {
  const found = all("button").filter((element) => {
    const label = (element.textContent ?? "").replace(/\s+/g, " ").trim();
    return typeof name === "string" ? label === name : name.test(label);
  })[nth];
  if (!(found instanceof HTMLButtonElement)) throw new Error(`No button ${name}`);
  return found;
}

const seen = (words: string | RegExp) => vi.waitFor(() => expect(text()).toMatch(words));

describe("the list of past bakes", () => {
  it("holds one page, newest first, and says how many there are", async () => {
    await opened(new MemoryLibrary(hundred));
    await seen("100 bakes");
    expect(all("li.bake")).toHaveLength(BAKES_PER_PAGE);
    expect(all("li.bake")[0]?.textContent).toContain("job 4400");
  });

  it("turns to older bakes and back without growing", async () => {
    await opened(new MemoryLibrary(hundred));
    await seen("1 to 20 of 100");
    button("Older").click();
    await seen("21 to 40 of 100");
    expect(all("li.bake")).toHaveLength(BAKES_PER_PAGE);
    button("Newer").click();
    await seen("1 to 20 of 100");
  });

  it("is filtered by a tap on a grade, from its newest page", async () => {
    const library = new MemoryLibrary(hundred);
    await opened(library);
    await seen("1 to 20 of 100");
    button("Older").click();
    await seen("21 to 40 of 100");
    button("slumped").click();
    await seen(/\b1 bake\b/);
    expect(library.asked.at(-1)).toEqual({ grade: "slumped", limit: BAKES_PER_PAGE, offset: 0 });
  });

  it("is filtered by part of a job number from the keypad", async () => {
    const library = new MemoryLibrary(hundred);
    await opened(library);
    await seen("100 bakes");
    button(/Part of the job number/).click();
    for (const key of ["4", "4", "9"]) {
      button(key).click();
      await place.updateComplete;
    }
    await vi.waitFor(() => expect(all("input")[0]).toHaveProperty("value", "449"));
    all("form")[0]?.dispatchEvent(new SubmitEvent("submit", { cancelable: true }));
    await seen("11 bakes");
    expect(library.asked.at(-1)).toMatchObject({ job: "449" });
  });

  it("says that nothing fits and takes the filters away again", async () => {
    await opened(new MemoryLibrary(hundred));
    await seen("100 bakes");
    button("raw").click();
    await seen("No bake fits these filters");
    button("All bakes").click();
    await seen("100 bakes");
  });

  it("finds a bake that ends while it is looked at", async () => {
    const library = new MemoryLibrary(hundred);
    await opened(library);
    await seen("100 bakes");
    const ended = bake({ id: 101, jobNumber: "4399" });
    const asked = library.asked.length;
    place.finishedBakes = [{ bake: ended, detail: null, samples: [] }];
    await vi.waitFor(() => expect(library.asked).toHaveLength(asked + 1));
    place.finishedBakes = [{ bake: { ...ended, grade: "right" }, detail: null, samples: [] }];
    await place.updateComplete;
    expect(library.asked).toHaveLength(asked + 1);
  });

  it("says what will stand here while there is no bake", async () => {
    await opened(new MemoryLibrary([]));
    await seen("No bake yet");
  });

  it("says the daemon's line when it is refused, and asks again", async () => {
    const library = new MemoryLibrary(hundred);
    library.refusal = "The disk is full. Free some space, then try again.";
    await opened(library);
    await seen("The disk is full");
    button("Try again").click();
    await seen("100 bakes");
  });
});

describe("a past bake opened", () => {
  it("shows verdict, stages and record, and goes back to the page that it came from", async () => {
    await opened(new MemoryLibrary(hundred));
    await seen("1 to 20 of 100");
    button("Older").click();
    await seen("21 to 40 of 100");
    button(/Sample layer, high/).click();
    await seen("Stage by stage");
    expect(all("kiosk-trace-chart")).toHaveLength(1);
    button("Back").click();
    await seen("21 to 40 of 100");
  });

  it("shows one stage alone by a choice in the foot, and the whole bake again", async () => {
    await opened(new MemoryLibrary(hundred), 42);
    await seen("Stage by stage");
    const zoomed = () => (all("kiosk-trace-chart")[0] as KioskTraceChart).zoomedStage;
    button("Hold").click();
    await vi.waitFor(() => expect(zoomed()).toBe("hold-1"));
    button("Whole bake").click();
    await vi.waitFor(() => expect(zoomed()).toBeNull());
  });

  it("is opened at once by its id", async () => {
    await opened(new MemoryLibrary(hundred), 42);
    await seen("Stage by stage");
  });

  it("is graded by one tap", async () => {
    const library = new MemoryLibrary(hundred);
    await opened(library, 42);
    await seen("Stage by stage");
    button("milky", 0).click();
    await vi.waitFor(() =>
      expect(all("[role=radio][aria-checked=true]").map((radio) => radio.textContent?.trim())).toEqual([
        "milky",
      ]),
    );
    expect(library.graded).toEqual([{ grade: "milky" }]);
  });

  it("says why a grade was not taken, and keeps the old one", async () => {
    const library = new MemoryLibrary(hundred);
    await opened(library, 42);
    await seen("Stage by stage");
    library.refusal = "The store is busy. Try again.";
    button("milky", 0).click();
    await seen("The store is busy");
    expect(all("[role=radio][aria-checked=true]")).toEqual([]);
  });

  it("can be given another plan and a job number afterwards", async () => {
    const library = new MemoryLibrary([bake({ id: 42, planId: null, planName: null, jobNumber: null })]);
    await opened(library, 42);
    await seen("Nothing to compare it with");
    button("Sample glaze in air").click();
    await seen("Climb 2");
    expect(library.patches).toEqual([{ planId: 3 }]);
  });

  it("shows the case, what the card changed for it, and what each layer has had", async () => {
    const library = new MemoryLibrary([bake({ id: 7 })]);
    library.isCaseKnown = true;
    await opened(library, 7);
    await seen("large case on zirconia, second bake");
    await seen("143 sware 84 s");
    expect(all("h3").map((heading) => heading.textContent)).toEqual([
      "Where the plan’s numbers came from",
      "What each layer has had",
    ]);
    expect(all("dd").map((told) => told.textContent?.trim())).toContain(
      "766 from the card, −10 large case, +4 this furnace",
    );
    expect(text()).toContain("Bakes of job 4417");
    expect(library.questions).toContain("/api/jobs/4417");
  });

  it("judges its heat work by the window of its layers", async () => {
    const library = new MemoryLibrary([bake({ id: 7 })]);
    library.isCaseKnown = true;
    await opened(library, 7);
    await seen("Right for its layers: up to");
    expect(
      all("[role=img]").some((bar) => bar.getAttribute("aria-label")?.includes("Right for its layers")),
    ).toBe(true);
    expect(text()).not.toContain("±10 % is for demonstration");
  });

  it("shows what its trace would have done to a well-built layer, by chamber and ware", async () => {
    const library = new MemoryLibrary([bake({ id: 7 })]);
    await opened(library, 7);
    await seen(
      "By the chamber: consistent with a layer that looks clear at 1 mm. By the ware: with a layer that looks milky at 1 mm.",
    );
    await seen("never proof");
  });

  it("says in its place why that could not be reckoned, and shows the rest all the same", async () => {
    const library = new MemoryLibrary([bake({ id: 7 })]);
    library.otherRefusal = "No material is known for this bake. Give its card one, in Plans.";
    await opened(library, 7);
    await seen("No material is known for this bake");
    await seen("Stage by stage");
    expect(text()).toContain("±10 % is for demonstration");
  });

  it("counts nothing over several bakes without a job number, and asks for nothing", async () => {
    const library = new MemoryLibrary([bake({ id: 7, jobNumber: null })]);
    library.isCaseKnown = true;
    await opened(library, 7);
    await seen("Without a job number nothing is counted over several bakes.");
    expect(library.questions).toEqual(["/api/bakes/7/glass"]);
  });

  it("reckons anew once it is given another job number", async () => {
    const library = new MemoryLibrary([bake({ id: 42, planId: null, planName: null, jobNumber: null })]);
    await opened(library, 42);
    await seen("Nothing to compare it with");
    button("Sample glaze in air").click();
    await seen("Climb 2");
    await vi.waitFor(() => expect(library.questions).toEqual(["/api/bakes/42/glass", "/api/bakes/42/glass"]));
  });

  it("says so when it is not there", async () => {
    await opened(new MemoryLibrary(hundred), 4242);
    await seen("No bake 4242");
  });
});

describe("two bakes laid over each other", () => {
  it("are chosen in the list and compared, the first chosen first", async () => {
    await opened(new MemoryLibrary(hundred));
    await seen("100 bakes");
    button("Lay over", 4).click();
    await seen("One bake chosen");
    expect(button("Lay over each other").disabled).toBe(true);
    button("Lay over", 0).click();
    await seen("Two bakes chosen");
    button("Lay over each other").click();
    await seen("What differs");
    const legend = all(".legend li").map((line) => line.textContent ?? "");
    expect(legend[0]).toContain("job 4404");
    expect(legend[1]).toContain("job 4400");
  });

  it("say what went in where that differs", async () => {
    const large = { framework: "zirconia", caseSize: "large", bake: "first" } as const;
    await opened(new MemoryLibrary([bake({ id: 2, case: large }), bake({ id: 1, case: null })]));
    await seen("2 bakes");
    button("Lay over", 0).click();
    await seen("One bake chosen");
    button("Lay over", 0).click();
    await seen("Two bakes chosen");
    button("Lay over each other").click();
    await seen("First: large case on zirconia, first bake");
    expect(text()).toContain("Second: not said what went in");
  });

  it("stay chosen on the way back, until none is wanted", async () => {
    await opened(new MemoryLibrary(hundred));
    await seen("100 bakes");
    button("Lay over").click();
    await seen("One bake chosen");
    button("Choose none").click();
    await vi.waitFor(() => expect(text()).not.toContain("One bake chosen"));
  });
});

describe("the verdict of a bake whose thermocouple was open", () => {
  it("says so among what differed; a lone spike stands below only", async () => {
    const library = new MemoryLibrary([bake({ id: 7, planId: 1 })]);
    const fault = {
      isActive: false,
      seconds: 101,
      firstAtSeconds: 460,
      lastAtSeconds: 561,
      likelyType: null,
    };
    library.sensorFaults = [
      { ...fault, kind: "open-circuit", episodes: 1, readings: 102, celsius: null, needsPerson: true },
      { ...fault, kind: "spikes", episodes: 1, readings: 1, celsius: 1241, needsPerson: false },
    ];
    await opened(library, 7);
    await vi.waitFor(() => {
      const findings = all(".findings li").map((item) =>
        (item.textContent ?? "").replace(/\s+/g, " ").trim(),
      );
      expect(findings.at(-1)).toBe("The thermocouple was open once, 1 min 41 s in all.");
    });
    expect(all(".findings li").at(-1)?.classList.contains("needs")).toBe(true);
  });
});
