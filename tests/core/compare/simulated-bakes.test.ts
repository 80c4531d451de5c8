import { describe, expect, it } from "vitest";
import { comparison } from "#core/compare/comparison";
import { effectivePlan } from "#core/plan/adapt";
import type { BakeCase } from "#core/plan/bake-case";
import { DEMONSTRATION_CARDS } from "#core/plan/demonstration-plans";
import { legs, type Plan } from "#core/plan/plan";
import type { SimulatedBake } from "#simulators/simulate-bake";
import { simulateBake } from "#simulators/simulate-bake";

/** Seeds that no rule was tuned on. */
const FIRST_SEED = 40_001;
const BAKES = 200;

const FIRST: BakeCase = { framework: "zirconia", caseSize: "small", bake: "first" };

/** What the demonstration cards give: three for their usual case, one of them for three others, too. */
const PLANS: readonly Plan[] = [
  planOf(0, FIRST),
  planOf(1, FIRST),
  planOf(1, { ...FIRST, caseSize: "large" }),
  planOf(1, { ...FIRST, bake: "second" }),
  planOf(1, { ...FIRST, framework: "lithium-disilicate" }),
  planOf(2, FIRST),
];

/** What a bake really did, read off the simulator's own noise-free curve, five points a second. */
interface Truth {
  readonly holdStartSeconds: number;
  readonly overshootKelvin: number;
  readonly undershootKelvin: number;
  readonly kelvinPerMinute: number;
}

describe(`the comparison of ${BAKES} simulated bakes with 0.5 K of noise at 1 Hz`, () => {
  const errors = Array.from({ length: BAKES }, (_, index) => FIRST_SEED + index).flatMap(errorsOfBake);

  it("finds every hold that was reached, and says so where one was not", () => {
    expect(errors.filter(({ isAgreed }) => !isAgreed)).toEqual([]);
    expect(errors.length).toBeGreaterThan(BAKES);
  });

  it.each([
    { what: "overshoot", unit: "K", limit: 1 },
    { what: "undershoot", unit: "K", limit: 1 },
    { what: "hold start", unit: "s", limit: 3 },
    { what: "climb rate", unit: "%", limit: 1 },
  ] as const)("has the $what within $limit $unit of the truth, every time", ({ what, unit, limit }) => {
    const sizes = errors.map((error) => ({ name: error.name, size: Math.abs(error[what]) }));
    const sorted = sizes.map(({ size }) => size).sort((a, b) => a - b);
    const at = (share: number) => (sorted[Math.floor(share * (sorted.length - 1))] ?? 0).toFixed(2);
    console.log(
      `${what}: median ${at(0.5)} ${unit}, 95 % ${at(0.95)}, largest ${at(1)} of ${sorted.length} holds`,
    );
    expect(sizes.filter(({ size }) => !(size <= limit))).toEqual([]);
  });
});

describe("a running simulated bake", () => {
  it.each(Array.from({ length: 12 }, (_, index) => ({ seed: FIRST_SEED + index })))(
    "tells nothing that it takes back, but for the rate of a climb (seed $seed)",
    ({ seed }) => {
      const plan = PLANS[seed % PLANS.length];
      if (!plan) throw new RangeError("there are no demonstration plans");
      const { samples } = simulateBake({ plan, seed, noiseKelvin: 0.5 });
      const codesAt = (length: number) =>
        comparison(plan, samples.slice(0, length), {
          activationEnergyJoulesPerMole: 325_000,
          isFinished: length === samples.length,
          startsWithDrying: true,
        }).findings.map(({ code, index }) => `${code} ${index ?? ""}`);
      const lengths = Array.from({ length: Math.floor(samples.length / 15) }, (_, index) => index * 15);
      const told = new Set(lengths.flatMap(codesAt).filter((code) => !/^climb-(slow|fast)/.test(code)));
      const kept = codesAt(samples.length);
      expect([...told].filter((code) => !kept.includes(code))).toEqual([]);
    },
  );
});

function planOf(index: number, bakeCase: BakeCase): Plan {
  const card = DEMONSTRATION_CARDS[index]?.card;
  const effective = card && effectivePlan(card, bakeCase, null);
  if (!effective?.ok) throw new RangeError(`no demonstration card ${index} for such a case`);
  return effective.plan;
}

