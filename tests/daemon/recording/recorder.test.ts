import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { comparison } from "#core/compare/comparison";
import type { Reading } from "#daemon/link/reading";
import { Recorder, type RecorderOptions } from "#daemon/recording/recorder";
import { openStore, type Store } from "#daemon/store/store";
import type { BakeSummary } from "#shared/bake";
import { bakeFilterSchema } from "#shared/requests";
import type { Sample, SampleBatch } from "#shared/sample";
import type { OpenBake } from "#shared/status";
import {
  card,
  comparisonWithRatio,
  furnaceOne,
  plan,
  type TestStore,
  testStore,
} from "#tests/daemon/store/store-fixtures";

const STARTED = 1_700_000_000_000;

/** Rest, a climb of 50 K/min to 760 °C, a minute there, and back: °C at a second. */
function usualCelsius(second: number): number {
  if (second < 180) return 510;
  if (second < 480) return 510 + ((second - 180) * 50) / 60;
  if (second < 540) return 760;
  return Math.max(510, 760 - (second - 540));
}

let test: TestStore;
let recorder: Recorder;
let seconds: number;
let wallSeconds: number;
let heard: { open: OpenBake[]; batches: SampleBatch[]; finished: BakeSummary[]; problems: string[] };

function recorderWith(change: Partial<RecorderOptions> = {}): Recorder {
  return new Recorder({
    store: test.store,
    clock: {
      monotonicSeconds: () => seconds,
      epochMilliseconds: () => STARTED + 1000 * wallSeconds,
    },
    compare: comparison,
    activationEnergyJoulesPerMole: 325_000,
    onOpenBake: (open) => heard.open.push(open),
    onSamples: (batch) => heard.batches.push(batch),
    onFinished: (bake) => heard.finished.push(bake),
    onProblem: (problem) => heard.problems.push(problem),
    onMended: () => heard.problems.push("mended"),
    ...change,
  });
}

/** Goes on to a moment; both clocks follow. */
function wind(toSeconds: number): void {
  wallSeconds += toSeconds - seconds;
  seconds = toSeconds;
}

function take(celsius: number | undefined, change: Partial<Reading> = {}): void {
  recorder.take({
    furnaceId: "one",
    celsius,
    receivedAtSeconds: seconds,
    receivedAtEpochMilliseconds: STARTED + 1000 * wallSeconds,
    ...change,
  });
}

/** Takes one reading a second of a usual bake, and flushes twice a minute. */
async function play(fromSeconds: number, toSeconds: number, change: Partial<Reading> = {}): Promise<void> {
  for (let second = fromSeconds; second < toSeconds; second += 1) {
    wind(second);
    take(usualCelsius(second), change);
    if (second % 30 === 0) await recorder.flush();
  }
  await recorder.flush();
}

const allBakes = async (store: Store = test.store) =>
  (await store.bakes.list(bakeFilterSchema.parse({}))).bakes;
const onlyBake = async () => {
  const bakes = await allBakes();
  expect(bakes).toHaveLength(1);
  return bakes[0] as BakeSummary;
};

beforeEach(async () => {
  test = await testStore();
  await test.store.plans.create(card, false);
  seconds = 0;
  wallSeconds = 0;
  heard = { open: [], batches: [], finished: [], problems: [] };
  recorder = recorderWith();
});

afterEach(async () => {
  await recorder.close();
  await test.store.close();
  await test.remove();
  vi.restoreAllMocks();
});

describe("a bake that nobody began", () => {
  it("is recorded from before its climb until it is back at rest", async () => {
    await play(0, 1000);
    const bake = await onlyBake();
    expect(bake).toMatchObject({ state: "finished", planId: null, peakCelsius: 760, gapSeconds: 0 });
    expect(heard.finished).toEqual([bake]);
    const samples = await test.store.bakes.samples(bake.id);
    const startSecond = (bake.startedAtEpochMilliseconds - STARTED) / 1000;
    expect(startSecond).toBeGreaterThan(30);
    expect(startSecond).toBeLessThan(80);
    expect(samples).toEqual(
      samples.map((_, index) => ({
        atSeconds: index,
        celsius: Math.round(usualCelsius(startSecond + index) * 1000) / 1000,
      })),
    );
    expect(bake.lengthSeconds).toBeGreaterThan(700);
  });

  it("is told to pages without a hole, in the order of its samples", async () => {
    await play(0, 1000);
    const told: Sample[] = [];
    for (const batch of heard.batches) {
      expect(batch.fromSequence).toBe(told.length);
      told.push(...batch.samples);
    }
    expect(told).toEqual(await test.store.bakes.samples((await onlyBake()).id));
  });

  it("can be given its plan while it runs", async () => {
    await play(0, 400);
    const id = (await onlyBake()).id;
    const detail = await recorder.assign(id, { planId: 1, jobNumber: "J-7" });
    expect(detail.bake).toMatchObject({ planName: plan.name, jobNumber: "J-7", state: "running" });
    expect(detail.comparison?.stage).toEqual({ kind: "climb", index: 1 });
    expect(heard.open.at(-1)?.comparison).toEqual(detail.comparison);
    await play(400, 1000);
    expect((await onlyBake()).heatWorkRatio).toBeCloseTo(1, 1);
  });

  it("can be given its plan afterwards, and is judged from what is kept", async () => {
    await play(0, 1000);
    const { id, heatWorkRatio } = await onlyBake();
    expect(heatWorkRatio).toBeNull();
    const detail = await recorder.assign(id, { planId: 1 });
    expect(detail.comparison).toEqual(
      comparison(plan, await test.store.bakes.samples(id), {
        activationEnergyJoulesPerMole: 325_000,
        isFinished: true,
        startsWithDrying: false,
      }),
    );
    expect(detail.bake.heatWorkRatio).toBeCloseTo(1, 1);
    const without = await recorder.assign(id, { planId: null });
    expect([without.comparison, without.bake.heatWorkRatio, without.plan]).toEqual([null, null, null]);
  });
});

