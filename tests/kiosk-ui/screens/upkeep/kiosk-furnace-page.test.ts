// @vitest-environment happy-dom
import { afterEach, describe, expect, it, vi } from "vitest";
import { FIXED_POINTS } from "#core/upkeep/fixed-points";
import { initialKioskState, type KioskMessage, nextKioskState } from "#kiosk-ui/kiosk-state";
import { KioskFurnacePage } from "#kiosk-ui/screens/upkeep/kiosk-furnace-page";
import type { FurnaceStatus } from "#shared/furnace";
import { buttonIn, elementsIn, type FakeCheckDesk, fakeCheckDesk, wordsIn } from "#tests/helpers/check-desk";
import { furnace, openBake, snapshot } from "#tests/helpers/kiosk-messages";
import { correctedProbe, MADE_UP_PROBE, madeUpChecks, madeUpMelt } from "#tests/helpers/made-up-checks";

type Untimed<Message> = Message extends KioskMessage ? Omit<Message, "atSeconds"> : never;

async function shown(changes: Partial<FurnaceStatus["furnace"]> = {}, desk: FakeCheckDesk = fakeCheckDesk()) {
  const status = furnace();
  const page = new KioskFurnacePage();
  page.state = nextKioskState(initialKioskState, {
    kind: "snapshot",
    snapshot: snapshot({ furnaces: [{ ...status, furnace: { ...status.furnace, ...changes } }] }),
    atSeconds: 1,
  });
  page.heard = page.state.furnaces[0] ?? null;
  page.client = desk;
  document.body.append(page);
  /** Until every answer has come and every element has drawn itself. */
  const settled = async () => {
    for (let turn = 0; turn < 4; turn++) {
      await new Promise((resolve) => setTimeout(resolve, 0));
      for (const element of elementsIn(page.shadowRoot ?? document))
        if ("updateComplete" in element) await element.updateComplete;
    }
  };
  const take = async (message: Untimed<KioskMessage>, atSeconds = 2) => {
    page.state = nextKioskState(page.state, { ...message, atSeconds } as KioskMessage);
    page.heard = page.state.furnaces[0] ?? null;
    await settled();
  };
  const press = async (...names: string[]) => {
    for (const name of names) {
      buttonIn(page.shadowRoot ?? document, name).click();
      await settled();
    }
  };
  await settled();
  return { page, desk, settled, take, press, text: () => wordsIn(page.shadowRoot ?? document) };
}

const now = Date.now();
const checks = madeUpChecks(now);
const accepted = checks.find((check) => check.accepted);
const corrected = accepted ? correctedProbe(MADE_UP_PROBE, accepted) : MADE_UP_PROBE;

afterEach(() => {
  document.body.replaceChildren();
  vi.unstubAllGlobals();
});

