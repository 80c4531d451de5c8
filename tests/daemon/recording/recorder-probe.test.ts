import { fc, it as property } from "@fast-check/vitest";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { comparison } from "#core/compare/comparison";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { gaps } from "#core/trace/trace";
import type { Reading } from "#daemon/link/reading";
import { Recorder } from "#daemon/recording/recorder";
import { openStore, type Store } from "#daemon/store/store";
import type { BakeDetail } from "#shared/bake";
import { cardSchema, planSchema } from "#shared/plan";
import { type Probe, thermocoupleTypeSchema, UNKNOWN_PROBE } from "#shared/probe";
import { bakeFilterSchema } from "#shared/requests";
import { sensorFaultSchema } from "#shared/sensor-fault";
import { type HeardReading, type SimulationOptions, simulateBake } from "#simulators/simulate-bake";
import { probeS, type TestStore, testStore } from "#tests/daemon/store/store-fixtures";

const STARTED = 1_700_000_000_000;
const PLAN = planSchema.parse(DEMONSTRATION_PLANS[0]);
const probeK: Probe = { ...probeS, type: "K" };

/** + 4 K everywhere. */
const corrected = (probe: Probe): Probe => ({
  ...probe,
  correction: {
    checkId: 1,
    acceptedAtEpochMilliseconds: STARTED,
    acceptedBy: "Ada",
    points: [{ readingCelsius: 900, correctionKelvin: 4 }],
    expandedUncertaintyKelvin: 1,
    coverageFactor: 2,
  },
});

let test: TestStore;
let store: Store;
let recorder: Recorder;
let probe: Probe;

function recorderOn(on: Store): Recorder {
  return new Recorder({
    store: on,
    // Time comes with the readings alone.
    clock: { monotonicSeconds: () => 0, epochMilliseconds: () => STARTED },
    compare: comparison,
    activationEnergyJoulesPerMole: 325_000,
    probeOf: () => probe,
    onOpenBake: () => {},
    onSamples: () => {},
    onFinished: () => {},
    onProblem: (problem) => expect.unreachable(problem),
    onMended: () => {},
  });
}

beforeEach(async () => {
  test = await testStore();
  store = test.store;
  await store.plans.create(cardSchema.parse({ plan: PLAN }), false);
  probe = UNKNOWN_PROBE;
  recorder = recorderOn(store);
});

afterEach(async () => {
  await recorder.close();
  await store.close();
  await test.remove();
});

/** The program ends, and starts again on what is in the file. */
async function restart(): Promise<void> {
  await recorder.close();
  await store.close();
  store = await openStore(test.path);
  recorder = recorderOn(store);
  await recorder.resume();
}

function take(atSeconds: number, channels: Partial<Reading>): number | undefined {
  return recorder.take({
    furnaceId: "one",
    instrumentSeconds: atSeconds,
    receivedAtSeconds: atSeconds,
    receivedAtEpochMilliseconds: STARTED + 1000 * atSeconds,
    ...channels,
  }).celsius;
}

const simulated = (options: Partial<SimulationOptions> = {}) =>
  simulateBake({ plan: PLAN, seed: 3, restBeforeSeconds: 200, restAfterSeconds: 400, ...options });

/** Says what an adapter that measures EMF says: no degrees. */
function asMillivolts({ atSeconds, celsius: _, ...channels }: HeardReading): [number, Partial<Reading>] {
  return [atSeconds, channels];
}

function asDegrees({
  atSeconds,
  celsius,
  millivolts: _,
  ...channels
}: HeardReading): [number, Partial<Reading>] {
  return [atSeconds, { ...channels, ...(celsius !== null && { celsius }) }];
}

async function play(
  heard: readonly HeardReading[],
  as: (reading: HeardReading) => [number, Partial<Reading>],
): Promise<void> {
  for (const [index, reading] of heard.entries()) {
    take(...as(reading));
    if (index % 500 === 0) await recorder.flush();
  }
  await recorder.flush();
}

async function onlyBake(): Promise<BakeDetail> {
  const { bakes } = await store.bakes.list(bakeFilterSchema.parse({}));
  expect(bakes).toHaveLength(1);
  return recorder.detail(bakes[0]?.id ?? 0);
}

const health = () => recorder.probeHealth("one");

