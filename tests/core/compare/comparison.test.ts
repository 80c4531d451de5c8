import { it as propertyIt } from "@fast-check/vitest";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Comparison, comparison } from "#core/compare/comparison";
import { DEMONSTRATION_PLANS } from "#core/plan/demonstration-plans";
import { legs, type Plan, topCelsius } from "#core/plan/plan";
import type { Sample, Trace } from "#core/trace/trace";
import { simulateBake } from "#simulators/simulate-bake";
import { fired } from "#tests/helpers/fired";

const ENERGY = 325_000;

const plan: Plan = {
  name: "one climb",
  dryingSeconds: 120,
  closingSeconds: 60,
  lowCelsius: 510,
  lowHoldSeconds: 60,
  steps: [
    { kind: "climb", toCelsius: 760, kelvinPerMinute: 45 },
    { kind: "hold", seconds: 60 },
  ],
  vacuum: { onAtCelsius: 510, levelHectopascals: 40, release: { kind: "hold-start", hold: 1 } },
  cooling: { kind: "free" },
};

/** The same where nobody planned a vacuum. */
const inAir: Plan = { ...plan, vacuum: undefined };

const finished = (of: Plan, trace: Trace, activationEnergyJoulesPerMole = ENERGY) =>
  comparison(of, trace, { activationEnergyJoulesPerMole, isFinished: true });

const codes = (compared: Comparison) => compared.findings.map(({ code }) => code);

/** The trace with its readings changed by a function of the moment. */
const changed = (trace: Trace, change: (sample: Sample) => Partial<Sample>): Trace =>
  trace.map((sample) => ({ ...sample, ...change(sample) }));

/** Time stretched: everything after a moment comes later by a stand-still at the temperature of that moment. */
function stalledAt(trace: Trace, atSeconds: number, lengthSeconds: number, dipKelvin = 0): Trace {
  const before = trace.filter((sample) => sample.atSeconds <= atSeconds);
  const after = trace.filter((sample) => sample.atSeconds > atSeconds);
  const level = before.at(-1)?.celsius ?? 0;
  const still = Array.from({ length: lengthSeconds }, (_, index) => ({
    atSeconds: atSeconds + index + 1,
    celsius: level - dipKelvin * Math.sin((Math.PI * (index + 1)) / (lengthSeconds + 1)),
  }));
  return [...before, ...still, ...after.map((s) => ({ ...s, atSeconds: s.atSeconds + lengthSeconds }))];
}

describe("a bake that went as planned", () => {
  const compared = finished(inAir, fired(plan));

  it("has its corners where the plan has them", () => {
    expect(compared.planZeroSeconds).toBeCloseTo(0, 1);
    expect(compared.climbs[0]?.actual?.startSeconds).toBeCloseTo(240, 1);
    expect(compared.holds[0]?.actual?.startSeconds).toBeCloseTo(240 + 250 / 0.75, 1);
    expect(compared.holds[0]?.actual?.lengthSeconds).toBeCloseTo(60, 1);
    expect(compared.cooling.actual?.kelvinPerMinute).toBeCloseTo(60, 1);
  });

  it("climbs at the planned rate and keeps the hold in its band", () => {
    expect(compared.climbs[0]?.actual?.kelvinPerMinute).toBeCloseTo(45, 6);
    expect(compared.holds[0]?.actual?.meanCelsius).toBeCloseTo(760, 1);
    expect(compared.holds[0]?.actual?.secondsInBand).toBeCloseTo(60, 0);
    expect([compared.overshootKelvin, compared.overshootSeconds, compared.undershootKelvin]).toEqual([
      0, 0, 0,
    ]);
  });

  it("says only that", () => {
    expect(codes(compared)).toEqual(["as-planned"]);
  });

  it("gives plan and trace the trace's own cooling", () => {
    const slow = fired(plan).filter((sample) => sample.celsius === 760 || sample.atSeconds < 600);
    const top = slow.at(-1)?.atSeconds ?? 0;
    const slowly = [
      ...slow,
      ...Array.from({ length: 500 }, (_, i) => ({ atSeconds: top + i + 1, celsius: 760 - (i + 1) / 2 })),
    ];
    const compared = finished(plan, slowly);
    expect(compared.heatWork.ratio).toBeCloseTo(1, 2);
    expect(compared.heatWork.plannedEquivalentSeconds).toBeGreaterThan(
      finished(plan, fired(plan)).heatWork.plannedEquivalentSeconds + 10,
    );
  });
});

