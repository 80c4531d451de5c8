import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { comparison } from "#core/compare/comparison";
import type { Outlook } from "#core/compare/outlook";
import { curveEquivalentSeconds } from "#core/heat/heat-work";
import { setpointCurve } from "#core/plan/setpoint";
import type { Trace } from "#core/trace/trace";
import type { LookingAhead } from "#daemon/recording/live-estimates";
import { Recorder, type RecorderOptions } from "#daemon/recording/recorder";
import { openStore } from "#daemon/store/store";
import type { BakeCase } from "#shared/bake-case";
import type { BeginRequest } from "#shared/requests";
import type { OpenBake } from "#shared/status";
import {
  card,
  cardOfCases,
  furnaceOne,
  paste,
  plan,
  type TestStore,
  testStore,
} from "#tests/daemon/store/store-fixtures";

const STARTED = 1_700_000_000_000;
const LARGE_SECOND: BakeCase = { framework: "zirconia", caseSize: "large", bake: "second" };
const SMALL: BakeCase = { framework: "zirconia", caseSize: "small", bake: "first" };

/** Rest, a climb of 50 K/min to 760 °C, a minute there, and back at 1 K/s: °C at a second. */
function usualCelsius(second: number): number {
  if (second < 180) return 510;
  if (second < 480) return 510 + ((second - 180) * 50) / 60;
  if (second < 540) return 760;
  return Math.max(510, 760 - (second - 540));
}

function hottestOf(trace: Trace): number {
  return Math.max(...trace.map(({ celsius }) => celsius));
}

let test: TestStore;
let recorder: Recorder;
let seconds: number;
let open: OpenBake[];
let troubles: string[];

function recorderWith(change: Partial<RecorderOptions> = {}): Recorder {
  return new Recorder({
    store: test.store,
    clock: { monotonicSeconds: () => seconds, epochMilliseconds: () => STARTED + 1000 * seconds },
    compare: comparison,
    activationEnergyJoulesPerMole: 325_000,
    onOpenBake: (bake) => open.push(bake),
    onSamples: () => {},
    onFinished: () => {},
    onProblem: (problem) => expect.unreachable(problem),
    onMended: () => {},
    onTrouble: (message, error) => troubles.push(`${message}: ${String(error)}`),
    ...change,
  });
}

/** One reading a second of a usual bake on a furnace, from where the clock stands. */
async function play(toSecond: number, furnaceId = "one", celsiusAt = usualCelsius): Promise<void> {
  const from = seconds;
  for (let second = 0; second < toSecond; second += 1) {
    seconds = from + second;
    recorder.take({
      furnaceId,
      celsius: celsiusAt(second),
      receivedAtSeconds: seconds,
      receivedAtEpochMilliseconds: STARTED + 1000 * seconds,
    });
    if (second % 30 === 0) await recorder.flush();
  }
  seconds = from + toSecond;
  await recorder.flush();
}

/** Begins, fires and closes a bake; its id. */
async function fired(request: BeginRequest, celsiusAt = usualCelsius): Promise<number> {
  const { bake } = await recorder.begin("one", request);
  await play(1000, "one", celsiusAt);
  expect(recorder.openBakes()).toEqual([]);
  return bake.id;
}

/** The newest that pages were told, once it is as wanted; background comes some moments later. */
async function toldOf(isWanted: (bake: OpenBake) => boolean): Promise<OpenBake> {
  return vi.waitFor(async () => {
    seconds += 1;
    await recorder.flush();
    const told = open.at(-1);
    if (!told || !isWanted(told)) throw new Error(`not told yet, but ${JSON.stringify(told)}`);
    return told;
  });
}

beforeEach(async () => {
  test = await testStore();
  await test.store.plans.create(cardOfCases, false);
  seconds = 0;
  open = [];
  troubles = [];
  recorder = recorderWith();
});

afterEach(async () => {
  await recorder.close();
  await test.store.close();
  await test.remove();
  vi.restoreAllMocks();
  expect(troubles).toEqual([]);
});

