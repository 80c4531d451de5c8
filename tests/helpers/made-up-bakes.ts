import { comparison } from "#core/compare/comparison";
import { legs, type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds, setpointCelsius } from "#core/plan/setpoint";
import { type Comparison, comparisonSchema } from "#shared/comparison";
import type { BakePlan, PlanRevision } from "#shared/plan";
import type { Probe } from "#shared/probe";
import type { Sample } from "#shared/sample";
import type { SensorFault } from "#shared/sensor-fault";

const SAMPLES_PER_SECOND = 4;

/** Three invented plans, for screens and tests of the kiosk alone. */
export function madeUpPlans(): PlanRevision[] {
  const plans: PlanRevision["plan"][] = [
    {
      name: "Sample layer, high",
      dryingSeconds: 240,
      closingSeconds: 60,
      lowCelsius: 510,
      lowHoldSeconds: 0,
      steps: [
        { kind: "climb", toCelsius: 760, kelvinPerMinute: 35 },
        { kind: "hold", seconds: 60 },
      ],
      vacuum: { onAtCelsius: 510, levelHectopascals: 45, release: { kind: "hold-start", hold: 1 } },
      cooling: { kind: "steady", toCelsius: 550, kelvinPerMinute: 70 },
      notes: "Invented for the demonstration.",
    },
    {
      name: "Sample layer, low",
      dryingSeconds: 300,
      closingSeconds: 60,
      lowCelsius: 480,
      lowHoldSeconds: 30,
      steps: [
        { kind: "climb", toCelsius: 710, kelvinPerMinute: 45 },
        { kind: "hold", seconds: 60 },
      ],
      vacuum: { onAtCelsius: 480, levelHectopascals: 45, release: { kind: "at-temperature", celsius: 708 } },
      cooling: { kind: "free", openAtCelsius: 550 },
    },
    {
      name: "Sample glaze in air",
      dryingSeconds: 120,
      closingSeconds: 60,
      lowCelsius: 450,
      lowHoldSeconds: 0,
      steps: [
        { kind: "climb", toCelsius: 650, kelvinPerMinute: 60 },
        { kind: "hold", seconds: 20 },
        { kind: "climb", toCelsius: 730, kelvinPerMinute: 40 },
        { kind: "hold", seconds: 30 },
      ],
      cooling: { kind: "free" },
    },
  ];
  return plans.map((plan, index) => ({
    planId: index + 1,
    revision: 1,
    plan,
    savedAtEpochMilliseconds: Date.UTC(2026, 0, 5),
    isDemonstration: true,
    adaptations: [],
    limits: [],
    materialId: null,
    isRetired: false,
  }));
}

/** The base plan of a card as a bake runs it. */
export function madeUpBakePlan({ planId, revision, plan, ...saved }: PlanRevision): BakePlan {
  const { savedAtEpochMilliseconds, isDemonstration } = saved;
  return {
    planId,
    revision,
    plan,
    savedAtEpochMilliseconds,
    isDemonstration,
    case: null,
    sources: [],
    material: null,
  };
}

/** A sensor fault of an invented probe, with what a test or screen cares about changed. */
export function madeUpFault(kind: SensorFault["kind"], changes: Partial<SensorFault> = {}): SensorFault {
  return {
    kind,
    isActive: false,
    episodes: 1,
    readings: 4,
    seconds: 1,
    firstAtSeconds: 100,
    lastAtSeconds: 101,
    celsius: null,
    likelyType: null,
    needsPerson: false,
    ...changes,
  };
}

/** How a made-up furnace differs from its plan. */
export interface MadeUpCourse {
  readonly seed: number;
  /** Kelvins behind per 100 K climbed. */
  readonly slowness: number;
  readonly overshootKelvin: number;
}

/** A synthetic trace that follows a plan and then cools: repeatable, no model of a furnace. */
export function madeUpTrace(plan: Plan | null, course: MadeUpCourse): Sample[] {
  if (!plan) return [];
  const lengthSeconds = planLengthSeconds(plan);
  const topSeconds = Math.max(...legs(plan).map((leg) => leg.holdEndSeconds));
  const top = topCelsius(plan);
  const noise = noiseOf(course.seed);
  const samples: Sample[] = [];
  let celsius = plan.lowCelsius - 45;
  for (let index = 0; index < (Math.max(lengthSeconds, topSeconds) + 240) * SAMPLES_PER_SECOND; index++) {
    const atSeconds = index / SAMPLES_PER_SECOND;
    const planned = setpointCelsius(plan, atSeconds) ?? Math.max(plan.lowCelsius - 60, celsius - 18);
    const behind =
      planned > plan.lowCelsius + 1 && atSeconds < topSeconds - 30
        ? ((planned - plan.lowCelsius) * course.slowness) / 100
        : 0;
    const above = atSeconds > topSeconds - 25 && atSeconds < topSeconds ? course.overshootKelvin : 0;
    celsius += (planned - behind + above - celsius) / (12 * SAMPLES_PER_SECOND);
    const shown = Math.round((celsius + noise()) * 10) / 10;
    samples.push({
      atSeconds,
      celsius: shown,
      ...(plan.vacuum ? { hectopascals: pressure(celsius, top, atSeconds, topSeconds) } : {}),
    });
  }
  return samples;
}

/**
 * The true comparison of a made-up trace with its plan.
 * @param probe what it ran with; without one nothing is said of how sure it is
 */
export function madeUpComparison(
  plan: Plan,
  samples: readonly Sample[],
  isFinished: boolean,
  probe: Probe | null = null,
): Comparison {
  const options = { activationEnergyJoulesPerMole: 325_000, isFinished, startsWithDrying: true, probe };
  return comparisonSchema.parse(comparison(plan, samples, options));
}

function pressure(celsius: number, top: number, atSeconds: number, topSeconds: number): number {
  if (atSeconds < 300 || atSeconds > topSeconds - 60) return 1013;
  return celsius > top + 2 ? 1013 : Math.round(42 + 970 * Math.exp(-(atSeconds - 300) / 9));
}

/** Small, repeatable noise of about ±0.4 K. */
function noiseOf(seed: number): () => number {
  let state = seed * 7919 + 17;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return (state / 2_147_483_647 - 0.5) * 0.8;
  };
}