describe("heat work beside the plan", () => {
  propertyIt.prop([
    fc.constantFrom(...DEMONSTRATION_PLANS),
    fc.integer({ min: -30, max: 30 }),
    fc.integer({ min: 250_000, max: 450_000 }),
  ])(
    "of a plan fired hotter by some kelvins has these kelvins as its equivalent offset",
    (of, kelvin, energy) => {
      const { heatWork } = finished(
        of,
        changed(fired(of), (sample) => ({ celsius: sample.celsius + kelvin })),
        energy,
      );
      expect(heatWork.equivalentOffsetKelvin).toBeCloseTo(kelvin, 0);
      expect(heatWork.referenceCelsius).toBe(topCelsius(of));
      if (kelvin !== 0) expect(Math.sign((heatWork.ratio ?? 1) - 1)).toBe(Math.sign(kelvin));
    },
  );

  it("is more, the longer the hold", () => {
    const longer = stalledAt(fired(plan), 600, 30);
    const { heatWork, findings } = finished(plan, longer);
    expect(
      heatWork.deliveredEquivalentSeconds - finished(plan, fired(plan)).heatWork.deliveredEquivalentSeconds,
    ).toBeCloseTo(30, 1);
    expect(findings[0]).toMatchObject({ code: "hold-long", planned: 60 });
    expect(findings[0]?.heatWorkEffectFraction).toBeCloseTo(30 / heatWork.plannedEquivalentSeconds, 2);
  });

  it("leaves out a gap and says what it cost", () => {
    const holed = fired(plan).filter(({ atSeconds }) => atSeconds <= 590 || atSeconds >= 610);
    const compared = finished(plan, holed);
    expect(compared.gaps).toEqual([{ fromSeconds: 590, toSeconds: 610 }]);
    const gap = compared.findings.find(({ code }) => code === "gap");
    expect(gap?.actual).toBe(20);
    expect(gap?.heatWorkEffectFraction).toBeCloseTo(-20 / compared.heatWork.plannedEquivalentSeconds, 3);
  });
});

describe("a furnace that misbehaves", () => {
  it("stalls in the climb: one climb, and the stall is told", () => {
    const compared = finished(plan, stalledAt(fired(plan), 400, 45));
    expect(compared.climbs[0]?.actual?.startSeconds).toBeCloseTo(240, 0);
    expect(compared.findings.find(({ code }) => code === "climb-stalled")?.actual).toBeCloseTo(46, 0);
    expect(codes(compared)).not.toContain("climb-slow");
  });

  it("is opened in the climb: the dip does not split it", () => {
    const compared = finished(plan, stalledAt(fired(plan), 450, 60, 80));
    expect(compared.climbs).toHaveLength(1);
    expect(compared.climbs[0]?.actual?.startSeconds).toBeCloseTo(240, 0);
    expect(compared.holds[0]?.actual?.lengthSeconds).toBeCloseTo(60, 0);
  });

  it("is opened in the hold: one hold, with its undershoot", () => {
    const compared = finished(plan, stalledAt(fired(plan), 600, 30, 40));
    expect(compared.holds[0]?.actual?.lengthSeconds).toBeCloseTo(90, 0);
    expect(compared.undershootKelvin).toBeGreaterThan(38);
    expect(codes(compared)).toContain("undershoot");
  });

  it("overshoots by a triangle: kelvins, seconds and share of heat work", () => {
    // sintering-worked-examples, heat-work-triangular-overshoot: +15 K within 10 s, back within 20 s.
    const reached = 240 + 250 / 0.75;
    const peak = (s: number) => (s < 10 ? 1.5 * s : s < 30 ? 15 - 0.75 * (s - 10) : 0);
    const compared = finished(
      plan,
      changed(fired(plan), (s) => ({
        celsius: s.celsius + Math.max(0, peak(s.atSeconds - reached)) * Number(s.atSeconds > reached),
      })),
    );
    expect(compared.overshootKelvin).toBeCloseTo(15, 0);
    expect(compared.overshootSeconds).toBeGreaterThan(29);
    expect(compared.overshootSeconds).toBeLessThan(31);
    expect(codes(compared)[0]).toBe("overshoot");
  });

  it("never gets there: what was missing at the peak", () => {
    const compared = finished(
      plan,
      changed(fired(plan), (s) => ({ celsius: Math.min(s.celsius, 741) })),
    );
    expect(compared.holds[0]?.isReached).toBe(false);
    expect(compared.undershootKelvin).toBeCloseTo(19, 6);
    expect(compared.findings[0]).toMatchObject({
      code: "top-not-reached",
      planned: 760,
      actual: 741,
      needsPerson: true,
    });
  });

  it("is switched off in the climb: the record says it never reached its top", () => {
    const off = fired(plan)
      .map((s) => (s.atSeconds > 420 ? { ...s, celsius: 645 - (s.atSeconds - 420) } : s))
      .filter((s) => s.celsius > 300);
    expect(codes(finished(plan, off))).toContain("top-not-reached");
  });

  it("reads one wild value: not an overshoot", () => {
    const compared = finished(
      inAir,
      changed(fired(plan), (s) => (s.atSeconds === 500 ? { celsius: 1241 } : {})),
    );
    expect(compared.peakCelsius).toBe(760);
    expect(codes(compared)).toEqual(["wild-readings"]);
  });
});

