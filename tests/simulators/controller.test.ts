import { describe, expect, it } from "vitest";
import type { Plan, VacuumRelease } from "#core/plan/plan";
import {
  type ControllerOutputs,
  nextController,
  restingController,
  startedController,
} from "#simulators/controller";
import { ORDINARY_FURNACE } from "#simulators/furnace";

const STEP_SECONDS = 0.1;

/** Above what ends an open cooling. */
const STILL_HOT_CELSIUS = 520;

const PLAN: Plan = {
  name: "t",
  dryingSeconds: 60,
  closingSeconds: 30,
  lowCelsius: 500,
  lowHoldSeconds: 10,
  steps: [
    { kind: "climb", toCelsius: 600, kelvinPerMinute: 60 },
    { kind: "hold", seconds: 20 },
    { kind: "climb", toCelsius: 700, kelvinPerMinute: 120 },
    { kind: "hold", seconds: 30 },
  ],
  cooling: { kind: "steady", toCelsius: 640, kelvinPerMinute: 60 },
};

describe("the controller, on a furnace that follows at once", () => {
  const at = run(PLAN, (setCelsius) => Math.max(setCelsius, STILL_HOT_CELSIUS));

  // biome-ignore format: a table reads in columns
  it.each([
    { seconds: 30,  setCelsius: 500, doing: "drying, open",            openFraction: 1, isVented: true },
    { seconds: 95,  setCelsius: 500, doing: "waiting, shut",           openFraction: 0, isVented: false },
    { seconds: 150, setCelsius: 550, doing: "in the first climb",      openFraction: 0, isVented: false },
    { seconds: 210, setCelsius: 600, doing: "in the first hold",       openFraction: 0, isVented: false },
    { seconds: 245, setCelsius: 650, doing: "in the second climb",     openFraction: 0, isVented: false },
    { seconds: 290, setCelsius: 700, doing: "in the second hold",      openFraction: 0, isVented: false },
    { seconds: 330, setCelsius: 670, doing: "led down",                openFraction: 0, isVented: false },
    { seconds: 365, setCelsius: 500, doing: "open, after the cooling", openFraction: 1, isVented: true },
  ])("wants $setCelsius °C after $seconds s, $doing", ({ seconds, setCelsius, openFraction, isVented }) => {
    const outputs = at(seconds);
    // The phases begin on whole steps: 2 K/s for a few of them.
    expect(Math.abs(outputs.setCelsius - setCelsius)).toBeLessThan(1.5);
    expect(outputs.openFraction).toBeCloseTo(openFraction, 1);
    expect(outputs.isVented).toBe(isVented);
  });

  it("does not heat in an open cooling", () => {
    expect(at(365).dutyFraction).toBe(0);
  });
});

describe("the vacuum of the controller", () => {
  // biome-ignore format: a table reads in columns
  it.each<{ ends: string; onAtCelsius: number; release: VacuumRelease; fromSeconds: number; toSeconds: number }>([
    { ends: "on passing a temperature", onAtCelsius: 550, release: { kind: "at-temperature", celsius: 650 }, fromSeconds: 150, toSeconds: 245 },
    { ends: "at the start of hold 1",   onAtCelsius: 500, release: { kind: "hold-start", hold: 1 },          fromSeconds: 100, toSeconds: 200 },
    { ends: "at the end of hold 1",     onAtCelsius: 500, release: { kind: "hold-end", hold: 1 },            fromSeconds: 100, toSeconds: 220 },
    { ends: "at the start of hold 2",   onAtCelsius: 500, release: { kind: "hold-start", hold: 2 },          fromSeconds: 100, toSeconds: 270 },
    { ends: "at the end of hold 2",     onAtCelsius: 500, release: { kind: "hold-end", hold: 2 },            fromSeconds: 100, toSeconds: 300 },
  ])("ends $ends", ({ onAtCelsius, release, fromSeconds, toSeconds }) => {
    const at = run({ ...PLAN, vacuum: { onAtCelsius, levelHectopascals: 50, release } });
    const pumping = Array.from({ length: 400 }, (_, second) => second).filter((second) => at(second).isPumping);
    expect(Math.abs((pumping[0] ?? 0) - fromSeconds)).toBeLessThanOrEqual(2);
    expect(Math.abs((pumping.at(-1) ?? 0) - toSeconds)).toBeLessThanOrEqual(2);
    expect(at(toSeconds + 5).isVented).toBe(true);
  });
});

describe("a furnace that does not come near its hold", () => {
  const stuck = (waitsForTemperature: boolean) =>
    run({ ...PLAN, cooling: { kind: "free" } }, () => 550, waitsForTemperature);

  it("is waited for, but not for ever", () => {
    expect(stuck(true)(230).setCelsius).toBe(600);
    expect(stuck(true)(400).setCelsius).toBe(600);
    expect(stuck(true)(470).setCelsius).toBeGreaterThan(610);
  });

  it("is not waited for by a controller that goes by the clock", () => {
    expect(stuck(false)(230).setCelsius).toBeGreaterThan(610);
  });
});

/** What the controller does at a moment of a bake that starts at 0, when its sensor reads what it wants. */
function run(plan: Plan, sensor = (setCelsius: number) => setCelsius, waitsForTemperature = true) {
  const tuning = { ...ORDINARY_FURNACE.controller, waitsForTemperature };
  let state = startedController(restingController(plan.lowCelsius, 0), plan, 0);
  let setCelsius = plan.lowCelsius;
  const log: ControllerOutputs[] = [];
  for (let step = 0; step < 6000; step += 1) {
    const next = nextController(
      state,
      step * STEP_SECONDS,
      sensor(setCelsius),
      tuning,
      () => 0.3,
      STEP_SECONDS,
    );
    state = next.state;
    setCelsius = next.outputs.setCelsius;
    log.push(next.outputs);
  }
  return (seconds: number): ControllerOutputs => {
    const outputs = log[Math.round(seconds / STEP_SECONDS)];
    if (!outputs) throw new RangeError(`the run requires a moment below 600 s, got ${seconds} s`);
    return outputs;
  };
}
