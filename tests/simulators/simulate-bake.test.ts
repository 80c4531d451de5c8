import { describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { legs, type Plan, topCelsius } from "#core/plan/plan";
import { hotJunctionCelsius } from "#core/thermocouple/cold-junction";
import { furnaceFromSeed, ORDINARY_FURNACE } from "#simulators/furnace";
import { PROBE_FAULTS } from "#simulators/probe-faults";
import { simulateBake } from "#simulators/simulate-bake";
import { pumpedHectopascals, ROOM_HECTOPASCALS } from "#simulators/vacuum-pump";

const [STANDARD, HIGHER] = DEMONSTRATION_PLANS as readonly [Plan, Plan];

describe("a simulated bake", () => {
  it("is the same to the last digit for the same options, another one for another seed", () => {
    const bake = simulateBake({ plan: HIGHER, seed: 11 });
    expect(simulateBake({ plan: HIGHER, seed: 11 })).toEqual(bake);
    expect(simulateBake({ plan: HIGHER, seed: 12 }).samples).not.toEqual(bake.samples);
  });

  it("is not bent by the noise of the probe", () => {
    const [quiet, noisy] = [0, 3].map((noiseKelvin) => simulateBake({ plan: HIGHER, seed: 11, noiseKelvin }));
    expect(noisy?.truth).toEqual(quiet?.truth);
    expect(noisy?.samples).not.toEqual(quiet?.samples);
  });

  it("has samples that lie about the truth with the noise that is asked for", () => {
    const { samples, truth } = simulateBake({ plan: HIGHER, seed: 11, noiseKelvin: 0.5 });
    const truthAt = new Map(truth.map((moment) => [moment.atSeconds, moment.celsius]));
    const errors = samples.map(({ atSeconds, celsius }) => celsius - (truthAt.get(atSeconds) ?? Number.NaN));
    const deviation = Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length);
    // Printed in tenths, which adds 0.1²/12; within five standard errors.
    expect(Math.abs(deviation / Math.hypot(0.5, 0.1 / Math.sqrt(12)) - 1)).toBeLessThan(
      5 / Math.sqrt(2 * errors.length),
    );
  });

  it("is sampled in even steps from zero, rest before and after included", () => {
    const bake = simulateBake({
      plan: STANDARD,
      seed: 1,
      stepSeconds: 2,
      restBeforeSeconds: 30,
      restAfterSeconds: 60,
    });
    expect(bake.samples.map(({ atSeconds }) => atSeconds)).toEqual(bake.samples.map((_, index) => index * 2));
    expect(bake.events.startSeconds).toBeCloseTo(30, 9);
    expect(bake.samples.at(-1)?.atSeconds).toBeGreaterThanOrEqual(bake.events.restSeconds + 58);
  });

  it("stands still at rest before the start", () => {
    const { truth, events } = simulateBake({ plan: HIGHER, seed: 3, restBeforeSeconds: 300 });
    const rest = truth
      .filter(({ atSeconds }) => atSeconds < events.startSeconds)
      .map(({ celsius }) => celsius);
    expect(Math.max(...rest) - Math.min(...rest)).toBeLessThan(2);
  });

  it("keeps the programme of its plan", () => {
    const plan = HIGHER;
    const { events } = simulateBake({ plan, seed: 3, restBeforeSeconds: 60 });
    const [leg] = legs(plan);
    expect(events.closedSeconds).toBeCloseTo(60 + plan.dryingSeconds + plan.closingSeconds, 0);
    expect(events.climbStartSeconds[0]).toBeCloseTo(60 + (leg?.climbStartSeconds ?? 0), 0);
    expect(events.holdReachedSeconds[0]).toBeCloseTo(60 + (leg?.holdStartSeconds ?? 0), 0);
    const [countedFrom = 0, end = 0] = [events.holdCountedFromSeconds[0], events.holdEndSeconds[0]];
    expect(end - countedFrom).toBeCloseTo(leg?.holdSeconds ?? 0, 0);
    expect(events.coolingStartSeconds).toBe(end);
  });

  it("climbs and holds as often as its plan", () => {
    for (const plan of DEMONSTRATION_PLANS) {
      const { events } = simulateBake({ plan, seed: 5 });
      for (const times of [events.climbStartSeconds, events.holdReachedSeconds, events.holdEndSeconds])
        expect(times).toHaveLength(legs(plan).length);
    }
  });

  it("opens the vacuum with the climb, reaches its pump's level, and lets air in at the end of the hold", () => {
    const { truth, events } = simulateBake({ plan: HIGHER, seed: 3, furnace: ORDINARY_FURNACE });
    const pressureAt = (seconds: number) => truth.find(({ atSeconds }) => atSeconds >= seconds)?.hectopascals;
    const [climb = 0, holdEnd = 0] = [events.climbStartSeconds[0], events.holdEndSeconds[0]];
    expect(pressureAt(climb - 1)).toBeCloseTo(ROOM_HECTOPASCALS, 3);
    expect(pressureAt(holdEnd - 1)).toBeCloseTo(pumpedHectopascals(ORDINARY_FURNACE.pump), 0);
    expect(pressureAt(holdEnd + 30)).toBeCloseTo(ROOM_HECTOPASCALS, 0);
  });

  it("stays in air without a vacuum in the plan", () => {
    const { truth } = simulateBake({ plan: { ...HIGHER, vacuum: undefined }, seed: 3 });
    expect(Math.min(...truth.map(({ hectopascals }) => hectopascals))).toBeCloseTo(ROOM_HECTOPASCALS, 6);
  });

  it("warms the ware behind the chamber, and close to it by the end of the hold", () => {
    const { truth, events } = simulateBake({ plan: HIGHER, seed: 3 });
    const lagAt = (seconds: number) => {
      const moment = truth.find(({ atSeconds }) => atSeconds >= seconds);
      return moment ? moment.chamberCelsius - moment.wareCelsius : Number.NaN;
    };
    expect(lagAt(events.holdReachedSeconds[0] ?? 0)).toBeGreaterThan(15);
    expect(lagAt(events.holdEndSeconds[0] ?? 0)).toBeLessThan(15);
  });

  it("waits for a tired element, and holds later", () => {
    const furnace = furnaceFromSeed(3);
    const controller = { ...furnace.controller, waitsForTemperature: true };
    const waitSeconds = (watts: number) => {
      const elementHealthFraction = watts / furnace.elementWatts;
      const { events } = simulateBake({
        plan: HIGHER,
        seed: 3,
        furnace: { elementHealthFraction, controller },
      });
      return (events.holdCountedFromSeconds[0] ?? 0) - (events.holdReachedSeconds[0] ?? 0);
    };
    expect(waitSeconds(640)).toBeGreaterThan(60);
    expect(waitSeconds(1300)).toBeLessThan(60);
  });

  it("refuses a bake that never ends, with what it requires", () => {
    const plan: Plan = { ...HIGHER, dryingSeconds: 13 * 3600 };
    expect(() => simulateBake({ plan, seed: 1 })).toThrow(/requires a bake of 12 h at most/);
  });
});

