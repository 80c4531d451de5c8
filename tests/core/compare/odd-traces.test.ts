import { describe, expect, it } from "vitest";
import { type Comparison, comparison } from "#core/compare/comparison";
import type { Cooling, Plan, PlanStep } from "#core/plan/plan";
import type { Sample, Trace } from "#core/trace/trace";
import { fired, joined } from "#tests/helpers/fired";
import { sampled, trace } from "#tests/helpers/trace";

const judged = (plan: Plan, record: Trace, isFinished = true) =>
  comparison(plan, record, { activationEnergyJoulesPerMole: 325_000, isFinished });
const codes = (compared: Comparison) => compared.findings.map(({ code }) => code);

function planOf(steps: readonly PlanStep[], cooling: Cooling = { kind: "free" }): Plan {
  return {
    name: "odd",
    dryingSeconds: 60,
    closingSeconds: 60,
    lowCelsius: 510,
    lowHoldSeconds: 0,
    steps,
    cooling,
  };
}

const oneClimb: readonly PlanStep[] = [
  { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
  { kind: "hold", seconds: 60 },
];
const twoClimbs: readonly PlanStep[] = [
  { kind: "climb", toCelsius: 650, kelvinPerMinute: 40 },
  { kind: "hold", seconds: 60 },
  { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
  { kind: "hold", seconds: 60 },
];
const plan = planOf(oneClimb);
const base = fired(plan);
const hotter = (record: Trace, kelvin: number) => record.map((s) => ({ ...s, celsius: s.celsius + kelvin }));

describe("while a perfect bake runs", () => {
  it.each([
    { how: "free, 60 K/min", of: plan, cooledAt: 60 },
    {
      how: "led at 40 K/min",
      of: planOf(oneClimb, { kind: "steady", toCelsius: 560, kelvinPerMinute: 40 }),
      cooledAt: 60,
    },
    {
      how: "led at 10 K/min",
      of: planOf(oneClimb, { kind: "steady", toCelsius: 700, kelvinPerMinute: 10 }),
      cooledAt: 60,
    },
    { how: "free, after two climbs", of: planOf(twoClimbs), cooledAt: 60 },
  ])("nothing is found at any moment (cooling $how)", ({ of, cooledAt }) => {
    const record = fired(of, 1, cooledAt);
    for (let length = 1; length <= record.length; length += 2) {
      const compared = judged(of, record.slice(0, length), false);
      expect({ length, codes: codes(compared) }).toEqual({ length, codes: [] });
    }
  });
});

describe("a furnace that is some kelvins off, with two climbs", () => {
  it.each([{ kelvin: -20 }, { kelvin: -10 }, { kelvin: -4 }, { kelvin: 4 }, { kelvin: 20 }])(
    "$kelvin K: both holds and both rates are found",
    ({ kelvin }) => {
      const of = planOf(twoClimbs);
      const { holds, climbs, heatWork, findings } = judged(of, hotter(fired(of), kelvin));
      const slack = kelvin > 0 ? (kelvin / 40) * 60 : 0;
      for (const hold of holds) {
        expect(Math.abs((hold.actual?.lengthSeconds ?? 0) - 60)).toBeLessThanOrEqual(slack + 5);
        expect(hold.isReached).toBe(kelvin > -3);
      }
      expect(climbs[0]?.actual?.kelvinPerMinute).toBeCloseTo(40, 0);
      expect(climbs[1]?.actual?.kelvinPerMinute).toBeCloseTo(45, 0);
      expect(climbs[1]?.actual?.startSeconds ?? 0).toBeGreaterThan(
        holds[0]?.actual?.startSeconds ?? Number.NaN,
      );
      expect(heatWork.equivalentOffsetKelvin).toBeCloseTo(kelvin, 0);
      expect(findings.map(({ code }) => code)).not.toContain("climb-stalled");
    },
  );
});

describe("readings that no chamber can have had", () => {
  it.each([
    {
      what: "an open thermocouple at full scale for 2 s",
      change: (s: Sample) => (s.atSeconds >= 300 && s.atSeconds < 302 ? 1372 : s.celsius),
      wild: 2,
    },
    {
      what: "three readings of zero in the hold",
      change: (s: Sample) => (s.atSeconds >= 480 && s.atSeconds < 483 ? 0 : s.celsius),
      wild: 3,
    },
    {
      what: "one reading of full scale",
      change: (s: Sample) => (s.atSeconds === 300 ? 1372 : s.celsius),
      wild: 1,
    },
  ])("$what: told, and left out of the verdict", ({ change, wild }) => {
    const compared = judged(
      plan,
      base.map((s) => ({ ...s, celsius: change(s) })),
    );
    expect(compared.heatWork.ratio).toBeCloseTo(1, 2);
    expect(compared.overshootKelvin).toBe(0);
    expect(compared.findings).toMatchObject([{ code: "wild-readings", actual: wild, needsPerson: true }]);
  });

  it("a door opened and shut again is no such reading", () => {
    const dip = base.map((s) => ({
      ...s,
      celsius: s.celsius - 60 * Math.max(0, 1 - Math.abs(s.atSeconds - 300) / 6),
    }));
    expect(codes(judged(plan, dip))).not.toContain("wild-readings");
  });
});

describe("a record that holds more than the bake", () => {
  const whole = judged(plan, base);

  it.each([
    { what: "the tail of an earlier bake", before: sampled(trace("0:650 4:510 6:510"), 1), others: 0 },
    { what: "a tail from just below the top", before: sampled(trace("0:750 4:510 6:510"), 1), others: 0 },
    {
      what: "an earlier, colder bake",
      before: sampled(trace("0:510 4:710 5:710 9:510 12:510"), 1),
      others: 1,
    },
    {
      what: "a warm-up that peaked at 640 °C",
      before: sampled(trace("0:510 3:640 6:510 9:510"), 1),
      others: 1,
    },
  ])("$what before it is no part of it", ({ before, others }) => {
    const compared = judged(plan, joined(before, base));
    expect(compared.heatWork.ratio).toBeCloseTo(1, 2);
    expect(compared.climbs[0]?.actual?.lengthSeconds).toBeCloseTo(
      whole.climbs[0]?.actual?.lengthSeconds ?? 0,
      0,
    );
    expect(compared.findings.filter(({ code }) => code === "several-bakes")).toHaveLength(others > 0 ? 1 : 0);
    expect(codes(compared).filter((code) => code !== "several-bakes" && code !== "as-planned")).toEqual([]);
  });

  it("two bakes: the first is judged, and the second told", () => {
    const compared = judged(plan, joined(base, base));
    expect(compared.heatWork.ratio).toBeCloseTo(1, 2);
    expect(compared.findings).toMatchObject([{ code: "several-bakes", actual: 2 }]);
  });
});

describe("a record that begins in the climb", () => {
  it.each([{ fromCelsius: 600 }, { fromCelsius: 700 }])(
    "at $fromCelsius °C is laid on the plan by its line",
    ({ fromCelsius }) => {
      const late = base.filter(({ atSeconds, celsius }) => atSeconds > 400 || celsius >= fromCelsius);
      const compared = judged(plan, late);
      expect(compared.planZeroSeconds).toBeCloseTo(0, 0);
      expect(Math.abs(compared.climbs[0]?.lagKelvin ?? 99)).toBeLessThan(1);
      expect(codes(compared)).toContain("start-missed");
    },
  );

  it("with the vacuum on already has no late vacuum", () => {
    const pumped: Plan = {
      ...plan,
      vacuum: { onAtCelsius: 510, levelHectopascals: 40, release: { kind: "hold-start", hold: 1 } },
    };
    const late = base
      .filter(({ atSeconds }) => atSeconds >= 240)
      .map((s) => ({ ...s, hectopascals: s.atSeconds < 453 ? 40 : 1000 }));
    const compared = judged(pumped, late);
    expect(compared.vacuum.actual?.isStartSeen).toBe(false);
    expect(codes(compared)).not.toContain("vacuum-late");
  });
});

describe("the heat work itself", () => {
  it("is told when small differences add up", () => {
    const slack = base
      .map((s) => ({ ...s, celsius: s.celsius - 1.9 }))
      .filter(({ atSeconds }) => atSeconds <= 500 || atSeconds > 504)
      .map((s) => (s.atSeconds > 504 ? { ...s, atSeconds: s.atSeconds - 4 } : s));
    const { heatWork, findings } = judged(plan, slack);
    expect(heatWork.ratio).toBeLessThan(0.95);
    expect(findings).toMatchObject([{ code: "heat-work-low", needsPerson: false }]);
  });

  it("is not bent by a rest after a led cooling, whichever side of its end that stands on", () => {
    const led = planOf(oneClimb, { kind: "steady", toCelsius: 700, kelvinPerMinute: 20 });
    const rested = (celsius: number) => {
      const upTo = fired(led).filter(
        (s, index, all) =>
          index === 0 || s.celsius >= 700 || (all[index - 1]?.celsius ?? 0) < s.celsius || s.atSeconds < 600,
      );
      const end = upTo.filter((s) => s.atSeconds < 693).at(-1) ?? { atSeconds: 0, celsius: 0 };
      const kept = upTo.filter((s) => s.atSeconds <= end.atSeconds);
      const rest = Array.from({ length: 600 }, (_, i) => ({ atSeconds: end.atSeconds + i + 1, celsius }));
      const last = end.atSeconds + 601;
      return [
        ...kept,
        ...rest,
        ...Array.from({ length: 150 }, (_, i) => ({ atSeconds: last + i, celsius: celsius - i })),
      ];
    };
    const [above, below] = [judged(led, rested(700.5)), judged(led, rested(699))];
    expect(above.heatWork.ratio).toBeCloseTo(1, 1);
    expect(Math.abs((above.heatWork.ratio ?? 0) - (below.heatWork.ratio ?? 0))).toBeLessThan(0.02);
  });

  it("has no equivalent offset when too much of it was not measured", () => {
    const holed = base.filter(({ atSeconds }) => atSeconds < 455 || atSeconds > 505);
    const { heatWork, findings } = judged(plan, holed);
    expect(heatWork.equivalentOffsetKelvin).toBeNull();
    expect(findings.map(({ code }) => code)).toContain("gap");
  });
});

describe("the vacuum", () => {
  const pumped = (release: NonNullable<Plan["vacuum"]>["release"]): Plan => ({
    ...plan,
    vacuum: { onAtCelsius: 510, levelHectopascals: 50, release },
  });
  const pressed = (hectopascals: (atSeconds: number) => number) =>
    base.map((s) => ({ ...s, hectopascals: Math.min(1000, hectopascals(s.atSeconds)) }));
  const reached = 120 + 250 / 0.75;

  it("that leaks and is let go on time is told as a leak, not as early", () => {
    const leaking = pressed((t) =>
      t < 130 ? 1000 : t < reached ? 50 + 0.5 * (t - 130) : 50 + 150 * (t - reached) + 162,
    );
    const compared = judged(pumped({ kind: "hold-start", hold: 1 }), leaking);
    expect(codes(compared)).toEqual(["vacuum-leaked"]);
    expect(compared.vacuum.actual?.releaseCelsius).toBeCloseTo(760, -1);
  });

  it.each([
    { what: "that is never let go", release: { kind: "hold-end", hold: 1 } as const, off: 99_999 },
    {
      what: "meant to end at 700 °C, kept through the hold",
      release: { kind: "at-temperature", celsius: 700 } as const,
      off: reached + 60,
    },
  ])("$what is told", ({ release, off }) => {
    const record = pressed((t) => (t < 130 ? 1000 : t < off ? 50 : 50 + 200 * (t - off)));
    expect(codes(judged(pumped(release), record))).toContain("vacuum-released-late");
  });

  it("that nobody measured is said beside a bake that went as planned", () => {
    expect(codes(judged(pumped({ kind: "hold-start", hold: 1 }), base))).toEqual([
      "as-planned",
      "vacuum-not-measured",
    ]);
  });
});

describe("slow and coarse records", () => {
  it.each([{ rate: 3 }, { rate: 2 }])("a climb at $rate K/min does not stand still", ({ rate }) => {
    const slow = planOf([
      { kind: "climb", toCelsius: 760, kelvinPerMinute: rate },
      { kind: "hold", seconds: 600 },
    ]);
    expect(codes(judged(slow, fired(slow, 5)))).toEqual(["as-planned"]);
  });

  it.each([{ every: 5 }, { every: 15 }, { every: 30 }])(
    "sampled every $every s a good bake calls nobody",
    ({ every }) => {
      expect(judged(plan, fired(plan, every)).findings.filter(({ needsPerson }) => needsPerson)).toEqual([]);
    },
  );
});