describe("an adapter that gives millivolts", () => {
  it("is recorded in degrees of the type that was set, with its own millivolts beside them", async () => {
    probe = probeS;
    const { heard, samples } = simulated({ type: "S", saysMillivolts: true, noiseKelvin: 0.2 });
    await play(heard, asMillivolts);
    const { bake, probe: kept } = await onlyBake();
    expect([bake.state, kept]).toEqual(["finished", probeS]);
    const recorded = await store.bakes.samples(bake.id);
    const said = new Map(samples.map((sample) => [sample.atSeconds, sample]));
    const startSeconds = (bake.startedAtEpochMilliseconds - STARTED) / 1000;
    expect(recorded.length).toBeGreaterThan(600);
    for (const { atSeconds, celsius, millivolts, coldJunctionCelsius } of recorded) {
      const other = said.get(Math.round((atSeconds + startSeconds) * 1000) / 1000);
      expect({ millivolts, coldJunctionCelsius }).toEqual({
        millivolts: other?.millivolts,
        coldJunctionCelsius: other?.coldJunctionCelsius,
      });
      // The adapter's own degrees are rounded to tenths; its cold junction is said in tenths as well.
      expect(Math.abs(celsius - (other?.celsius ?? 0))).toBeLessThan(0.2);
    }
  });

  it("says in one line that the type is missing, and is measured as soon as somebody sets it", async () => {
    const said = { millivolts: 7.345, coldJunctionCelsius: 0 };
    expect(take(0, said)).toBeUndefined();
    expect(health()).toMatchObject({
      faults: [],
      message: expect.stringMatching(/set the thermocouple's type/),
    });
    probe = probeS;
    expect(take(1, said)).toBeCloseTo(800, 1);
    expect(health().message).toBeNull();
  });

  it("may have its type set after Begin: the waiting bake takes it", async () => {
    const { bake } = await recorder.begin("one", { planId: 1 });
    take(0, { millivolts: 7.345, coldJunctionCelsius: 0 });
    probe = probeS;
    take(1, { millivolts: 7.345, coldJunctionCelsius: 0 });
    await recorder.flush();
    expect((await store.bakes.detail(bake.id))?.probe).toEqual(probeS);
    expect(await store.bakes.samples(bake.id)).toMatchObject([{ atSeconds: 1, millivolts: 7.345 }]);
  });

  it("may say its cold junction on lines of its own", () => {
    probe = probeS;
    expect(take(0, { coldJunctionCelsius: 0 })).toBeUndefined();
    expect(take(1, { millivolts: 7.345 })).toBeCloseTo(800, 1);
    expect(take(2, { millivolts: 7.345 })).toBeCloseTo(800, 1);
  });
});

describe("the probe of a bake", () => {
  it("is the one that the furnace had at its beginning; a change acts from the next bake on", async () => {
    probe = probeK;
    await recorder.begin("one", { planId: 1 });
    expect(take(0, { celsius: 500 })).toBe(500);
    probe = corrected(probeK);
    expect(take(1, { celsius: 500 })).toBe(500);
    await recorder.closeBake(1);
    expect(take(2, { celsius: 500 })).toBe(504);
    expect(await store.bakes.samples(1)).toEqual([
      { atSeconds: 0, celsius: 500 },
      { atSeconds: 1, celsius: 500 },
    ]);
    expect((await store.bakes.detail(1))?.probe).toEqual(probeK);
    await recorder.begin("one", { planId: 1 });
    take(3, { celsius: 500 });
    await recorder.flush();
    expect(await store.bakes.samples(2)).toEqual([{ atSeconds: 0, celsius: 504 }]);
    expect((await recorder.detail(2)).probe).toEqual(corrected(probeK));
  });

  it("makes no step in a bake that opened by its climb, when it was changed shortly before", async () => {
    probe = probeK;
    const { heard, events } = simulated({ noiseKelvin: 0.1 });
    const acceptedSeconds = (events.climbStartSeconds[0] ?? 0) - 20;
    const accepted = heard.findIndex(({ atSeconds }) => atSeconds >= acceptedSeconds);
    await play(heard.slice(0, accepted), asDegrees);
    probe = corrected(probeK);
    await play(heard.slice(accepted), asDegrees);
    const { bake, probe: kept } = await onlyBake();
    expect(kept).toEqual(corrected(probeK));
    const recorded = await store.bakes.samples(bake.id);
    const startSeconds = (bake.startedAtEpochMilliseconds - STARTED) / 1000;
    expect(startSeconds).toBeLessThan(acceptedSeconds);
    const said = new Map(heard.map(({ atSeconds, celsius }) => [atSeconds, celsius]));
    for (const { atSeconds, celsius } of recorded)
      expect(celsius).toBeCloseTo((said.get(atSeconds + startSeconds) ?? 0) + 4, 3);
  });

  it("goes on after a restart, whatever the furnace has been given meanwhile", async () => {
    probe = corrected(probeK);
    await recorder.begin("one", { planId: 1 });
    take(0, { celsius: 500 });
    probe = UNKNOWN_PROBE;
    await restart();
    expect(take(1, { celsius: 500 })).toBe(504);
    await recorder.flush();
    expect((await recorder.detail(1)).probe).toEqual(corrected(probeK));
    expect((await store.bakes.samples(1)).map(({ celsius }) => celsius)).toEqual([504, 504]);
  });
});

describe("how sure a bake is", () => {
  it("is told by the probe that it ran with, live and afterwards", async () => {
    probe = probeK;
    await recorder.begin("one", { planId: 1 });
    await play(simulated().heard, asDegrees);
    const live = await onlyBake();
    expect(live.comparison?.uncertainty).toMatchObject({ basis: "class", coverageFactor: 2 });
    probe = UNKNOWN_PROBE;
    const judged = await recorder.assign(live.bake.id, { planId: 1 });
    expect(judged.comparison).toEqual(live.comparison);
  });
});

describe("what is wrong with a probe", () => {
  const fault = { kind: "open-circuit", fromSeconds: 900, toSeconds: 960 } as const;

  it("is counted in the bake, on the bake's own time, and is nowhere a sample", async () => {
    probe = probeK;
    const { heard } = simulated({ fault });
    await play(heard, asDegrees);
    const { bake, sensorFaults } = await onlyBake();
    const startSeconds = (bake.startedAtEpochMilliseconds - STARTED) / 1000;
    const missing = heard.filter(({ celsius }) => celsius === null);
    expect(missing.length).toBeGreaterThan(50);
    expect(sensorFaults).toMatchObject([
      { kind: "open-circuit", episodes: 1, readings: missing.length, isActive: false, needsPerson: true },
    ]);
    expect(sensorFaults[0]?.firstAtSeconds).toBeCloseTo((missing[0]?.atSeconds ?? 0) - startSeconds, 3);
    const samples = await store.bakes.samples(bake.id);
    expect(gaps(samples)).toHaveLength(1);
    expect(samples.map(({ atSeconds }) => Math.round(atSeconds + startSeconds))).toEqual(
      heard
        .filter(({ atSeconds, celsius }) => celsius !== null && atSeconds >= startSeconds)
        .slice(0, samples.length)
        .map(({ atSeconds }) => atSeconds),
    );
  });

  it("is told of the line at once, bake or none, and is over when it is over", () => {
    probe = probeK;
    take(0, { celsius: 500.1 });
    take(1, { celsius: 500.2 });
    take(2, { sensorWord: "open-circuit" });
    take(3, { sensorWord: "open-circuit" });
    expect(health()).toMatchObject({ faults: [{ kind: "open-circuit", isActive: true }], message: null });
    for (let second = 4; second < 90; second += 1) take(second, { celsius: 500 + (second % 7) / 10 });
    expect(health().faults).toEqual([]);
  });

  it("is told on the stream's time, so that a fast bench has the faults of the real thing", () => {
    probe = probeK;
    const received = (second: number) => ({ receivedAtSeconds: second / 60 });
    for (let second = 0; second < 20; second += 1) {
      if (second < 2) take(second, { celsius: 500 + second / 10, ...received(second) });
      else take(second, { sensorWord: "open-circuit", ...received(second) });
    }
    expect(health().faults).toMatchObject([{ kind: "open-circuit", seconds: 17 }]);
  });

  it("does not take the other channels with it", async () => {
    await recorder.begin("one", { planId: 1 });
    take(0, { celsius: 500, hectopascals: 1013 });
    take(1, { sensorWord: "open-circuit", hectopascals: 20 });
    take(2, { celsius: 501 });
    await recorder.flush();
    expect(await store.bakes.samples(1)).toEqual([
      { atSeconds: 0, celsius: 500, hectopascals: 1013 },
      { atSeconds: 2, celsius: 501, hectopascals: 20 },
    ]);
  });

  it("survives a restart in the middle of it, and goes on being counted", async () => {
    probe = probeK;
    await recorder.begin("one", { planId: 1 });
    for (let second = 0; second < 10; second += 1) take(second, { celsius: 500 + second / 10 });
    for (let second = 10; second < 20; second += 1) take(second, { sensorWord: "open-circuit" });
    await recorder.flush();
    expect((await store.bakes.open())[0]?.sensorFaults).toMatchObject([{ readings: 10, isActive: true }]);
    await restart();
    expect((await recorder.detail(1)).sensorFaults).toMatchObject([{ readings: 10, isActive: false }]);
    for (let second = 25; second < 30; second += 1) take(second, { sensorWord: "open-circuit" });
    take(30, { celsius: 501 });
    const closed = await recorder.closeBake(1);
    expect(closed.sensorFaults).toMatchObject([
      {
        kind: "open-circuit",
        episodes: 2,
        readings: 15,
        firstAtSeconds: 10,
        lastAtSeconds: 29,
        isActive: false,
      },
    ]);
  });

  it("is none on a healthy probe", async () => {
    probe = probeK;
    await play(simulated().heard, asDegrees);
    expect((await onlyBake()).sensorFaults).toEqual([]);
  });
});

describe("whatever an adapter says", () => {
  const anyNumber = fc.oneof(
    fc.double({ min: -400, max: 6000 }),
    fc.constantFrom(0, -0, 6553.5, 1e12, 1e300, -1e300, Number.NaN, Number.POSITIVE_INFINITY),
  );
  const anyReading = fc.record(
    {
      celsius: anyNumber,
      millivolts: fc.oneof(fc.double({ min: -20, max: 90 }), anyNumber),
      coldJunctionCelsius: anyNumber,
      hectopascals: anyNumber,
      heaterDutyFraction: anyNumber,
      sensorWord: fc.constantFrom("open-circuit", "above-range", "below-range", "no-value"),
    },
    { requiredKeys: [], noNullPrototype: true },
  );

  property.prop(
    [fc.array(anyReading, { maxLength: 200 }), fc.constantFrom(null, ...thermocoupleTypeSchema.options)],
    {
      numRuns: 50,
    },
  )("every temperature that a chamber can have is recorded, and nothing else", async (readings, type) => {
    probe = { ...probeS, type };
    const { bake } = await recorder.begin("one", { planId: 1 });
    const said = readings.map((reading, second) => take(second, reading));
    await recorder.closeBake(bake.id);
    const samples = await store.bakes.samples(bake.id);
    const measured = said.filter((celsius) => celsius !== undefined);
    expect(samples.map(({ celsius }) => celsius)).toEqual(
      measured.map((celsius) => Math.round(celsius * 1000) / 1000 + 0),
    );
    for (const celsius of measured) {
      expect(celsius).toBeGreaterThanOrEqual(-273.15);
      expect(celsius).toBeLessThanOrEqual(5000);
    }
    expect(
      sensorFaultSchema.array().safeParse((await recorder.detail(bake.id)).sensorFaults).error,
    ).toBeUndefined();
  });
});

describe("a thermocouple of another type than was set", () => {
  const bent = () =>
    simulated({ fault: { kind: "wrong-type", fromSeconds: 0, toSeconds: 99_999, wrongElement: "N" } });

  it("is told at the end of a bake with a plan, and told anew when the plan is changed", async () => {
    probe = probeK;
    await play(bent().heard, asDegrees);
    const before = await onlyBake();
    expect(before.sensorFaults.map(({ kind }) => kind)).not.toContain("wrong-type");
    const judged = await recorder.assign(before.bake.id, { planId: 1 });
    expect(judged.sensorFaults).toContainEqual(
      expect.objectContaining({ kind: "wrong-type", likelyType: "N", isActive: false }),
    );
    const without = await recorder.assign(before.bake.id, { planId: null });
    expect(without.sensorFaults).toEqual(before.sensorFaults);
  });
});
