import {
  curveEquivalentSeconds,
  equivalentOffsetKelvin,
  heatWorkEquivalentSeconds,
} from "#core/heat/heat-work";
import { legs, type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds, setpointCelsius, setpointCurve } from "#core/plan/setpoint";
import type { Comparison, Finding } from "#shared/comparison";
import type { PlanRevision } from "#shared/plan";
import type { Sample } from "#shared/sample";

const SAMPLES_PER_SECOND = 4;
const kinetics = (plan: Plan) => ({
  activationEnergyJoulesPerMole: 325_000,
  referenceCelsius: topCelsius(plan),
});

/** Three invented plans, for screens and tests of the kiosk alone. */
export function madeUpPlans(): PlanRevision[] {
  const plans: Plan[] = [
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
  }));
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

/** A comparison of a made-up trace with its plan: the shape of the real one, reckoned plainly. */
export function madeUpComparison(plan: Plan, samples: readonly Sample[]): Comparison {
  const now = samples.at(-1)?.atSeconds ?? 0;
  const planLegs = legs(plan);
  const lastHoldEnd = planLegs.at(-1)?.holdEndSeconds ?? 0;
  const ownCooling =
    plan.cooling.kind === "free" ? samples.filter(({ atSeconds }) => atSeconds > lastHoldEnd) : [];
  const curve = [...setpointCurve(plan), ...ownCooling];
  const planned = curveEquivalentSeconds(curve, kinetics(plan));
  const delivered = heatWorkEquivalentSeconds(samples, kinetics(plan));
  const peak = samples.reduce<Sample | null>(
    (best, sample) => (best && best.celsius >= sample.celsius ? best : sample),
    null,
  );
  const top = topCelsius(plan);
  const topSeconds = lastHoldEnd;
  const overshootKelvin = Math.max(0, (peak?.celsius ?? 0) - top);
  const ratio = delivered / planned;
  const findings: Finding[] = [];
  const legNow = planLegs.find((leg) => now < leg.holdEndSeconds);
  const lag = legNow ? (setpointCelsius(plan, now) ?? 0) - (samples.at(-1)?.celsius ?? 0) : 0;
  if (lag > 4 && legNow && now > legNow.climbStartSeconds + 60)
    findings.push({
      code: "climb-slow",
      index: planLegs.indexOf(legNow) + 1,
      planned: legNow.kelvinPerMinute,
      actual: legNow.kelvinPerMinute * 0.94,
      heatWorkEffectFraction: -0.11,
      needsPerson: true,
    });
  if (now > topSeconds && overshootKelvin > 1.5)
    findings.push({
      code: "overshoot",
      index: planLegs.length,
      planned: 0,
      actual: overshootKelvin,
      heatWorkEffectFraction: 0.02,
      needsPerson: false,
    });
  if (now > topSeconds && ratio < 0.95)
    findings.unshift({
      code: "hold-low",
      index: planLegs.length,
      planned: top,
      actual: top - 5,
      heatWorkEffectFraction: ratio - 1,
      needsPerson: true,
    });
  return {
    modelVersion: 1,
    stage: stageAt(plan, now),
    planZeroSeconds: 0,
    peakCelsius: peak?.celsius ?? null,
    peakAtSeconds: peak?.atSeconds ?? null,
    overshootKelvin,
    overshootSeconds: samples.filter((sample) => sample.celsius > top + 0.5).length / SAMPLES_PER_SECOND,
    undershootKelvin: 0,
    drying: {
      planned: { lengthSeconds: plan.dryingSeconds },
      actual: { lengthSeconds: Math.min(now, plan.dryingSeconds) },
    },
    climbs: planLegs.map((leg, index) => ({
      index: index + 1,
      fromCelsius: leg.fromCelsius,
      toCelsius: leg.toCelsius,
      planned: {
        startSeconds: leg.climbStartSeconds,
        lengthSeconds: leg.holdStartSeconds - leg.climbStartSeconds,
        kelvinPerMinute: leg.kelvinPerMinute,
      },
      actual:
        now > leg.climbStartSeconds
          ? {
              startSeconds: leg.climbStartSeconds,
              lengthSeconds: Math.min(now, leg.holdStartSeconds + 12) - leg.climbStartSeconds,
              kelvinPerMinute: leg.kelvinPerMinute * 0.96,
              isComplete: now > leg.holdStartSeconds + 12,
            }
          : null,
      lagKelvin: now > leg.climbStartSeconds ? 6 : null,
    })),
    holds: planLegs.map((leg, index) => ({
      index: index + 1,
      celsius: leg.toCelsius,
      bandKelvin: 2,
      planned: { startSeconds: leg.holdStartSeconds, lengthSeconds: leg.holdSeconds },
      actual:
        now > leg.holdStartSeconds + 12
          ? {
              startSeconds: leg.holdStartSeconds + 12,
              lengthSeconds: Math.max(0, Math.min(now, leg.holdEndSeconds) - leg.holdStartSeconds - 12),
              meanCelsius: leg.toCelsius - 0.6,
              spreadKelvin: 0.9,
              secondsInBand: Math.max(0, leg.holdSeconds - 18),
              isComplete: now > leg.holdEndSeconds,
            }
          : null,
      isReached: now > leg.holdStartSeconds + 12,
      overshootKelvin: index === planLegs.length - 1 ? overshootKelvin : 0,
      overshootSeconds: 8,
      undershootKelvin: 0.8,
    })),
    cooling: {
      planned:
        plan.cooling.kind === "steady"
          ? { kelvinPerMinute: plan.cooling.kelvinPerMinute, toCelsius: plan.cooling.toCelsius }
          : { kelvinPerMinute: null, toCelsius: plan.cooling.openAtCelsius ?? null },
      actual:
        now > topSeconds
          ? { startSeconds: topSeconds, lengthSeconds: now - topSeconds, kelvinPerMinute: 64 }
          : null,
    },
    vacuum: {
      planned: plan.vacuum
        ? {
            onAtCelsius: plan.vacuum.onAtCelsius,
            levelHectopascals: plan.vacuum.levelHectopascals,
            releaseCelsius: top,
          }
        : null,
      actual: null,
      isMeasured: plan.vacuum !== undefined,
    },
    heatWork: {
      ...kinetics(plan),
      plannedEquivalentSeconds: planned,
      deliveredEquivalentSeconds: delivered,
      ratio,
      equivalentOffsetKelvin:
        now > topSeconds ? equivalentOffsetKelvin(curve, delivered, kinetics(plan)) : null,
    },
    gaps: [],
    findings:
      findings.length > 0
        ? findings
        : now > topSeconds
          ? [{ code: "as-planned", heatWorkEffectFraction: 0, needsPerson: false }]
          : [],
  };
}

function stageAt(plan: Plan, now: number): Comparison["stage"] {
  const planLegs = legs(plan);
  const first = planLegs[0];
  if (!first || now < first.climbStartSeconds) return { kind: "drying", index: 1 };
  const index = planLegs.findIndex((leg) => now < leg.holdEndSeconds);
  const leg = planLegs[index];
  if (!leg) return { kind: "cooling", index: 1 };
  return { kind: now < leg.holdStartSeconds + 12 ? "climb" : "hold", index: index + 1 };
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