describe("a furnace's page", () => {
  it("says that there is no check yet, and how sure a new probe is at the top of the newest plan", async () => {
    const { text } = await shown({ probe: MADE_UP_PROBE });
    expect(text()).toContain("No check yet");
    expect(text()).toContain("at 760 °C, k = 2");
    expect(text()).toContain("No check yet: rests on its class when new.");
  });

  it("says that nothing is known of a probe of which nobody said anything", async () => {
    const { text } = await shown();
    expect(text()).toContain("Nothing is said of this probe yet");
    expect(text()).not.toContain("± 0");
  });

  it("lists the checks with age, verdict and acceptance, and tells the drift", async () => {
    const { page, text } = await shown({ probe: corrected }, fakeCheckDesk(checks));
    expect(text()).toContain("13 days ago silver wire 3.4 K low ± 0.7 K within ± 5.0 K not accepted");
    expect(text()).toMatch(/68 days ago .* in force since \d+ \w+ by MK/);
    expect(text()).toMatch(/Corrected by \+2\.1 K since the silver wire of .*, 68 days ago\./);
    const plot = elementsIn(page.shadowRoot ?? document).find((element) => element.matches("[role=img]"));
    expect(plot?.getAttribute("aria-label")).toMatch(/^5 checks since /);
  });

  it("says why the checks did not come, and asks again", async () => {
    const desk = fakeCheckDesk(checks);
    desk.refusal = "The recording program does not answer.";
    const { press, text } = await shown({}, desk);
    expect(text()).toContain("The checks did not come. The recording program does not answer.");
    desk.refusal = null;
    await press("Try again");
    expect(text()).toContain("13 days ago");
  });

  it("says what is wrong with the probe and where to look first", async () => {
    const { page, settled, text } = await shown();
    if (!page.heard) throw new Error("no furnace");
    const fault = {
      kind: "frozen" as const,
      isActive: true,
      episodes: 1,
      readings: 200,
      seconds: 200,
      firstAtSeconds: 0,
      lastAtSeconds: 200,
      celsius: 502,
      likelyType: null,
      needsPerson: true,
    };
    page.heard = { ...page.heard, sensorFaults: [fault, { ...fault, kind: "spikes", needsPerson: false }] };
    await settled();
    expect(text()).toContain("The reading is frozen");
    expect(text()).toContain("Look first at the instrument");
    expect(text()).not.toContain("jumped away");
  });

  it("sets a due date in days from now, or none", async () => {
    const { desk, press } = await shown();
    await press("1 week", "None");
    const [week, none] = desk.asked.filter(([name]) => name === "setCheckDue");
    expect(Math.abs(Number(week?.[2]) - (Date.now() + 7 * 86_400_000))).toBeLessThan(60_000);
    expect(none).toEqual(["setCheckDue", "furnace-1", null]);
  });

  it("calls for a person when a check is overdue, in words", async () => {
    const { page, text } = await shown({ checkDueEpochMilliseconds: now - 9 * 86_400_000 });
    expect(text()).toContain("Check overdue by 9 days");
    expect(page.shadowRoot?.querySelector(".notices")?.textContent).toContain("overdue");
  });

  it("shows a refusal as the one line that it is", async () => {
    const { desk, press, text } = await shown();
    desk.refusal = "There is no furnace furnace-1. Add it first.";
    await press("1 month");
    expect(text()).toContain("There is no furnace furnace-1. Add it first.");
  });

  it("saves nothing while the daemon is not heard", async () => {
    const { page, desk, take, text } = await shown();
    await take({ kind: "lost", atEpochMilliseconds: now });
    expect(text()).toContain("Nothing is saved while the recording program is not heard.");
    buttonIn(page.shadowRoot ?? document, "1 week").click();
    expect(desk.asked.filter(([name]) => name === "setCheckDue")).toEqual([]);
  });

  it("sends the whole line along with what is set of the probe", async () => {
    const { desk, press } = await shown({ probe: MADE_UP_PROBE });
    await press("Probe settings", "T", "Adapter, accuracy ±: more", "Save");
    expect(desk.asked.at(-2)).toEqual([
      "changeFurnace",
      "furnace-1",
      {
        name: "Furnace 1",
        port: "tcp://127.0.0.1:7000",
        baudRate: 9600,
        framing: "8N1",
        format: "auto",
        probe: {
          type: "T",
          // Class 2 is known for type T, too, and stays.
          toleranceClass: "iec-2",
          instrumentAccuracyKelvin: 1.6,
          instrumentResolutionKelvin: 0.1,
          coldJunctionAccuracyKelvin: 1,
          positionKelvin: 2,
        },
      },
    ]);
  });

  it("drops a class that says nothing for the new type", async () => {
    const { desk, press, text } = await shown({ probe: { ...corrected, toleranceClass: "iec-1" } });
    await press("Probe settings", "B");
    expect(text()).toContain("a new thermocouple needs a new check");
    await press("Save");
    expect(desk.asked.at(-2)).toMatchObject([
      "changeFurnace",
      "furnace-1",
      { probe: { type: "B", toleranceClass: null } },
    ]);
  });
});

describe("the uncertainty of a furnace", () => {
  it("stands in a table at a chosen temperature, and on a sheet of its own in the document", async () => {
    const { press, text } = await shown({ probe: MADE_UP_PROBE });
    await press("Uncertainty");
    expect(text()).toContain("Thermocouple, tolerance when new ± 1.90 K rectangular √3");
    await press("At a reading of: more");
    expect(text()).toContain("at 770 °C");
    const sheet = document.getElementById("print-sheet");
    expect(sheet?.textContent).toContain("770\u00a0°C");
    expect(sheet?.textContent).toContain("Demonstration: furnace and figures are invented.");
    const print = vi.fn();
    vi.stubGlobal("print", print);
    await press("Print");
    expect(print).toHaveBeenCalledOnce();
    await press("Back");
    expect(document.getElementById("print-sheet")).toBeNull();
  });
});

