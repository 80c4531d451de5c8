import { describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds } from "#core/plan/setpoint";
import {
  type BakeBounds,
  begunBounds,
  closedBounds,
  isReadyForNext,
  type Moment,
  nextBounds,
  type PlanBounds,
  unknownBounds,
} from "#daemon/recording/bake-bounds";
import { BenchFurnace } from "#simulators/bench-furnace";
import { simulateBake } from "#simulators/simulate-bake";

interface FoundBake {
  readonly fromSeconds: number;
  readonly toSeconds: number | null;
}

/** A seeded stream of numbers, normal, mean 0, deviation 1. */
function normalNumbers(seed: number): () => number {
  let state = (seed * 2654435761 + 1) % 2147483647;
  const uniform = () => {
    state = (state * 16807) % 2147483647;
    return state / 2147483647;
  };
  return () => Math.sqrt(-2 * Math.log(uniform() + 1e-12)) * Math.cos(2 * Math.PI * uniform());
}

/** Corners as minutes:°C, straight in between; `hertz` samples a second with noise. */
function stream(corners: string, { hertz = 1, noiseKelvin = 0.7, seed = 1 } = {}): Moment[] {
  const points = corners.split(" ").map((corner) => corner.split(":").map(Number) as [number, number]);
  const normal = normalNumbers(seed);
  const moments: Moment[] = [];
  for (const [index, [toMinutes, toCelsius]] of points.entries()) {
    const [fromMinutes, fromCelsius] = points[index - 1] ?? [toMinutes, toCelsius];
    const count = Math.round((toMinutes - fromMinutes) * 60 * hertz);
    for (let step = 0; step < count; step += 1)
      moments.push({
        atSeconds: fromMinutes * 60 + step / hertz,
        celsius: fromCelsius + ((toCelsius - fromCelsius) * step) / count + noiseKelvin * normal(),
      });
  }
  return moments;
}

function bakesIn(moments: readonly Moment[], start: BakeBounds = unknownBounds): FoundBake[] {
  const found: FoundBake[] = [];
  let state = start;
  for (const moment of moments) {
    const next = nextBounds(state, moment);
    if (state.kind !== "running" && next.kind === "running")
      found.push({ fromSeconds: next.openedFromSeconds, toSeconds: null });
    const open = found.at(-1);
    if (state.kind === "running" && next.kind === "resting" && open)
      found[found.length - 1] = { ...open, toSeconds: moment.atSeconds };
    state = next;
  }
  return found;
}

const boundsOf = (plan: Plan): PlanBounds => ({
  lowCelsius: plan.lowCelsius,
  topCelsius: topCelsius(plan),
  lengthSeconds: planLengthSeconds(plan),
});
const build: PlanBounds = { lowCelsius: 510, topCelsius: 760, lengthSeconds: 1400 };
const without = (moments: readonly Moment[], fromMinutes: number, toMinutes: number) =>
  moments.filter(({ atSeconds }) => atSeconds < fromMinutes * 60 || atSeconds > toMinutes * 60);

const usual = "0:510 3:510 8.5:760 9.5:760 14.5:510 17:510";

