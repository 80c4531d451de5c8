import { describe, expect, it } from "vitest";
import { comparison } from "#core/compare/comparison";
import type { Plan, PlanStep } from "#core/plan/plan";
import { recording } from "#tests/helpers/recording";

const judge = (plan: Plan, trace: ReturnType<typeof recording>) =>
  comparison(plan, trace, { activationEnergyJoulesPerMole: 325_000, isFinished: true });

function programme(lowKelvin: number, lowHoldSeconds: number, ...steps: PlanStep[]): Plan {
  return {
    name: "published programme",
    dryingSeconds: 0,
    closingSeconds: 0,
    lowCelsius: lowKelvin - 273.15,
    lowHoldSeconds,
    steps,
    cooling: { kind: "free" },
  };
}

const climb = (toKelvin: number, kelvinPerMinute: number): PlanStep => ({
  kind: "climb",
  toCelsius: toKelvin - 273.15,
  kelvinPerMinute,
});

describe("the comparison of a recording with its published programme", () => {
  // Programme: MaCFP, TUBS: 304 K for 1200 s, 50 K/min to 1074 K, 300 s. Hold means derived (after 2300 s).
  it.each([
    { run: 1, holdKelvin: 1072.317 },
    { run: 8, holdKelvin: 1072.376 },
    { run: 15, holdKelvin: 1071.68 },
  ])("finds 50 K/min and the hold in run $run", ({ run, holdKelvin }) => {
    const plan = programme(304, 1200, climb(1074, 50), { kind: "hold", seconds: 300 });
    const { climbs, holds } = judge(plan, recording("macfp_tubs_50Kmin_3runs.csv", run));
    expect(Math.abs((climbs[0]?.actual?.kelvinPerMinute ?? 0) / 50 - 1)).toBeLessThan(0.01);
    expect(Math.abs((climbs[0]?.actual?.startSeconds ?? 0) - 1200)).toBeLessThan(15);
    expect(Math.abs((holds[0]?.actual?.meanCelsius ?? 0) - (holdKelvin - 273.15))).toBeLessThan(0.5);
  });

  // Programme: MaCFP, LCPP: 300 K for 300 s, 5 K/min to 800 K, 300 s. It settles 4.51 K below (derived).
  it("says that a hold which settles 4.5 K below was never reached", () => {
    const plan = programme(300, 300, climb(800, 5), { kind: "hold", seconds: 300 });
    const { climbs, holds, findings } = judge(plan, recording("macfp_lcpp_5Kmin.csv"));
    expect(Math.abs((climbs[0]?.actual?.kelvinPerMinute ?? 0) / 5 - 1)).toBeLessThan(0.01);
    expect(holds[0]?.isReached).toBe(false);
    expect(holds[0]?.undershootKelvin).toBeCloseTo(800 - 795.553, 1);
    expect(findings.map(({ code }) => code)).toContain("top-not-reached");
  });

  // Programme: MaCFP, MFSL: 313 K for 30 min, 10 K/min to 1073 K, 15 min. Overshoots derived: 2.9 K above the
  // settled 313.0 K; peak 1073.9 K, which is 0.9 K above the programme's 1073 K.
  it("finds both overshoots of a programme with two holds, on uneven samples", () => {
    const plan = programme(293, 0, climb(313, 10), { kind: "hold", seconds: 1800 }, climb(1073, 10), {
      kind: "hold",
      seconds: 900,
    });
    const { climbs, holds, gaps } = judge(plan, recording("macfp_mfsl_10Kmin.csv"));
    expect(holds[0]?.overshootKelvin).toBeCloseTo(2.9, 1);
    expect(holds[1]?.overshootKelvin).toBeCloseTo(0.9, 1);
    expect(Math.abs((climbs[1]?.actual?.kelvinPerMinute ?? 0) / 10 - 1)).toBeLessThan(0.01);
    expect(Math.abs((climbs[1]?.actual?.startSeconds ?? 0) - 1889.9)).toBeLessThan(12);
    expect(Math.abs((holds[1]?.actual?.startSeconds ?? 0) - 6469.7)).toBeLessThan(12);
    expect(gaps).toEqual([]);
  });

  // CAROLFIRE shroud. Derived: peak within the first 400 s; hold = median over 500 to 800 s.
  // biome-ignore format: a table reads in columns
  it.each([
    { run: 1,  hold: 483.3,  peak: 486.9, overshoot: 3.6 },
    { run: 4,  hold: 306.0,  peak: 330.8, overshoot: 24.8 },
    { run: 5,  hold: 305.4,  peak: 329.3, overshoot: 23.9 },
    { run: 8,  hold: 306.2,  peak: 331.7, overshoot: 25.5 },
    { run: 10, hold: 300.0,  peak: 329.6, overshoot: 29.6 },
    { run: 14, hold: 306.0,  peak: 330.7, overshoot: 24.7 },
    { run: 16, hold: 333.1,  peak: 352.3, overshoot: 19.2 },
    { run: 26, hold: 324.2,  peak: 353.5, overshoot: 29.3 },
  ])("finds the overshoot of $overshoot K over $hold °C in run $run of a wall heater", ({ run, hold, peak, overshoot }) => {
    const plan = programme(273.15 + 30, 0, climb(273.15 + hold, 300), { kind: "hold", seconds: 1200 });
    const { peakCelsius, overshootKelvin } = judge(plan, recording("carolfire_shroud_8runs.csv", run));
    expect(Math.abs((peakCelsius ?? 0) - peak)).toBeLessThan(0.5);
    expect(Math.abs(overshootKelvin - overshoot)).toBeLessThan(0.5);
  });
});