describe("a bake begun by hand", () => {
  it("waits for its climb, holds everything from the beginning, and is judged at its end", async () => {
    await play(0, 20);
    const begun = await recorder.begin("one", { planId: 1, jobNumber: "A 12/3" });
    expect(begun.bake).toMatchObject({ state: "waiting", jobNumber: "A 12/3", sampleCount: 0 });
    await play(20, 300);
    expect(recorder.openBakes()).toMatchObject([{ bake: { state: "running", sampleCount: 280 } }]);
    await play(300, 1000);
    const { id } = await onlyBake();
    const detail = await recorder.detail(id);
    expect(detail.bake.state).toBe("finished");
    expect(detail.comparison?.drying.actual?.lengthSeconds).toBeCloseTo(160, -1);
    expect(detail.plan?.revision).toBe(1);
  });

  it("is refused in words while one is running", async () => {
    await play(0, 400);
    await expect(recorder.begin("one", { planId: 1 })).rejects.toThrow(
      "A bake is running on Furnace one already (bake 1). Give that bake this plan, or close it first.",
    );
  });

  it("takes the place of one that is back at rest", async () => {
    await play(0, 785);
    await recorder.begin("one", { planId: 1 });
    expect((await allBakes()).map(({ state }) => state)).toEqual(["waiting", "finished"]);
  });

  it("needs a furnace and a plan that are known", async () => {
    await expect(recorder.begin("nine", { planId: 1 })).rejects.toThrow("There is no furnace nine.");
    await expect(recorder.begin("one", { planId: 9 })).rejects.toThrow("There is no plan 9.");
  });

  it("can be closed by hand, once", async () => {
    await recorder.begin("one", { planId: 1 });
    await play(0, 500);
    const closed = await recorder.closeBake(1);
    expect(closed.bake).toMatchObject({ state: "finished", sampleCount: 500 });
    expect(closed.comparison?.findings.map(({ code }) => code)).toContain("not-finished");
    await expect(recorder.closeBake(1)).rejects.toThrow("Bake 1 is closed already.");
    await expect(recorder.closeBake(9)).rejects.toThrow("There is no bake 9.");
    await play(500, 1000);
    expect(await allBakes()).toHaveLength(1);
  });

  it("can be graded, and shows it", async () => {
    await recorder.begin("one", { planId: 1 });
    expect((await recorder.grade(1, { grade: "milky" })).bake.grade).toBe("milky");
  });
});