describe("the bounds of a bake", () => {
  // biome-ignore format: a table reads in columns
  it.each([
    { what: "a usual bake from stand-by",                          corners: usual,                                            bakes: 1 },
    { what: "a bake from cold that ends at stand-by",              corners: "0:24 3:24 9:450 12:450 18:760 19:760 26:480 29:480", bakes: 1 },
    { what: "a bake from cold that cools with the furnace off",    corners: "0:24 3:24 20:900 22:900 60:300 90:120 100:90 110:80", bakes: 1 },
    { what: "a climb of 5 K/min",                                  corners: "0:450 3:450 53:700 54:700 60:450 63:450",        bakes: 1 },
    { what: "drying in the open muffle, low hold, climb",          corners: "0:510 3:510 3.3:440 9:450 10:512 12:510 18:760 19:760 24:510 27:510", bakes: 1 },
    { what: "two climbs with a hold of twelve minutes between",    corners: "0:450 3:450 6:650 18:650 21:850 22:850 30:450 33:450", bakes: 1 },
    { what: "a stall of five minutes in the climb",                corners: "0:510 3:510 6:640 11:640 14:760 15:760 20:510 23:510", bakes: 1 },
    { what: "a door opened in the hold, for a minute",             corners: "0:510 3:510 8.5:760 9:760 9.3:600 10:560 10.8:750 13:760 18:510 21:510", bakes: 1 },
    { what: "a cooling that stops at 700 °C for six minutes",      corners: "0:450 3:450 10:900 12:900 16:700 22:700 30:450 33:450", bakes: 1 },
    { what: "a peak of 570 °C only",                               corners: "0:510 3:510 4.5:570 6:570 8:510 15:510",         bakes: 1 },
    { what: "a return that never quite settles",                   corners: "0:510 3:510 8.5:760 9.5:760 14:500 15:540 16:500 17:535 18:498 20:530", bakes: 1 },
    { what: "a bake, and the next one two minutes later",          corners: `${usual} 17.1:450 19:470 20:512 21:510 26:760 27:760 32:510 35:510`, bakes: 2 },
    { what: "a muffle opened and closed, and nothing more",        corners: "0:500 3:500 3.3:430 5:440 6:520 7:500 12:500",   bakes: 0 },
    { what: "a furnace that stands by for hours",                    corners: "0:480 240:482",                                  bakes: 0 },
    { what: "a furnace that cools over night and stays cold",      corners: "0:500 60:200 150:30 200:22",                     bakes: 0 },
    { what: "a line plugged in during the climb",                  corners: "0:600 3:740 4:760 9:510 12:510",                 bakes: 1 },
    { what: "a line plugged in during the cooling",                corners: "0:700 4:505 5:515 9:510",                        bakes: 0 },
  ])("of $what: $bakes, at 0.1 to 10 samples a second", ({ corners, bakes }) => {
    for (const hertz of [0.1, 1, 10])
      for (const noiseKelvin of [0, 0.5, 1]) {
        const found = bakesIn(stream(corners, { hertz, noiseKelvin }));
        expect({ hertz, noiseKelvin, bakes: found.length }).toEqual({ hertz, noiseKelvin, bakes });
        expect(found.map(({ toSeconds }) => toSeconds === null)).not.toContain(true);
      }
  });

  it("has two minutes of rest before the climb in it, and ends once it is back", () => {
    const [found] = bakesIn(stream(usual));
    expect(found?.fromSeconds).toBeGreaterThan(50);
    expect(found?.fromSeconds).toBeLessThanOrEqual(80);
    expect(found?.toSeconds).toBeGreaterThan(14 * 60);
    expect(found?.toSeconds).toBeLessThan(16.5 * 60);
  });

  it("of a warm-up to stand-by that goes on into nothing end after a quarter of an hour", () => {
    const [found, another] = bakesIn(stream("0:24 3:24 9:450 40:450"));
    expect(found?.toSeconds).toBeGreaterThan(23 * 60);
    expect(found?.toSeconds).toBeLessThan(26 * 60);
    expect(another).toBeUndefined();
  });

  it("hold a planned hold of half an hour, low or high", () => {
    const plan = { lowCelsius: 450, topCelsius: 850, lengthSeconds: 5000 };
    const corners = "0:450 3:450 5:530 35:530 41:850 71:850 80:450 83:450";
    expect(bakesIn(stream(corners), begunBounds(unknownBounds, plan))).toHaveLength(1);
  });

  it.each([
    { where: "the climb", from: 5, to: 8 },
    { where: "the hold", from: 8.6, to: 9.4 },
    { where: "the fall", from: 11, to: 14 },
    { where: "climb, hold and fall", from: 6, to: 14 },
  ])("bridge a silence in $where", ({ from, to }) => {
    const found = bakesIn(without(stream(usual), from, to));
    expect(found).toHaveLength(1);
    expect(found[0]?.toSeconds).not.toBeNull();
  });

  it("are blind to lone spikes, at rest and in a bake", () => {
    const spiked = stream(`${usual} 30:510`).map((moment, index) =>
      index % 37 === 0 ? { ...moment, celsius: index % 2 === 0 ? 1300 : 0 } : moment,
    );
    expect(bakesIn(spiked)).toHaveLength(1);
  });

  it("keep a bake begun by hand waiting through drying, until its climb", () => {
    const drying = stream("0:510 3:510 3.3:440 9:450 10:512 15:510");
    let state: BakeBounds = begunBounds(unknownBounds, build);
    for (const moment of drying) state = nextBounds(state, moment);
    expect(state.kind).toBe("waiting");
    for (const moment of stream("15:510 16:555 16.5:577")) state = nextBounds(state, moment);
    expect(state.kind).toBe("running");
  });

  it("let another bake begin once the last one is back, not before", () => {
    const readyAt = stream(usual).filter(
      (() => {
        let state: BakeBounds = unknownBounds;
        return (moment: Moment) => {
          state = nextBounds(state, moment);
          return isReadyForNext(state);
        };
      })(),
    );
    expect(readyAt[0]?.atSeconds).toBeGreaterThan(13 * 60);
  });

  it("do not open a bake with the cooling after one that was closed by hand", () => {
    let state: BakeBounds = unknownBounds;
    for (const moment of stream("0:510 3:510 8.5:760 9:760")) state = nextBounds(state, moment);
    expect(bakesIn(stream("9:760 14:510 17:510"), closedBounds(state))).toEqual([]);
  });

  it("of 200 simulated bakes with 0.5 K noise: none unrecorded, none split", { timeout: 120_000 }, () => {
    const wrong: string[] = [];
    for (let seed = 1; seed <= 200; seed += 1) {
      const plan = DEMONSTRATION_PLANS[seed % DEMONSTRATION_PLANS.length] as Plan;
      const { samples, events } = simulateBake({ plan, seed, noiseKelvin: 0.5, restAfterSeconds: 400 });
      for (const start of [unknownBounds, begunBounds(unknownBounds, boundsOf(plan))]) {
        const found = bakesIn(samples, start);
        const isWhole =
          found.length === 1 &&
          (found[0]?.fromSeconds ?? Number.NaN) <= (events.climbStartSeconds[0] ?? 0) &&
          (found[0]?.toSeconds ?? Number.NaN) >= events.coolingStartSeconds + 60;
        if (!isWhole) wrong.push(`seed ${seed}, ${start.kind}: ${JSON.stringify(found)}`);
      }
    }
    expect(wrong).toEqual([]);
  });

  it.each([1, 2, 3])("of a dozen bakes close behind each other on bench furnace %i: a dozen", (seed) => {
    const furnace = new BenchFurnace({ seed, probe: { noiseKelvin: 1 } });
    const normal = normalNumbers(seed);
    const moments: Moment[] = [];
    const listen = (isOver: () => boolean) => {
      for (; !isOver(); furnace.advance(furnace.atSeconds + 1)) {
        const { elapsedSeconds, celsius } = furnace.read();
        moments.push({ atSeconds: elapsedSeconds, celsius });
      }
    };
    const rest = (seconds: number) => {
      const untilSeconds = furnace.atSeconds + seconds;
      listen(() => furnace.atSeconds >= untilSeconds);
    };
    rest(120);
    for (let bake = 0; bake < 12; bake += 1) {
      furnace.start(DEMONSTRATION_PLANS[bake % DEMONSTRATION_PLANS.length] as Plan);
      listen(() => !furnace.isBaking);
      rest(10 + 150 * Math.abs(normal()));
    }
    rest(600);
    expect(bakesIn(moments)).toHaveLength(12);
  });
});