function errorsOfBake(seed: number) {
  const plan = PLANS[seed % PLANS.length];
  if (!plan) throw new RangeError("there are no demonstration plans");
  const bake = simulateBake({ plan, seed, noiseKelvin: 0.5, stepSeconds: 1 });
  const found = comparison(plan, bake.samples, { activationEnergyJoulesPerMole: 325_000, isFinished: true });
  return legs(plan).map((_, index) => {
    const truth = truthOfLeg(plan, bake, index);
    const hold = found.holds[index];
    const climb = found.climbs[index];
    const name = `seed ${seed}, ${plan.name}, hold ${index + 1}`;
    if (!truth || !hold?.actual || climb?.actual?.kelvinPerMinute == null)
      return {
        name,
        isAgreed: truth === null && hold?.isReached === false,
        overshoot: 0,
        undershoot: 0,
        "hold start": 0,
        "climb rate": 0,
      };
    return {
      name,
      isAgreed: hold.isReached,
      overshoot: hold.overshootKelvin - truth.overshootKelvin,
      undershoot: hold.undershootKelvin - truth.undershootKelvin,
      "hold start": hold.actual.startSeconds - truth.holdStartSeconds,
      "climb rate": 100 * (climb.actual.kelvinPerMinute / truth.kelvinPerMinute - 1),
    };
  });
}

/**
 * The same words, measured on the true curve: the hold starts where the climb's last 30 K, carried on from
 * 3 K below, meet its temperature; the rate is the mean from 20 % to 90 % of the rise. Null for a hold whose
 * true curve never came within 3 K.
 */
function truthOfLeg(plan: Plan, bake: SimulatedBake, index: number): Truth | null {
  const leg = legs(plan)[index];
  const isLast = index === legs(plan).length - 1;
  if (!leg) return null;
  const fromSeconds = bake.events.climbStartSeconds[index] ?? 0;
  const leftSeconds = isLast
    ? bake.events.coolingStartSeconds
    : (bake.events.climbStartSeconds[index + 1] ?? Number.POSITIVE_INFINITY);
  const curve = bake.truth.filter(({ atSeconds }) => atSeconds >= fromSeconds);
  const rise = leg.toCelsius - leg.fromCelsius;
  const near = Math.min(3, 0.1 * rise);
  const line = Math.min(30, 0.4 * rise);
  const nearAt = firstAt(curve, leg.toCelsius - near);
  if (nearAt === null || nearAt > leftSeconds + 30) return null;
  const belowAt = lastAt(curve, leg.toCelsius - near - line, nearAt);
  const carriedOn = nearAt + (near / line) * (nearAt - belowAt);
  const holdStartSeconds = Math.min(carriedOn, firstAt(curve, leg.toCelsius) ?? Number.POSITIVE_INFINITY);
  const upperAt = firstAt(curve, leg.fromCelsius + 0.9 * rise) ?? Number.NaN;
  const lowerAt = lastAt(curve, leg.fromCelsius + 0.2 * rise, upperAt);
  const over = curve.filter(
    (point) => point.atSeconds >= holdStartSeconds && (isLast || point.atSeconds <= leftSeconds),
  );
  const held = curve.filter((point) => point.atSeconds >= holdStartSeconds && point.atSeconds <= leftSeconds);
  const missingAtPeak = isLast ? leg.toCelsius - Math.max(...curve.map((point) => point.celsius)) : 0;
  return {
    holdStartSeconds,
    overshootKelvin: Math.max(0, ...over.map((point) => point.celsius - leg.toCelsius)),
    undershootKelvin: Math.max(0, missingAtPeak, ...held.map((point) => leg.toCelsius - point.celsius)),
    kelvinPerMinute: ((0.7 * rise) / (upperAt - lowerAt)) * 60,
  };
}

type Curve = readonly { readonly atSeconds: number; readonly celsius: number }[];

function firstAt(curve: Curve, celsius: number): number | null {
  const index = curve.findIndex((point) => point.celsius >= celsius);
  return index > 0 ? passing(curve, index, celsius) : null;
}

function lastAt(curve: Curve, celsius: number, beforeSeconds: number): number {
  const index = curve.findLastIndex(
    (point, at) =>
      point.atSeconds <= beforeSeconds &&
      point.celsius >= celsius &&
      (curve[at - 1]?.celsius ?? celsius) < celsius,
  );
  return passing(curve, index, celsius);
}

function passing(curve: Curve, index: number, celsius: number): number {
  const to = curve[index];
  const from = curve[index - 1];
  if (!to || !from) return Number.NaN;
  const share = (celsius - from.celsius) / (to.celsius - from.celsius);
  return from.atSeconds + share * (to.atSeconds - from.atSeconds);
}