describe("a bake begun for a case", () => {
  it("runs the card fitted to the case and this furnace, and says where the numbers came from", async () => {
    const { bake, plan: ran } = await recorder.begin("one", { planId: 1, case: LARGE_SECOND });
    expect(bake).toMatchObject({ case: LARGE_SECOND, planName: plan.name, planRevision: 1 });
    expect(ran?.plan.steps).toEqual([
      { kind: "climb", toCelsius: 754, kelvinPerMinute: 40 },
      { kind: "hold", seconds: 15 },
    ]);
    expect(ran?.sources.find(({ number }) => number === "top")).toMatchObject({
      base: 760,
      value: 754,
      parts: [
        { when: { kind: "case-size" }, basis: "common practice, no source" },
        { when: { kind: "furnace" } },
      ],
    });
  });

  it("on another furnace leaves this one's offset out, and without a case runs the base plan", async () => {
    await test.store.furnaces.save({ ...furnaceOne, id: "two" });
    const { plan: ran } = await recorder.begin("two", { planId: 1 });
    expect(ran?.plan).toEqual(plan);
    expect(ran?.case).toBeNull();
  });

  it("is judged against what it ran, not against the card's base plan", async () => {
    const id = await fired({ planId: 1, case: { ...LARGE_SECOND, bake: "first" } });
    const detail = await recorder.detail(id);
    expect(detail.comparison?.holds[0]).toMatchObject({ celsius: 754 });
    expect(detail.comparison?.climbs[0]?.planned.kelvinPerMinute).toBe(40);
  });

  it("counts heat work with its material's activation energy, else with the usual one", async () => {
    const material = await test.store.materials.create(paste, false);
    await test.store.plans.revise(1, { ...card, materialId: material.materialId });
    const withIt = await recorder.detail(await fired({ planId: 1 }));
    expect(withIt.plan?.material).toEqual(material);
    expect(withIt.comparison?.heatWork.activationEnergyJoulesPerMole).toBe(400_000);
    await test.store.plans.revise(1, card);
    const without = await recorder.detail(await fired({ planId: 1 }));
    expect(without.comparison?.heatWork.activationEnergyJoulesPerMole).toBe(325_000);
  });

  it("keeps what its verdict used, whatever becomes of card and material", async () => {
    const material = await test.store.materials.create(paste, false);
    await test.store.plans.revise(1, { ...cardOfCases, materialId: material.materialId });
    const layers = [{ name: "Build-up", materialId: material.materialId }];
    const id = await fired({ planId: 1, case: SMALL, layers });
    const before = await recorder.detail(id);
    await test.store.plans.revise(1, card);
    await test.store.plans.retire(1, true);
    await test.store.materials.revise(1, { ...paste, activationEnergyJoulesPerMole: 300_000 });
    expect(await recorder.detail(id)).toEqual(before);
    expect(before.layers).toEqual([{ name: "Build-up", material }]);
  });

  // biome-ignore format: a table reads in columns
  it.each<{ why: string; request: BeginRequest; line: string }>([
    { why: "the card was changed since it was seen", request: { planId: 1, revision: 1 },  line: "The card was changed meanwhile: Layer, first bake is at revision 2 now, not 1. Look at it again, then begin." },
    { why: "the card is retired",                    request: { planId: 2 },               line: "Layer, first bake is retired. Choose another plan, or take it back first." },
    { why: "its framework does not bear the top",    request: { planId: 1, case: { ...SMALL, framework: "lithium-disilicate" } }, line: "Layer, first bake cannot be fired so: the top of 764 °C is above the 755 °C that this card allows for lithium disilicate: lower it by 9 K, or mend the limit." },
    { why: "a layer's material is not known",        request: { planId: 1, layers: [{ name: "Colour", materialId: 9 }] }, line: "There is no material 9 for the layer Colour. Choose another." },
    { why: "there is no such card",                  request: { planId: 9 },               line: "There is no plan 9. Choose another." },
  ])("is refused in one line when $why, and nothing is open", async ({ request, line }) => {
    await test.store.plans.revise(1, cardOfCases);
    await test.store.plans.create(card, false);
    await test.store.plans.retire(2, true);
    await expect(recorder.begin("one", request)).rejects.toThrow(line);
    expect(recorder.openBakes()).toEqual([]);
    await recorder.begin("one", { planId: 1, revision: 2 });
  });

  it("that a card contradicts itself for is refused with the card's sentence", async () => {
    const contradiction = {
      ...card,
      adaptations: [
        { when: { kind: "bake", bake: "first" }, changes: [{ kind: "set", number: "top", to: 750 }] },
        {
          when: { kind: "case-size", caseSize: "small" },
          changes: [{ kind: "set", number: "top", to: 751 }],
        },
      ],
    } as const;
    await test.store.plans.create(contradiction as never, false);
    await expect(recorder.begin("one", { planId: 2, case: SMALL })).rejects.toThrow(
      "cannot be fired so: two adaptations set the top temperature to different values",
    );
  });
});