describe("sixty simulated furnaces", () => {
  const bakes = Array.from({ length: 60 }, (_, seed) => {
    const plan = DEMONSTRATION_PLANS[seed % DEMONSTRATION_PLANS.length] ?? HIGHER;
    const { truth, events } = simulateBake({ plan, seed, restAfterSeconds: 600 });
    const leg = legs(plan).at(-1);
    const [climb = 0, reached = 0] = [events.climbStartSeconds.at(-1), events.holdReachedSeconds.at(-1)];
    const lags = truth
      .filter(({ atSeconds }) => atSeconds > climb + 60 && atSeconds < reached)
      .map(({ atSeconds, celsius }) => {
        const climbed = ((leg?.kelvinPerMinute ?? 0) / 60) * (atSeconds - climb);
        return (leg?.fromCelsius ?? 0) + climbed - celsius;
      });
    return {
      overshootKelvin: Math.max(...truth.map(({ celsius }) => celsius)) - topCelsius(plan),
      lagKelvin: lags.reduce((sum, lag) => sum + lag, 0) / lags.length,
      restKelvin: (truth.at(-1)?.celsius ?? 0) - plan.lowCelsius,
    };
  });

  it("are unlike in overshoot and lag, and none is beyond belief", () => {
    const spread = (values: readonly number[]) => [Math.min(...values), Math.max(...values)] as const;
    const [leastOver, mostOver] = spread(bakes.map(({ overshootKelvin }) => overshootKelvin));
    const [leastLag, mostLag] = spread(bakes.map(({ lagKelvin }) => lagKelvin));
    expect(leastOver).toBeGreaterThan(-5);
    expect(mostOver).toBeLessThan(12);
    expect(mostOver - leastOver).toBeGreaterThan(5);
    expect(leastLag).toBeGreaterThan(-6);
    expect(mostLag).toBeLessThan(30);
    expect(mostLag - leastLag).toBeGreaterThan(10);
  });

  it("are all back within 8 K of their low temperature ten minutes after the bake", () => {
    for (const { restKelvin } of bakes) expect(Math.abs(restKelvin)).toBeLessThan(8);
  });
});