describe("a melting wire", () => {
  it("is cautioned of, and silver in air above all", async () => {
    const { press, text } = await shown();
    await press("Melting wire");
    expect(text()).toContain("Silver melts at 961.8 °C (ITS-90).");
    expect(text()).toContain("Program it up to 932 °C");
    expect(text()).toContain("Silver vapour colours the muffle");
    expect(text()).not.toContain("takes up oxygen");
    await press("air");
    expect(text()).toContain("takes up oxygen and melts about 11 K lower");
    await press("Gold");
    expect(text()).toContain("Gold melts at 1064.2 °C");
    expect(text()).not.toContain("takes up oxygen");
  });

  it("says that no bake is open, and takes a reading by hand", async () => {
    const { desk, press, text } = await shown();
    await press("Melting wire", "The wire is in: watch");
    expect(text()).toContain("No bake is open on this furnace.");
    await press("Enter by hand", "Uncorrected reading when it melted: more", "Limit ±: less", "Save");
    expect(desk.asked.find(([name]) => name === "addCheck")).toEqual([
      "addCheck",
      "furnace-1",
      {
        kind: "melting-wire",
        metal: "silver",
        atmosphere: "vacuum",
        reading: { kind: "by-hand", readingCelsius: 962, kelvinPerMinute: 7 },
        wireKelvin: 0.5,
        limitKelvin: 4.5,
      },
    ]);
    expect(text()).toContain("The probe reads 0.2 K too high");
    expect(text()).toContain("Readings will be lowered by 0.2 K from the next bake on.");
  });

  async function watching(offKelvin: number) {
    const melt = madeUpMelt({ offKelvin });
    const place = await shown({ probe: MADE_UP_PROBE });
    await place.take({ kind: "bake", bake: { ...openBake(), plan: null } });
    const until = async (atSeconds: number) => {
      const samples = melt.filter((sample) => sample.atSeconds <= atSeconds);
      await place.take({ kind: "samples", batch: { bakeId: 7, fromSequence: 0, samples } }, 10 + atSeconds);
      await place.take(
        { kind: "furnace", status: { ...furnace({ receivedAt: atSeconds }) } },
        10 + atSeconds,
      );
    };
    await place.press("Melting wire", "The wire is in: watch");
    return { ...place, melt, until };
  }

  it("takes the moment at which somebody pressed, by the uncorrected reading", async () => {
    const { desk, melt, until, press, text } = await watching(-1.4);
    await until(700);
    expect(text()).toContain("Good. Watch the wire.");
    await press("Melted Touch it the moment the wire balls or drops.");
    const read = melt.find((sample) => sample.atSeconds === 700)?.celsius ?? 0;
    const [, low] = /The probe reads ([\d.]+) K too low/.exec(text()) ?? [];
    // A straight line through the seconds before: within the noise of one reading.
    expect(Math.abs(Number(low) - (FIXED_POINTS.silver.celsius - read))).toBeLessThan(0.2);
    desk.refusal = "Nothing was measured in bake 7 around 700 s: press while its line is heard.";
    await press("Save");
    expect(text()).toContain("Nothing was measured in bake 7");
    expect(desk.asked.at(-1)?.[2]).toMatchObject({ reading: { kind: "pressed", bakeId: 7, atSeconds: 700 } });
  });

  it("offers the plateau as soon as it is found", async () => {
    const { desk, until, press, text } = await watching(-1.4);
    await until(840);
    expect(text()).not.toContain("Use the plateau");
    await until(1000);
    expect(text()).toMatch(/Plateau at 960\.[345] °C, 0:\d\d long\./);
    await press("Use the plateau");
    expect(text()).toMatch(/The probe reads 1\.[345] K too low ± 0\.\d K, k = 2/);
    desk.refusal = "no";
    await press("Save");
    expect(desk.asked.at(-1)?.[2]).toMatchObject({ reading: { kind: "plateau", bakeId: 7 } });
  });

  it("cannot be pressed on a reading that is not fresh", async () => {
    const { page, until, take, text } = await watching(0);
    await until(700);
    await take({ kind: "tick" }, 740);
    expect(text()).toMatch(/Nothing heard from this furnace for \d+ s/);
    const melted = buttonIn(
      page.shadowRoot ?? document,
      "Melted Touch it the moment the wire balls or drops.",
    );
    expect(melted.disabled).toBe(true);
  });
});