describe("a bake that is given its case", () => {
  it("while it runs is judged on against the plan for that case", async () => {
    const { bake } = await recorder.begin("one", { planId: 1 });
    await play(520);
    const detail = await recorder.assign(bake.id, { case: LARGE_SECOND });
    expect(detail).toMatchObject({ bake: { case: LARGE_SECOND }, plan: { case: LARGE_SECOND } });
    expect(detail.comparison?.holds[0]).toMatchObject({ celsius: 754, planned: { lengthSeconds: 15 } });
    expect((await toldOf(({ plan: told }) => told?.case !== null)).bake.case).toEqual(LARGE_SECOND);
  });

  it("afterwards is judged again", async () => {
    const id = await fired({ planId: 1 });
    const before = (await recorder.detail(id)).bake.heatWorkRatio ?? 0;
    const after = await recorder.assign(id, { planId: 1, case: LARGE_SECOND });
    expect(after.comparison?.holds[0]?.celsius).toBe(754);
    expect(after.bake.heatWorkRatio).toBeGreaterThan(1.5 * before);
    const back = await recorder.assign(id, { case: null });
    expect(back).toMatchObject({ bake: { case: null }, comparison: { holds: [{ celsius: 764 }] } });
    expect(back.bake.heatWorkRatio).toBeCloseTo(before, 9);
  });

  it("by a case alone stays with the revision that it ran", async () => {
    const id = await fired({ planId: 1 });
    await test.store.plans.revise(1, card);
    const detail = await recorder.assign(id, { case: LARGE_SECOND });
    expect(detail.plan).toMatchObject({
      revision: 1,
      plan: { steps: [{ toCelsius: 754 }, { seconds: 15 }] },
    });
  });

  it("by a case alone stays with the material that it had, and with its verdict's activation energy", async () => {
    await test.store.materials.create(paste, false);
    await test.store.plans.revise(1, { ...cardOfCases, materialId: 1 });
    const id = await fired({ planId: 1 });
    await test.store.materials.revise(1, { ...paste, activationEnergyJoulesPerMole: 250_000 });
    const alone = await recorder.assign(id, { case: LARGE_SECOND });
    expect(alone.plan?.material).toMatchObject({ revision: 1, material: paste });
    expect(alone.comparison?.heatWork.activationEnergyJoulesPerMole).toBe(
      paste.activationEnergyJoulesPerMole,
    );
    const again = await recorder.assign(id, { planId: 1 });
    expect(again.plan?.material?.revision).toBe(2);
    expect(again.comparison?.heatWork.activationEnergyJoulesPerMole).toBe(250_000);
  });

  it("and then another card is fitted to the same case", async () => {
    const id = await fired({ planId: 1, case: LARGE_SECOND });
    await test.store.plans.create(cardOfCases, false);
    expect((await recorder.assign(id, { planId: 2 })).plan).toMatchObject({ planId: 2, case: LARGE_SECOND });
    expect(await recorder.assign(id, { planId: null })).toMatchObject({ plan: null, bake: { case: null } });
  });

  it("without a plan is told to take both at once", async () => {
    await play(400);
    const [bake] = recorder.openBakes();
    await expect(recorder.assign(bake?.bake.id ?? 0, { case: SMALL })).rejects.toThrow(
      "Bake 1 has no plan to fit to a case. Give it both at once.",
    );
  });

  it("may have run a card that was retired since, above a limit that was set since", async () => {
    const id = await fired({ planId: 1 });
    await test.store.plans.retire(1, true);
    const lithium = { ...SMALL, framework: "lithium-disilicate" } as const;
    expect((await recorder.assign(id, { planId: 1, case: lithium })).bake.case).toEqual(lithium);
  });

  it("keeps its layers, which change no verdict", async () => {
    const material = await test.store.materials.create(paste, false);
    const id = await fired({ planId: 1 });
    const before = await recorder.detail(id);
    const layers = [{ name: "Build-up", materialId: material.materialId }];
    expect(await recorder.assign(id, { layers })).toEqual({
      ...before,
      layers: [{ name: "Build-up", material }],
    });
  });
});