describe("readings", () => {
  it("that are no numbers, or say no new moment, are counted and left out", async () => {
    await recorder.begin("one", { planId: 1 });
    wind(1);
    take(510, { instrumentSeconds: 1 });
    take(511, { instrumentSeconds: 1 });
    take(Number.NaN, { instrumentSeconds: 2 });
    take(9999, { instrumentSeconds: 3 });
    take(510, { instrumentSeconds: 4, hectopascals: Number.POSITIVE_INFINITY });
    take(512, { instrumentSeconds: 5 });
    await recorder.flush();
    expect(await test.store.bakes.samples(1)).toEqual([
      { atSeconds: 0, celsius: 510 },
      { atSeconds: 4, celsius: 512 },
    ]);
    expect(recorder.droppedReadings("one")).toBe(4);
  });

  it("of other channels go with the next temperature, once", async () => {
    await recorder.begin("one", { planId: 1 });
    take(undefined, { hectopascals: 60.25 });
    take(510);
    wind(1);
    take(511, { heaterDutyFraction: 0.5 });
    await recorder.flush();
    expect(await test.store.bakes.samples(1)).toEqual([
      { atSeconds: 0, celsius: 510, hectopascals: 60.25 },
      { atSeconds: 1, celsius: 511, heaterDutyFraction: 0.5 },
    ]);
  });

  it("keep their time when the wall clock steps", async () => {
    await recorder.begin("one", { planId: 1 });
    await play(0, 200);
    wallSeconds -= 3 * 3600;
    await play(200, 1000);
    const samples = await test.store.bakes.samples(1);
    expect(samples.map(({ atSeconds }) => atSeconds)).toEqual(samples.map((_, index) => index));
  });

  it("of two furnaces make two bakes", async () => {
    await test.store.furnaces.save({ ...furnaceOne, id: "two" });
    for (let second = 0; second < 1000; second += 1) {
      wind(second);
      take(usualCelsius(second));
      take(usualCelsius(second), { furnaceId: "two" });
    }
    await recorder.flush();
    await recorder.flush();
    expect((await allBakes()).map(({ furnaceId }) => furnaceId).sort()).toEqual(["one", "two"]);
  });

  it("after a sequence number come from memory while open, from the store afterwards", async () => {
    await recorder.begin("one", { planId: 1 });
    await play(0, 500);
    const open = await recorder.samplesAfter(1, 97, 100);
    expect([open.fromSequence, open.samples.length, open.isLast]).toEqual([98, 100, false]);
    await recorder.closeBake(1);
    expect(await recorder.samplesAfter(1, 97, 100)).toEqual(open);
    expect(await recorder.samplesAfter(1, 399, 100)).toMatchObject({ isLast: true, fromSequence: 400 });
    expect((await recorder.samplesAfter(1, 499, 100)).samples).toEqual([]);
  });
});

describe("a store that fails", () => {
  it("is said once; what is measured waits, and is all there when it works again", async () => {
    await recorder.begin("one", { planId: 1 });
    await play(0, 100);
    const failing = vi
      .spyOn(test.store.bakes, "appendSamples")
      .mockRejectedValue(new Error("bakes.db: the disk is full."));
    await play(100, 400);
    expect(heard.problems).toEqual(["bakes.db: the disk is full."]);
    expect((await test.store.bakes.samples(1)).length).toBe(100);
    expect(heard.batches.at(-1)?.samples.at(-1)?.atSeconds).toBe(399);
    failing.mockRestore();
    await play(400, 1000);
    expect(heard.problems).toEqual(["bakes.db: the disk is full.", "mended"]);
    const samples = await test.store.bakes.samples(1);
    expect(samples.map(({ atSeconds }) => atSeconds)).toEqual(samples.map((_, index) => index));
    expect((await onlyBake()).state).toBe("finished");
  });

  it("that is slow loses nothing of what comes while it writes, the end of the bake included", async () => {
    await recorder.begin("one", { planId: 1 });
    take(510);
    let goOn = () => {};
    const append = test.store.bakes.appendSamples.bind(test.store.bakes);
    const appending = vi.spyOn(test.store.bakes, "appendSamples").mockImplementationOnce(async (...batch) => {
      await new Promise<void>((resolve) => {
        goOn = resolve;
      });
      await append(...batch);
    });
    const flushed = recorder.flush();
    await vi.waitUntil(() => appending.mock.calls.length > 0);
    for (let second = 1; second < 1000; second += 1) {
      wind(second);
      take(usualCelsius(second));
    }
    goOn();
    await flushed;
    await recorder.flush();
    const bake = await onlyBake();
    const samples = await test.store.bakes.samples(1);
    expect(bake).toMatchObject({ state: "finished", sampleCount: samples.length });
    expect(samples.map(({ atSeconds }) => atSeconds)).toEqual(samples.map((_, index) => index));
    expect(samples.length).toBeGreaterThan(800);
  });

  it("does not let a finished bake go", async () => {
    const failing = vi.spyOn(test.store.bakes, "close").mockRejectedValue(new Error("locked"));
    await play(0, 1000);
    expect(heard.finished).toEqual([]);
    failing.mockRestore();
    await recorder.flush();
    expect(heard.finished).toMatchObject([{ state: "finished", peakCelsius: 760 }]);
  });

  it("makes no difference to a bake whose comparison fails", async () => {
    recorder = recorderWith({
      compare: () => {
        throw new RangeError("no two bakes are alike");
      },
    });
    await recorder.begin("one", { planId: 1 });
    await play(0, 1000);
    expect(await onlyBake()).toMatchObject({ state: "finished", peakCelsius: 760, heatWorkRatio: null });
    expect(heard.problems).toHaveLength(1);
    expect(heard.problems[0]).toContain("no two bakes are alike");
  });
});