describe("a check beside a reference", () => {
  it("fills in the fresh reading without its correction, and waits for the reference's", async () => {
    const { page, settled, press, text } = await shown({ probe: corrected });
    await press("Reference");
    expect(text()).toContain("No point yet.");
    expect(buttonIn(page.shadowRoot ?? document, "Save").disabled).toBe(true);
    // 502 °C as shown, of which +2.1 K is the correction
    await press("Add a point: reads 499.9 °C now");
    expect(text()).toContain("Every point needs both readings.");
    await press("Point 1: Reference reads: enter. Type it");
    const keys = elementsIn(page.shadowRoot ?? document).filter((element) => element.matches("dialog[open]"));
    for (const key of ["5", "0", "2", "Done"]) {
      buttonIn(keys[0] ?? document, key).click();
      await settled();
    }
    await press("Save");
    expect(text()).toContain("Reference, 1 point");
    expect(text()).toContain("499.9 °C 502.0 °C −2.1 K");
  });

  it("adds and removes points, and has no reading now of a silent furnace", async () => {
    const { page, press, take, text } = await shown();
    await press("Reference", "Add by hand", "Add by hand", "Remove point 1");
    const cells = () =>
      elementsIn(page.shadowRoot ?? document).filter((element) =>
        element.matches("[aria-label^='Remove point']"),
      );
    expect(cells()).toHaveLength(1);
    await take({ kind: "tick" }, 60);
    expect(text()).toContain("Add a point: no reading now");
  });
});

describe("a check as kept", () => {
  it("becomes the correction by an act of its own, with whoever does it", async () => {
    const { page, desk, settled, press, text } = await shown({ probe: corrected }, fakeCheckDesk(checks));
    const newest = elementsIn(page.shadowRoot ?? document).find((element) => element.matches("li button"));
    (newest as HTMLButtonElement | undefined)?.click();
    await settled();
    expect(text()).toContain("Readings will be raised by 3.4 K from the next bake on.");
    expect(text()).toContain("Until now +2.1 K is added; that ends.");
    expect(desk.asked.map(([name]) => name)).not.toContain("acceptCheck");
    const by = elementsIn(page.shadowRoot ?? document).find(
      (element) => element.id === "by",
    ) as HTMLInputElement;
    by.value = " EF ";
    by.dispatchEvent(new Event("input"));
    const hold = elementsIn(page.shadowRoot ?? document).find(
      (element) => element.localName === "kiosk-hold-button",
    );
    hold?.dispatchEvent(new CustomEvent("confirmed"));
    await settled();
    expect(desk.asked).toContainEqual(["acceptCheck", "furnace-1", 5, "EF"]);
    await press("Back");
  });

  it("corrects no longer once it is withdrawn", async () => {
    const { page, desk, settled, text } = await shown({ probe: corrected }, fakeCheckDesk(checks));
    const inForce = elementsIn(page.shadowRoot ?? document).filter((element) =>
      element.matches("li button"),
    )[1];
    (inForce as HTMLButtonElement | undefined)?.click();
    await settled();
    expect(text()).toContain("It corrects this probe now.");
    expect(text()).not.toContain("it may still be made the correction");
    elementsIn(page.shadowRoot ?? document)
      .find((element) => element.localName === "kiosk-hold-button")
      ?.dispatchEvent(new CustomEvent("confirmed"));
    await settled();
    expect(desk.asked).toContainEqual(["withdrawCorrection", "furnace-1", null]);
  });

  it("of silver in air, or less sure than its limit, is not offered as a correction", async () => {
    const { page, press, text } = await shown();
    await press("Melting wire", "air", "Enter by hand", "Save");
    expect(text()).toContain("Silver in air melts lower by an unknown amount");
    expect(text()).not.toContain("Accept as this probe’s correction");
    await press("Back", "Melting wire", "Enter by hand");
    await press(...Array.from({ length: 10 }, () => "Limit ±: less"), "Save");
    expect(text()).toContain("Too near the limit of ± 0.1 K to tell");
    expect(text()).toContain("It is less sure than its own limit");
    expect(wordsIn(page.shadowRoot ?? document)).not.toContain("Accept as this probe’s correction");
  });
});