describe("the layers of a bake that are told anew", () => {
  it("keep their material of then where they were there already", async () => {
    for (const material of [paste, { ...paste, name: "Colour" }])
      await test.store.materials.create(material, false);
    const buildUp = { name: "Build-up", materialId: 1 };
    const colour = { name: "Colour", materialId: 2 };
    const id = await fired({ planId: 1, layers: [buildUp] });
    for (const materialId of [1, 2])
      await test.store.materials.revise(materialId, { ...paste, notes: "new" });
    const revisionsAfter = async (layers: readonly (typeof buildUp)[]) =>
      (await recorder.assign(id, { layers: [...layers] })).layers.map(({ name, material }) => [
        name,
        material.materialId,
        material.revision,
      ]);
    expect(await revisionsAfter([colour, buildUp])).toEqual([
      ["Colour", 2, 2],
      ["Build-up", 1, 1],
    ]);
    expect(await revisionsAfter([{ ...buildUp, materialId: 2 }])).toEqual([["Build-up", 2, 2]]);
  });
});

describe("a restart", () => {
  it("brings case, effective plan, material and layers back", async () => {
    const material = await test.store.materials.create(paste, false);
    await test.store.plans.revise(1, { ...cardOfCases, materialId: material.materialId });
    const layers = [{ name: "Build-up", materialId: material.materialId }];
    const begun = await recorder.begin("one", { planId: 1, case: LARGE_SECOND, layers, jobNumber: "J-1" });
    await play(300);
    await recorder.close();
    const [before] = recorder.openBakes();
    await test.store.close();
    test = { ...test, store: await openStore(test.path) };
    recorder = recorderWith();
    await recorder.resume();
    const [after] = recorder.openBakes();
    expect(after?.plan).toEqual(begun.plan);
    expect(after?.layers).toEqual([{ name: "Build-up", material }]);
    expect(after?.bake).toMatchObject({ case: LARGE_SECOND, jobNumber: "J-1" });
    expect(after?.ware?.celsius).toBeCloseTo(before?.ware?.celsius ?? 0, 6);
    await toldOf(({ window }) => window !== null);
  });
});

describe("the ware of an open bake", () => {
  it("is estimated behind the chamber, with its doubt, and its heat work as a share of the plan", async () => {
    await recorder.begin("one", { planId: 1, case: SMALL });
    await play(460);
    const { ware } = await toldOf((bake) => bake.ware !== null);
    const chamber = usualCelsius(459);
    expect(chamber - (ware?.celsius ?? 0)).toBeGreaterThan(5);
    expect(chamber - (ware?.celsius ?? 0)).toBeLessThan(30);
    expect(ware?.slowCelsius).toBeLessThan(ware?.celsius ?? 0);
    expect(ware?.fastCelsius).toBeGreaterThan(ware?.celsius ?? 0);
    const told = open.at(-1);
    expect(ware?.heatWorkRatio).toBeGreaterThan(0);
    expect(ware?.heatWorkRatio).toBeLessThan(told?.bake.heatWorkRatio ?? 0);
  });

  it("takes nothing from a thermocouple that opens for a moment", async () => {
    await recorder.begin("one", { planId: 1, case: SMALL });
    await play(460, "one", (second) => (second > 300 && second < 304 ? 1300 : usualCelsius(second)));
    const spiked = (await toldOf((bake) => bake.ware !== null)).ware;
    const [bake] = recorder.openBakes();
    await recorder.closeBake(bake?.bake.id ?? 0);
    await recorder.begin("one", { planId: 1, case: SMALL });
    await play(460);
    const whole = (await toldOf(({ bake: { id }, ware }) => id === 2 && ware !== null)).ware;
    expect(Math.abs((spiked?.celsius ?? 0) - (whole?.celsius ?? 0))).toBeLessThan(0.5);
    expect(spiked?.heatWorkRatio).toBeCloseTo(whole?.heatWorkRatio ?? 0, 2);
  });

  it("is not known without a case", async () => {
    await recorder.begin("one", { planId: 1 });
    await play(460);
    expect((await toldOf(({ comparison: told }) => told !== null)).ware).toBeNull();
  });
});

