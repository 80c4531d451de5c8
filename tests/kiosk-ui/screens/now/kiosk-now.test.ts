// @vitest-environment happy-dom
import { afterEach, describe, expect, it, vi } from "vitest";
import type { KioskAction } from "#kiosk-ui/components/kiosk-action";
import { initialKioskState, type KioskMessage, type KioskState, nextKioskState } from "#kiosk-ui/kiosk-state";
import { ALL_FURNACES, KioskNow, shownFurnace } from "#kiosk-ui/screens/now/kiosk-now";
import type { SensorFault } from "#shared/sensor-fault";
import { bake, detail, furnace, openBake, snapshot } from "#tests/helpers/kiosk-messages";
import { madeUpComparison, madeUpFault, madeUpPlans, madeUpTrace } from "#tests/helpers/made-up-bakes";
import { MADE_UP_PROBE } from "#tests/helpers/made-up-checks";

const stateAfter = (...messages: KioskMessage[]): KioskState =>
  messages.reduce(nextKioskState, initialKioskState);
const idle: KioskMessage = { kind: "snapshot", snapshot: snapshot(), atSeconds: 1 };

/** Everything inside, through every shadow root. */
function within(root: ParentNode): Element[] {
  return [...root.querySelectorAll("*")].flatMap((element) => [
    element,
    ...(element.shadowRoot ? within(element.shadowRoot) : []),
  ]);
}

async function shown(state: KioskState, properties: Partial<KioskNow> = {}) {
  const element = new KioskNow();
  Object.assign(element, { state, furnaceId: shownFurnace(state, null), ...properties });
  const actions: KioskAction[] = [];
  element.addEventListener("kiosk-action", (event) => actions.push(event.detail));
  document.body.append(element);
  const settled = async () => {
    for (let round = 0; round < 4; round++) await new Promise((resolve) => setTimeout(resolve, 0));
  };
  await settled();
  const all = () => within(element.shadowRoot ?? element);
  const button = (words: string) => {
    const found = all().find(
      (candidate) => candidate.localName === "button" && candidate.textContent?.trim().startsWith(words),
    );
    if (!(found instanceof HTMLButtonElement)) throw new Error(`no button "${words}"`);
    return found;
  };
  const text = () =>
    all()
      .filter((part) => part.children.length === 0 && part.localName !== "style")
      .map((part) => part.textContent)
      .join(" ");
  return { element, actions, settled, all, button, text };
}

afterEach(() => document.body.replaceChildren());

const openThermocouple = madeUpFault("open-circuit", { isActive: true, seconds: 33, needsPerson: true });
const faultyFurnace = (kind: SensorFault["kind"] = "open-circuit") => ({
  ...furnace(),
  sensorFaults: [{ ...openThermocouple, kind }],
});

