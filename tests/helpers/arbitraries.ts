import fc from "fast-check";
import type { Kinetics } from "#core/heat/heat-work";
import type { Plan, PlanStep } from "#core/plan/plan";
import { SHORTEST_GAP_SECONDS, type Trace } from "#core/trace/trace";

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** Traces of a small furnace: 20 to 1200 °C, at most 3 K/s, without gaps. */
export function traces({ minLength = 2, maxLength = 40 } = {}): fc.Arbitrary<Trace> {
  const step = fc.record({
    seconds: number(0.2, SHORTEST_GAP_SECONDS - 0.5),
    kelvinPerSecond: number(-3, 3),
  });
  return fc
    .tuple(number(20, 1200), fc.array(step, { minLength: minLength - 1, maxLength: maxLength - 1 }))
    .map(([startCelsius, steps]) => {
      const samples = [{ atSeconds: 0, celsius: startCelsius }];
      let { atSeconds, celsius } = { atSeconds: 0, celsius: startCelsius };
      for (const { seconds, kelvinPerSecond } of steps) {
        atSeconds += seconds;
        celsius = Math.min(1200, Math.max(20, celsius + seconds * kelvinPerSecond));
        samples.push({ atSeconds, celsius });
      }
      return samples;
    });
}

/** Kinetics in the honest range of glass-ceramic layers (design: 250 to 450 kJ/mol). */
export function kinetics(): fc.Arbitrary<Kinetics> {
  return fc.record({
    activationEnergyJoulesPerMole: number(250_000, 450_000),
    referenceCelsius: number(650, 950),
  });
}

/** Plans that can be fired: rising climbs, each with or without a hold, and any cooling. */
export function plans(): fc.Arbitrary<Plan> {
  const leg = fc.record({
    riseKelvin: fc.integer({ min: 5, max: 250 }),
    kelvinPerMinute: fc.integer({ min: 5, max: 120 }),
    holdSeconds: fc.integer({ min: 0, max: 600 }),
  });
  const cooling = fc.oneof(
    fc.constant({ kind: "free" } as const),
    fc.record({
      kind: fc.constant("steady" as const),
      toCelsius: fc.constant(200),
      kelvinPerMinute: number(5, 80),
    }),
  );
  return fc
    .record({
      dryingSeconds: fc.integer({ min: 0, max: 900 }),
      closingSeconds: fc.integer({ min: 0, max: 300 }),
      lowHoldSeconds: fc.integer({ min: 0, max: 300 }),
      lowCelsius: fc.integer({ min: 300, max: 550 }),
      legs: fc.array(leg, { minLength: 1, maxLength: 4 }),
      cooling,
    })
    .map(({ legs, lowCelsius, ...rest }) => ({
      name: "any",
      lowCelsius,
      ...rest,
      steps: stepsOf(lowCelsius, legs),
    }));
}

interface LegOfPlan {
  readonly riseKelvin: number;
  readonly kelvinPerMinute: number;
  readonly holdSeconds: number;
}

function stepsOf(lowCelsius: number, legs: readonly LegOfPlan[]): PlanStep[] {
  let toCelsius = lowCelsius;
  return legs.flatMap(({ riseKelvin, kelvinPerMinute, holdSeconds }) => {
    toCelsius += riseKelvin;
    return [
      { kind: "climb", toCelsius, kelvinPerMinute },
      { kind: "hold", seconds: holdSeconds },
    ] satisfies PlanStep[];
  });
}