describe("a comparison", () => {
  it("is made three times a second at most, however fast readings come", async () => {
    let compared = 0;
    recorder = recorderWith({
      compare: () => {
        compared += 1;
        return comparisonWithRatio(1);
      },
    });
    await recorder.begin("one", { planId: 1 });
    for (let line = 0; line < 600; line += 1) {
      wind(line / 600);
      take(510, { instrumentSeconds: line });
      if (line % 20 === 0) await recorder.flush();
    }
    expect(compared).toBeGreaterThan(0);
    expect(compared).toBeLessThanOrEqual(3);
  });
});

describe("a bake that was interrupted", () => {
  /** The program ends without a word, and starts again on the same file. */
  async function restart(downSeconds: number): Promise<void> {
    await recorder.close();
    await test.store.close();
    test = { ...test, store: await openStore(test.path) };
    wallSeconds += downSeconds;
    // Another process has another monotonic clock.
    seconds = 7;
    recorder = recorderWith();
    await recorder.resume();
  }

  /** Goes on with a usual bake: `second` of its own, on the new monotonic clock. */
  async function playOn(fromSecond: number, toSecond: number, change: (second: number) => Partial<Reading>) {
    for (let second = fromSecond; second < toSecond; second += 1) {
      take(usualCelsius(second), change(second));
      wind(seconds + 1);
    }
    await recorder.flush();
  }

  it("goes on as one, the gap told by the instrument's clock", async () => {
    await recorder.begin("one", { planId: 1, jobNumber: "J-1" });
    await playOn(0, 400, (second) => ({ instrumentSeconds: 5000 + second }));
    await restart(30);
    expect(recorder.openBakes()).toMatchObject([{ bake: { jobNumber: "J-1", sampleCount: 400 } }]);
    await playOn(440, 1000, (second) => ({ instrumentSeconds: 5000 + second }));
    await recorder.flush();
    const bake = await onlyBake();
    const samples = await test.store.bakes.samples(bake.id);
    expect(samples.slice(398, 402).map(({ atSeconds }) => atSeconds)).toEqual([398, 399, 440, 441]);
    expect(bake).toMatchObject({ state: "finished", gapSeconds: 41 });
    expect(await test.store.bakes.interruptions(bake.id)).toMatchObject([
      { sequence: 400, gapSeconds: 41, toldBy: "instrument" },
    ]);
    expect((await recorder.detail(bake.id)).comparison?.gaps).toEqual([{ fromSeconds: 399, toSeconds: 440 }]);
  });

  it("goes on as one, the gap told by the wall clock where the instrument has none", async () => {
    await recorder.begin("one", { planId: 1 });
    await playOn(0, 300, () => ({}));
    await restart(60);
    await playOn(361, 1000, () => ({}));
    const bake = await onlyBake();
    const samples = await test.store.bakes.samples(bake.id);
    expect(samples.slice(299, 302).map(({ atSeconds }) => atSeconds)).toEqual([299, 360, 361]);
    expect(await test.store.bakes.interruptions(bake.id)).toMatchObject([
      { sequence: 300, toldBy: "wall-clock" },
    ]);
  });

  it("says so when the wall clock cannot be right", async () => {
    await recorder.begin("one", { planId: 1 });
    await playOn(0, 300, () => ({}));
    await restart(-40_000);
    await playOn(310, 400, () => ({}));
    const [interruption] = await test.store.bakes.interruptions(1);
    expect(interruption).toMatchObject({ toldBy: "bounded", gapSeconds: 5 });
  });

  it("goes on also when the instrument was switched off and on and counts from nought", async () => {
    await recorder.begin("one", { planId: 1 });
    await playOn(0, 300, (second) => ({ instrumentSeconds: 5000 + second }));
    await restart(20);
    await playOn(320, 1000, (second) => ({ instrumentSeconds: second - 320 }));
    const samples = await test.store.bakes.samples((await onlyBake()).id);
    expect(samples.slice(299, 303).map(({ atSeconds }) => atSeconds)).toEqual([299, 320, 321, 322]);
  });

  it("that nobody began goes on as one", async () => {
    await playOn(0, 520, (second) => ({ instrumentSeconds: second }));
    await restart(10);
    await playOn(530, 1000, (second) => ({ instrumentSeconds: second }));
    expect(await onlyBake()).toMatchObject({ state: "finished", peakCelsius: 760 });
  });

  it("for a night is closed as it was", async () => {
    await playOn(0, 520, () => ({}));
    await restart(10 * 3600);
    expect(await onlyBake()).toMatchObject({ state: "finished", peakCelsius: 760 });
    expect(recorder.openBakes()).toEqual([]);
    await playOn(0, 1000, () => ({}));
    expect(await allBakes()).toHaveLength(2);
  });
});