describe("the vacuum", () => {
  const pumped = (onAt: number, level: number, offAt: number) =>
    changed(fired(plan), ({ atSeconds }) => ({
      hectopascals:
        atSeconds < onAt || atSeconds > offAt + 5
          ? 1000
          : atSeconds > offAt
            ? level + ((1000 - level) * (atSeconds - offAt)) / 5
            : level + (1000 - level) * Math.exp(-(atSeconds - onAt) / 8),
    }));
  const reached = 240 + 250 / 0.75;

  it("that came, held and ended as planned has nothing to tell", () => {
    const compared = finished(plan, pumped(240, 38, reached));
    expect(codes(compared)).toEqual(["as-planned"]);
    expect(compared.vacuum.actual?.onAtCelsius).toBeCloseTo(510, 0);
    expect(compared.vacuum.actual?.levelHectopascals).toBeCloseTo(38, 0);
    expect(compared.vacuum.actual?.pumpDownSeconds).toBeGreaterThan(35);
    expect(Math.abs((compared.vacuum.actual?.releaseAtSeconds ?? 0) - reached)).toBeLessThan(2);
  });

  it.each([
    { what: "late", code: "vacuum-late", trace: pumped(400, 38, reached) },
    { what: "weak", code: "vacuum-weak", trace: pumped(240, 180, reached) },
    { what: "dropped early", code: "vacuum-released-early", trace: pumped(240, 38, 420) },
    { what: "kept too long", code: "vacuum-released-late", trace: pumped(240, 38, reached + 40) },
    { what: "absent", code: "vacuum-absent", trace: changed(fired(plan), () => ({ hectopascals: 1002 })) },
  ])("that is $what is told", ({ code, trace }) => {
    expect(codes(finished(plan, trace))).toEqual([code]);
  });

  it("that nobody measured is not said to be absent", () => {
    const compared = finished(plan, fired(plan));
    expect(compared.vacuum.isMeasured).toBe(false);
    expect(codes(compared)).toEqual(["as-planned", "vacuum-not-measured"]);
  });
});

describe("a running bake", () => {
  it("goes through its stages in order, never backwards", () => {
    const trace = fired(plan);
    const order = ["drying", "climb", "hold", "cooling", "done"];
    const seen = trace
      .filter((_, index) => index % 10 === 0)
      .map(
        (_, index) =>
          comparison(plan, trace.slice(0, index * 10 + 1), {
            activationEnergyJoulesPerMole: ENERGY,
            isFinished: false,
          }).stage.kind,
      );
    expect([...new Set(seen)]).toEqual(["drying", "climb", "hold", "cooling"]);
    const places = seen.map((kind) => order.indexOf(kind));
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  it("says the same at its end as afterwards, but for what finishing decides", () => {
    const { samples } = simulateBake({ plan, seed: 77, noiseKelvin: 0.5 });
    const live = comparison(plan, samples, { activationEnergyJoulesPerMole: ENERGY, isFinished: false });
    const afterwards = finished(plan, samples);
    expect({ ...afterwards, stage: live.stage, findings: [] }).toEqual({ ...live, findings: [] });
  });

  it("has nothing to tell before anything came", () => {
    const compared = comparison(plan, [], { activationEnergyJoulesPerMole: ENERGY, isFinished: false });
    expect(compared.stage).toEqual({ kind: "drying", index: 1 });
    expect(compared.findings).toEqual([]);
    expect(compared.peakCelsius).toBeNull();
  });

  it("delivers heat work that only grows", () => {
    const { samples } = simulateBake({ plan, seed: 78, noiseKelvin: 0.5 });
    const works = [400, 700, 900, 1000, 1100].map(
      (length) =>
        comparison(plan, samples.slice(0, length), {
          activationEnergyJoulesPerMole: ENERGY,
          isFinished: false,
        }).heatWork.deliveredEquivalentSeconds,
    );
    expect(works).toEqual([...works].sort((a, b) => a - b));
  });
});

describe("drying", () => {
  it("is judged only when the trace is known to begin with it", () => {
    const late = fired(plan).filter(({ atSeconds }) => atSeconds >= 150);
    expect(codes(finished(inAir, late))).toEqual(["as-planned"]);
    const begun = comparison(inAir, late, {
      activationEnergyJoulesPerMole: ENERGY,
      isFinished: true,
      startsWithDrying: true,
    });
    expect(begun.findings).toMatchObject([{ code: "drying-short", planned: 240, needsPerson: true }]);
    expect(begun.drying.actual?.lengthSeconds).toBeCloseTo(90, 0);
  });
});

it("takes a bake of half a million readings", () => {
  const { holds, heatWork } = finished(plan, fired(plan, 0.002));
  expect(holds[0]?.actual?.lengthSeconds).toBeCloseTo(60, 1);
  expect(heatWork.ratio).toBeCloseTo(1, 3);
});

it("throws on time that runs backwards", () => {
  const backwards = [...fired(plan).slice(0, 50), { atSeconds: 3, celsius: 510 }];
  expect(() => finished(plan, backwards)).toThrow(/requires rising time/);
});

it("finds as many climbs and holds as the plan has", () => {
  for (const of of DEMONSTRATION_PLANS) expect(finished(of, fired(of)).holds).toHaveLength(legs(of).length);
});