describe("a simulated bake with a faulty probe", () => {
  const well = simulateBake({ plan: HIGHER, seed: 11, saysMillivolts: true });
  const window = { fromSeconds: 700, toSeconds: 900 };

  it.each(PROBE_FAULTS)(
    "is the same outside of its fault, and the truth names what the fault touched: %s",
    (kind) => {
      const bake = simulateBake({ plan: HIGHER, seed: 11, saysMillivolts: true, fault: { kind, ...window } });
      expect(bake.truth).toEqual(well.truth);
      const touched = new Set(bake.fault?.touchedSeconds);
      expect(touched.size).toBeGreaterThan(0);
      const heard = new Map(bake.heard.map((reading) => [reading.atSeconds, reading]));
      for (const reading of well.heard) {
        const said = heard.get(reading.atSeconds);
        if (touched.has(reading.atSeconds)) expect(said).not.toEqual(reading);
        else expect(said).toEqual(reading);
      }
      for (const at of touched) expect(at >= 700 && at < 900).toBe(true);
    },
  );

  it("keeps what has a temperature as samples, without a word in its place", () => {
    const bake = simulateBake({ plan: HIGHER, seed: 11, fault: { kind: "open-circuit", ...window } });
    expect(bake.heard.length - bake.samples.length).toBe(200);
    expect(bake.heard.filter(({ sensorWord }) => sensorWord === "open-circuit")).toHaveLength(200);
    expect(bake.samples.some(({ atSeconds }) => atSeconds >= 700 && atSeconds < 900)).toBe(false);
  });

  it("says as much as its adapter: temperature alone, with its cold junction, with its EMF", () => {
    const keys = (options: object) =>
      Object.keys(simulateBake({ plan: HIGHER, seed: 11, ...options }).samples[0] ?? {}).sort();
    const plain = ["atSeconds", "celsius", "heaterDutyFraction", "hectopascals"];
    expect(keys({})).toEqual(plain);
    expect(keys({ saysColdJunction: true })).toEqual([...plain, "coldJunctionCelsius"].sort());
    expect(keys({ saysMillivolts: true })).toEqual([...plain, "coldJunctionCelsius", "millivolts"].sort());
  });

  it("has an EMF and a cold junction that give its temperature", () => {
    const { samples } = simulateBake({ plan: HIGHER, seed: 11, type: "S", saysMillivolts: true });
    for (const { celsius, millivolts = 0, coldJunctionCelsius = 0 } of samples) {
      const read = hotJunctionCelsius("S", millivolts, coldJunctionCelsius);
      // Half a step of the temperature, of the EMF (10 µV/K) and of the cold junction (6 of 10 µV/K).
      expect(Math.abs((read.ok ? read.celsius : Number.NaN) - celsius)).toBeLessThan(0.05 + 0.006 + 0.035);
    }
  });
});