describe("the window of an open bake", () => {
  beforeEach(async () => {
    await test.store.materials.create(paste, false);
    await test.store.plans.create(card, false);
  });

  const layers = [{ name: "Build-up", materialId: 1 }];
  const kinetics = {
    activationEnergyJoulesPerMole: paste.activationEnergyJoulesPerMole,
    referenceCelsius: 760,
  };
  const planned = curveEquivalentSeconds(setpointCurve(plan), kinetics);

  it("is that of its layers, as shares of the plan", async () => {
    await recorder.begin("one", { planId: 2, layers });
    await play(60);
    const { window } = await toldOf((bake) => bake.window !== null);
    expect(window).toMatchObject({ lowLayer: "Build-up", highLayer: "Build-up" });
    // No earlier bake of this furnace tells how it cools: the plan alone counts (computed independently).
    expect(window?.lowRatio).toBeCloseTo(60 / planned, 6);
    expect(window?.highRatio).toBeCloseTo(230 / planned, 6);
  });

  it("is narrower at its end by what the job's earlier bakes gave, and moves with job and layers", async () => {
    await fired({ planId: 2, layers, jobNumber: "J-1" });
    const { bake } = await recorder.begin("one", { planId: 2, jobNumber: "J-2" });
    await play(60);
    expect((await toldOf(({ outlook }) => outlook === null)).window).toBeNull();
    await recorder.assign(bake.id, { jobNumber: "J-1" });
    const second = (await toldOf(({ window }) => window !== null)).window;
    const first = 230 / planned;
    expect(second?.highRatio).toBeLessThan(first - 1);
    expect(second?.lowRatio).toBe(0);
    await recorder.assign(bake.id, { jobNumber: null, layers });
    const alone = (await toldOf(({ window }) => window?.lowLayer === "Build-up")).window;
    expect(alone?.highRatio).toBeGreaterThan((second?.highRatio ?? 0) + 1);
  });

  it("moves when an earlier bake of its job is told otherwise afterwards", async () => {
    const earlier = await fired({ planId: 2, layers });
    await recorder.begin("one", { planId: 2, layers, jobNumber: "J-1" });
    await play(60);
    const before = (await toldOf(({ window }) => window !== null)).window;
    await recorder.assign(earlier, { jobNumber: "J-1" });
    const after = (await toldOf(({ window }) => window?.highRatio !== before?.highRatio)).window;
    expect(after?.highRatio).toBeLessThan(before?.highRatio ?? 0);
  });

  it("moves when a bake of its job ends on another furnace", async () => {
    await test.store.furnaces.save({ ...furnaceOne, id: "two" });
    const { bake } = await recorder.begin("one", { planId: 2, layers, jobNumber: "J-1" });
    await play(560);
    await recorder.begin("two", { planId: 2, layers, jobNumber: "J-1" });
    const before = (await toldOf(({ bake: { id }, window }) => id === 2 && window !== null)).window;
    await recorder.closeBake(bake.id);
    const isMoved = ({ bake: { id }, window }: OpenBake) =>
      id === 2 && window?.highRatio !== before?.highRatio;
    expect((await toldOf(isMoved)).window?.highRatio).toBeLessThan((before?.highRatio ?? 0) - 0.5);
  });

  it("is not that of a job which the bake had when it was asked for, though that answer comes later", async () => {
    await fired({ planId: 2, layers, jobNumber: "J-1" });
    const { bakes } = test.store;
    const find = bakes.find.bind(bakes);
    let answerLate = () => {};
    const isLate = new Promise<void>((resolve) => {
      answerLate = resolve;
    });
    const ask = vi.spyOn(bakes, "find");
    ask.mockImplementationOnce(async (question, limit) => {
      await isLate;
      return find(question, limit);
    });
    const { bake } = await recorder.begin("one", { planId: 2, layers, jobNumber: "J-1" });
    await recorder.assign(bake.id, { jobNumber: null });
    await play(60);
    const alone = (await toldOf(({ window }) => window !== null)).window;
    answerLate();
    await vi.waitFor(() => expect(ask).toHaveBeenCalledTimes(3));
    await recorder.close();
    expect(recorder.openBakes()[0]?.window).toEqual(alone);
    expect(alone?.lowRatio).toBeGreaterThan(0);
  });

  it("is none where no layer states one", async () => {
    await test.store.materials.create({ ...paste, window: null }, false);
    await recorder.begin("one", { planId: 2, layers: [{ name: "Colour", materialId: 2 }] });
    await play(60);
    expect((await toldOf(() => true)).window).toBeNull();
  });
});