describe("Now, while something is wrong with a thermocouple,", () => {
  it("says on the tile and below that there is no reading, and where to look; never the stale number", async () => {
    const faulty = snapshot({ furnaces: [faultyFurnace()] });
    const { text } = await shown(stateAfter({ kind: "snapshot", snapshot: faulty, atSeconds: 1 }));
    expect(text()).not.toContain("502");
    expect(text()).toContain("No reading: thermocouple open");
    expect(text()).toMatch(
      /Furnace 1: The thermocouple is open, for 33.s so far\. Look first at the terminals/,
    );
  });

  it("says only that the line is lost where that is so: nobody knows of the thermocouple then", async () => {
    const link = { ...furnace().link, kind: "absent" as const, message: "Plug the adapter in." };
    const faulty = snapshot({ furnaces: [{ ...faultyFurnace("frozen"), link }] });
    const { text } = await shown(stateAfter({ kind: "snapshot", snapshot: faulty, atSeconds: 1 }));
    expect(text()).toContain("Plug the adapter in.");
    expect(text()).not.toContain("Look first at");
  });

  it("marks the number of a running bake and leaves out its difference from the plan", async () => {
    const plan = madeUpPlans()[0];
    if (!plan) throw new Error("no plan");
    const all = madeUpTrace(plan.plan, { seed: 7, slowness: 2, overshootKelvin: 0 }).slice(0, 2400);
    const comparison = madeUpComparison(plan.plan, all, false);
    const running = (sensorFaults: SensorFault[]) =>
      stateAfter(
        {
          kind: "snapshot",
          snapshot: snapshot({ furnaces: [{ ...furnace(), sensorFaults: [] }] }),
          atSeconds: 1,
        },
        {
          kind: "bake",
          bake: { ...openBake({ sampleCount: 2400 }), comparison, sensorFaults },
          atSeconds: 2,
        },
        { kind: "samples", batch: { bakeId: 7, fromSequence: 0, samples: all }, atSeconds: 2 },
      );
    const frozen = { ...openThermocouple, kind: "frozen" as const, celsius: 700 };
    const healthy = await shown(running([madeUpFault("spikes", { readings: 3 })]));
    expect(healthy.text()).toContain("3 spikes so far");
    expect(healthy.text()).toMatch(/\d+ below/);
    document.body.replaceChildren();
    const { text } = await shown(running([frozen]));
    expect(text()).toContain("Do not believe it: reading frozen");
    expect(text()).toContain("Look first at the instrument");
    expect(text()).not.toMatch(/\d+ below/);
    expect(text()).toContain("heat work, of the plan");
  });

  it("says it before the climb too", async () => {
    const open = { ...openBake({ state: "waiting" }), sensorFaults: [openThermocouple] };
    const { text } = await shown(stateAfter(idle, { kind: "bake", bake: open, atSeconds: 2 }));
    expect(text()).toContain("No reading: thermocouple open");
    expect(text()).toContain("Look first at the terminals");
  });

  it("tells it with the verdict, and how sure that is", async () => {
    const plan = madeUpPlans()[0];
    if (!plan) throw new Error("no plan");
    const trace = madeUpTrace(plan.plan, { seed: 7, slowness: 0, overshootKelvin: 2 });
    const sure = madeUpComparison(plan.plan, trace, true, MADE_UP_PROBE);
    const past = { ...openThermocouple, isActive: false };
    const told = { ...detail(), comparison: sure, probe: MADE_UP_PROBE, sensorFaults: [past] };
    const ended = bake({ state: "finished" });
    const { text } = await shown(
      stateAfter(
        idle,
        { kind: "bake", bake: openBake(), atSeconds: 2 },
        { kind: "finished", bake: ended, atSeconds: 3 },
        { kind: "detail", detail: told, samples: trace, atSeconds: 3 },
      ),
    );
    expect(text()).toContain("The thermocouple was open once");
    expect(text()).toContain("type S, IEC class 2, not corrected");
    expect(text()).toMatch(/Temperatures are sure to ± \d\.\d.K \(k.=.2/);
    expect(text()).toMatch(/%, \d+ to \d+.%/);
  });
});

describe("Now", () => {
  it("shows a tile per furnace at rest, with the way to begin", async () => {
    const { button, actions, text } = await shown(stateAfter(idle));
    expect(text()).toContain("502");
    button("Begin").click();
    expect(actions).toEqual([{ kind: "prepare", furnaceId: "furnace-1", planId: null }]);
  });

  it("asks for the page of Begin when it is first wanted, and says that it is on its way", async () => {
    const { element, text, button, settled, actions } = await shown(stateAfter(idle));
    const wanted = vi.fn();
    element.addEventListener("begin-wanted", wanted);
    element.preparation = { furnaceId: "furnace-1", planId: null };
    await settled();
    expect(wanted).toHaveBeenCalledOnce();
    element.beginPage = "loading";
    await settled();
    expect(text()).toContain("Begin on Furnace 1");
    expect(text()).toContain("Opening…");
    expect(wanted).toHaveBeenCalledOnce();
    button("Cancel").click();
    expect(actions).toEqual([{ kind: "show-furnace", furnaceId: null }]);
  });

  it("says that the page of Begin did not come, and asks for it again by hand", async () => {
    const { element, text, button } = await shown(stateAfter(idle), {
      preparation: { furnaceId: "furnace-1", planId: null },
      beginPage: "failed",
    });
    const wanted = vi.fn();
    element.addEventListener("begin-wanted", wanted);
    expect(text()).toContain("its page could not be fetched");
    button("Try again").click();
    expect(wanted).toHaveBeenCalledOnce();
  });

  it("begins on the furnace what was confirmed", async () => {
    const { actions, all } = await shown(stateAfter(idle), {
      preparation: { furnaceId: "furnace-1", planId: 2 },
      beginPage: "ready",
    });
    const begin = all().find(({ localName }) => localName === "kiosk-begin");
    const request = { planId: 2, revision: 1, case: null, jobNumber: "4417", layers: [] };
    begin?.dispatchEvent(new CustomEvent("chosen", { detail: request }));
    expect(actions).toEqual([{ kind: "begin", furnaceId: "furnace-1", request }]);
  });

  it("waits for the climb after beginning", async () => {
    const open = openBake({ state: "waiting" });
    const { text } = await shown(stateAfter(idle, { kind: "bake", bake: open, atSeconds: 2 }));
    expect(text()).toContain("Waiting for the climb");
    expect(text()).toContain("See that it stands by at 510");
  });

  it("shows a running bake with its plan, difference, times and heat work", async () => {
    const plan = madeUpPlans()[0];
    if (!plan) throw new Error("no plan");
    const samples = madeUpTrace(plan.plan, { seed: 7, slowness: 8, overshootKelvin: 0 }).slice(0, 2400);
    const comparison = madeUpComparison(plan.plan, samples, false);
    const state = stateAfter(
      idle,
      {
        kind: "bake",
        bake: { ...openBake({ sampleCount: 2400 }), comparison },
        atSeconds: 2,
      },
      { kind: "samples", batch: { bakeId: 7, fromSequence: 0, samples }, atSeconds: 2 },
    );
    const { text } = await shown(state);
    expect(text()).toMatch(/plan \d{3} ·/);
    expect(text()).toMatch(/\d+ below/);
    expect(text()).toContain("to the top");
    expect(text()).toContain("heat work, of the plan");
    expect(text()).toContain("for demonstration");
  });

  it("says that a bake has no plan, and opens the choice of one", async () => {
    const open = { ...openBake({ planId: null, planName: null }), plan: null };
    const { actions, all, button, settled } = await shown(
      stateAfter(idle, { kind: "bake", bake: open, atSeconds: 2 }),
      { beginPage: "ready" },
    );
    button("Give it a plan").click();
    await settled();
    const begin = all().find(({ localName }) => localName === "kiosk-begin");
    const fitted = { planId: 3, case: null, jobNumber: "4417", layers: [] };
    begin?.dispatchEvent(new CustomEvent("chosen", { detail: { ...fitted, revision: 1 } }));
    expect(actions).toEqual([{ kind: "change-bake", bakeId: 7, patch: fitted }]);
  });

  it("says when a running bake is not heard", async () => {
    const state = stateAfter(
      idle,
      { kind: "bake", bake: openBake(), atSeconds: 2 },
      { kind: "tick", atSeconds: 13 },
    );
    const { text } = await shown(state);
    expect(text()).toContain("Last reading 12");
    expect(text()).toContain("Nothing heard from this furnace");
  });

  it("asks how a finished bake came out", async () => {
    const state = stateAfter(
      idle,
      { kind: "finished", bake: bake({ state: "finished" }), atSeconds: 2 },
      { kind: "detail", detail: detail(), samples: null, atSeconds: 3 },
    );
    const { actions, all, text } = await shown(state);
    expect(text()).toContain("How did it come out?");
    all()
      .find((part) => part.localName === "kiosk-grade-picker")
      ?.dispatchEvent(new CustomEvent("grade-chosen", { detail: "milky" }));
    expect(actions).toEqual([{ kind: "grade", bakeId: 7, grade: "milky" }]);
  });

  it("shows the first findings of a verdict, and how many more there are", async () => {
    const found = detail();
    const finding = {
      code: "overshoot",
      planned: 760,
      actual: 4,
      heatWorkEffectFraction: 0,
      needsPerson: false,
    } as const;
    const findings = [1, 2, 3, 4, 5, 6].map((index) => ({ ...finding, index }));
    const plan = madeUpPlans()[0];
    if (!plan) throw new Error("no plan");
    const samples = madeUpTrace(plan.plan, { seed: 7, slowness: 0, overshootKelvin: 0 });
    const comparison = { ...madeUpComparison(plan.plan, samples, true), findings };
    const state = stateAfter(
      idle,
      { kind: "finished", bake: bake({ state: "finished" }), atSeconds: 2 },
      { kind: "detail", detail: { ...found, comparison }, samples: null, atSeconds: 3 },
    );
    const { text } = await shown(state);
    expect(text()).toContain("Hold 3 overshot");
    expect(text()).not.toContain("Hold 4 overshot");
    expect(text()).toContain("3 more findings: see Past bakes.");
  });

  it("goes to the only furnace with a bake by itself, unless all were chosen by hand", () => {
    const state = stateAfter(idle, { kind: "bake", bake: openBake(), atSeconds: 2 });
    expect(shownFurnace(state, null)).toBe("furnace-1");
    expect(shownFurnace(state, ALL_FURNACES)).toBeNull();
    expect(shownFurnace(stateAfter(idle), "furnace-1")).toBeNull();
  });
});
