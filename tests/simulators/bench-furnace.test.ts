import { describe, expect, it } from "vitest";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import type { Plan } from "#core/plan/plan";
import { BenchFurnace } from "#simulators/bench-furnace";

const [PLAN] = DEMONSTRATION_PLANS as readonly [Plan];

describe("a bench furnace", () => {
  it("stands by at its low temperature, in the air of the room", () => {
    const furnace = new BenchFurnace({ seed: 1 });
    furnace.advance(1800);
    const { celsius, hectopascals } = furnace.truth();
    const { sensorOffsetKelvin } = furnace.character.controller;
    expect(Math.abs(celsius + sensorOffsetKelvin - 510)).toBeLessThan(2);
    expect(hectopascals).toBeCloseTo(1013.2, 6);
    expect(furnace.isBaking).toBe(false);
  });

  it("does not depend on the strides in which time passes", () => {
    const strides = (stride: number) => {
      const furnace = new BenchFurnace({ seed: 1 });
      furnace.start(PLAN);
      for (let at = stride; at <= 900; at += stride) furnace.advance(at);
      furnace.advance(900);
      return furnace.truth();
    };
    expect(strides(900)).toEqual(strides(0.37));
  });

  it("starts once, and goes through its phases to rest", () => {
    const furnace = new BenchFurnace({ seed: 1 });
    const phases: string[] = [];
    furnace.onPhase(({ phase }) => phases.push(phase.kind));
    expect(furnace.start(PLAN)).toBe(true);
    expect(furnace.start(PLAN)).toBe(false);
    furnace.advance(3600);
    expect(phases).toEqual([
      "drying",
      "closing",
      "low-hold",
      "climb",
      "waiting",
      "hold",
      "shut-cooling",
      "open-cooling",
      "rest",
    ]);
    expect(furnace.start(PLAN)).toBe(true);
  });

  it("opens and returns to rest when it is stopped, in air again", () => {
    const furnace = new BenchFurnace({ seed: 1 });
    furnace.start(PLAN);
    furnace.advance(800);
    expect(furnace.truth().hectopascals).toBeLessThan(200);
    furnace.abort();
    expect(furnace.phase.kind).toBe("open-cooling");
    furnace.advance(1700);
    expect(furnace.isBaking).toBe(false);
    expect(furnace.truth().hectopascals).toBeCloseTo(1013.2, 1);
  });

  it("is not stopped out of a rest", () => {
    const furnace = new BenchFurnace({ seed: 1 });
    furnace.abort();
    expect(furnace.isBaking).toBe(false);
  });

  it("loses heat and vacuum when somebody opens it in a climb", () => {
    const truth = (isOpened: boolean) => {
      const furnace = new BenchFurnace({ seed: 1 });
      furnace.start(PLAN);
      furnace.advance(800);
      if (isOpened) furnace.openDoor();
      furnace.advance(840);
      return furnace.truth();
    };
    expect(truth(true).celsius).toBeLessThan(truth(false).celsius - 5);
    expect(truth(true).hectopascals).toBeGreaterThan(900);
  });

  it("recovers after the door is closed again", () => {
    const furnace = new BenchFurnace({ seed: 1 });
    furnace.openDoor();
    furnace.advance(30);
    const openCelsius = furnace.truth().celsius;
    furnace.closeDoor();
    furnace.advance(1200);
    expect(furnace.truth().celsius).toBeGreaterThan(openCelsius + 3);
  });
});