describe("the outlook of an open bake", () => {
  const outlook: Outlook = {
    peak: null,
    asPlannedRatio: 1,
    asGoing: { ratio: 1, lowRatio: 0.9, highRatio: 1.1 },
    hold: null,
    learnedFromBakes: 0,
  };

  it("is given this furnace's earlier judged bakes, the newest eight, with their samples", async () => {
    await test.store.furnaces.save({ ...furnaceOne, id: "two" });
    const remembered: number[] = [];
    const ahead: LookingAhead<number> = {
      remember: (_, trace, { heatWork }) => {
        remembered.push(trace.length);
        return heatWork.ratio;
      },
      outlook: (_, __, ___, earlier) => ({ ...outlook, learnedFromBakes: earlier.length }),
    };
    for (let index = 0; index < 9; index += 1) await fired({ planId: 1 });
    recorder = recorderWith({ ahead });
    await recorder.begin("one", { planId: 1, case: SMALL });
    await play(300);
    expect((await toldOf((bake) => bake.outlook?.learnedFromBakes === 8)).outlook).toEqual({
      ...outlook,
      learnedFromBakes: 8,
    });
    expect(remembered).toHaveLength(8);
    expect(Math.min(...remembered)).toBeGreaterThan(600);
  });

  it("is given readings as they are judged: without lone spikes, in this bake and in earlier ones", async () => {
    const hottest: Record<"remembered" | "seen", number[]> = { remembered: [], seen: [] };
    const ahead: LookingAhead<number> = {
      remember: (_, trace) => hottest.remembered.push(hottestOf(trace)),
      outlook: (_, trace) => {
        hottest.seen.push(hottestOf(trace));
        return outlook;
      },
    };
    const spiked = (at: number) => (second: number) => (second === at ? 1370 : usualCelsius(second));
    await fired({ planId: 1 }, spiked(510));
    recorder = recorderWith({ ahead });
    await recorder.begin("one", { planId: 1 });
    // The flush of every 30 s comes just when the spike has come and nothing after it.
    await play(330, "one", spiked(300));
    await toldOf((bake) => bake.outlook !== null);
    expect(hottest.remembered).toHaveLength(1);
    expect(Math.max(...hottest.remembered)).toBeLessThan(770);
    expect(hottest.seen.length).toBeGreaterThan(1);
    expect(Math.max(...hottest.seen)).toBeLessThan(usualCelsius(330));
  });

  it("flashes no heat work of a lone spike, whose next reading has not come", async () => {
    await recorder.begin("one", { planId: 1 });
    await play(331, "one", (second) => (second === 330 ? 1370 : usualCelsius(second)));
    const ratios = open.map(({ bake }) => bake.heatWorkRatio ?? 0);
    expect(ratios.length).toBeGreaterThan(3);
    expect(Math.max(...ratios)).toBeLessThan(0.05);
  });

  it("is none before there is a comparison, and after another plan was given it is new", async () => {
    const ahead: LookingAhead<unknown> = {
      remember: () => null,
      outlook: ({ steps }) => ({ ...outlook, asPlannedRatio: steps.length }),
    };
    recorder = recorderWith({ ahead });
    const { bake } = await recorder.begin("one", { planId: 1 });
    expect(recorder.openBakes()[0]?.outlook).toBeNull();
    await play(300);
    expect((await toldOf((told) => told.outlook !== null)).outlook?.asPlannedRatio).toBe(2);
    await test.store.plans.create({ ...card, plan: { ...plan, steps: plan.steps.slice(0, 1) } }, false);
    await recorder.assign(bake.id, { planId: 2 });
    expect((await toldOf((told) => told.plan?.planId === 2)).outlook?.asPlannedRatio).toBe(1);
  });

  it("that fails takes neither the bake nor its comparison along, and is only logged", async () => {
    const ahead: LookingAhead<unknown> = {
      remember: () => null,
      outlook: () => {
        throw new RangeError("no such leg");
      },
    };
    recorder = recorderWith({ ahead });
    await fired({ planId: 1, case: SMALL });
    expect((await recorder.detail(1)).comparison).not.toBeNull();
    expect(new Set(troubles)).toEqual(new Set(["Bake 1 cannot be estimated: RangeError: no such leg"]));
    troubles = [];
  });

  it("is left out where the earlier bakes cannot be read; that is only logged", async () => {
    vi.spyOn(test.store.bakes, "find").mockRejectedValue(new Error("disk"));
    await recorder.begin("one", { planId: 1, case: SMALL });
    await play(300);
    await vi.waitFor(() => expect(troubles).toHaveLength(1));
    expect(troubles).toEqual(["What bake 1 is estimated with could not be read: Error: disk"]);
    troubles = [];
    expect(recorder.problem).toBeNull();
    expect(open.at(-1)?.ware).not.toBeNull();
  });
});
