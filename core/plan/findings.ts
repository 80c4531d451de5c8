import { legs, type Plan } from "#core/plan/plan";
import { planLengthSeconds } from "#core/plan/setpoint";

/** What is wrong with a plan. `refuses` marks what cannot be fired at all. */
export interface PlanFinding {
  readonly code:
    | "first-step-holds"
    | "climbs-downwards"
    | "climb-of-nothing"
    | "climb-very-fast"
    | "top-very-hot"
    | "no-climb"
    | "vacuum-never-starts"
    | "vacuum-released-before-it-starts"
    | "vacuum-hold-missing"
    | "vacuum-not-low"
    | "cooling-upwards"
    | "opens-above-top"
    | "drying-absent"
    | "takes-too-long"
    | "climb-faster-than-furnace"
    | "vacuum-above-closure"
    | "vacuum-released-before-closure"
    | "drying-cut-short"
    | "top-above-limit";
  readonly refuses: boolean;
  /** Which step of `plan.steps`, counted from 1. */
  readonly step?: number | undefined;
  readonly sentence: string;
}

/** Faster than small furnaces manage, K/min (common practice, no source). */
const FASTEST_CLIMB_KELVIN_PER_MINUTE = 150;

/** Hotter than glass-ceramic layers and their furnaces bear, °C (common practice, no source). */
const HOTTEST_TOP_CELSIUS = 1200;

/** No bake takes longer, h: what does is a slip of the hand in a rate or a hold (our choice). */
const LONGEST_HOURS = 48;

/** A vacuum weaker than this takes too little air out to matter, hPa (common practice, no source). */
const WEAKEST_VACUUM_HECTOPASCALS = 300;

/**
 * What is wrong with a plan, in the order of its steps.
 * @param plan a plan that its schema has let in
 * @returns an empty list when nothing is wrong
 * @example planFindings({ name: "t", dryingSeconds: 60, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 400, kelvinPerMinute: 50 }], cooling: { kind: "free" } }).map((finding) => finding.code) // ["climbs-downwards"]
 */
export function planFindings(plan: Plan): PlanFinding[] {
  return [
    ...stepFindings(plan),
    ...vacuumFindings(plan),
    ...coolingFindings(plan),
    ...lengthFindings(plan),
    ...(plan.dryingSeconds > 0
      ? []
      : [notice("drying-absent", undefined, "no drying time: a damp build-up may burst or turn grey")]),
  ];
}

function stepFindings(plan: Plan): PlanFinding[] {
  const found: PlanFinding[] = [];
  if (!plan.steps.some((step) => step.kind === "climb"))
    found.push(refusal("no-climb", undefined, "no climb: add a step of kind climb"));
  let fromCelsius = plan.lowCelsius;
  plan.steps.forEach((step, index) => {
    const number = index + 1;
    if (step.kind === "hold") {
      if (index === 0)
        found.push(
          refusal("first-step-holds", number, "step 1 is a hold: begin with a climb, or use lowHoldSeconds"),
        );
      return;
    }
    found.push(...climbFindings(fromCelsius, step.toCelsius, step.kelvinPerMinute, number));
    fromCelsius = step.toCelsius;
  });
  return found;
}

function climbFindings(from: number, to: number, kelvinPerMinute: number, step: number): PlanFinding[] {
  const found: PlanFinding[] = [];
  if (to < from)
    found.push(
      refusal(
        "climbs-downwards",
        step,
        `step ${step} climbs downwards, from ${from} to ${to} °C: raise its toCelsius`,
      ),
    );
  if (to === from)
    found.push(
      refusal(
        "climb-of-nothing",
        step,
        `step ${step} climbs from ${from} to ${to} °C, which is no climb: leave it out, or lengthen the hold before it`,
      ),
    );
  if (kelvinPerMinute > FASTEST_CLIMB_KELVIN_PER_MINUTE)
    found.push(
      notice(
        "climb-very-fast",
        step,
        `step ${step} climbs at ${kelvinPerMinute} K/min, faster than small furnaces manage`,
      ),
    );
  if (to > HOTTEST_TOP_CELSIUS)
    found.push(
      notice("top-very-hot", step, `step ${step} goes to ${to} °C, above what a small furnace bears`),
    );
  return found;
}

function vacuumFindings(plan: Plan): PlanFinding[] {
  const { vacuum } = plan;
  if (!vacuum) return [];
  const found: PlanFinding[] = [];
  const climbs = legs(plan);
  const top = Math.max(plan.lowCelsius, ...climbs.map((leg) => leg.toCelsius));
  if (vacuum.onAtCelsius > top)
    found.push(
      refusal(
        "vacuum-never-starts",
        undefined,
        `vacuum starts at ${vacuum.onAtCelsius} °C, above the top of ${top} °C`,
      ),
    );
  if (vacuum.release.kind === "at-temperature") {
    const releaseCelsius = vacuum.release.celsius;
    if (releaseCelsius <= vacuum.onAtCelsius)
      found.push(
        refusal(
          "vacuum-released-before-it-starts",
          undefined,
          `vacuum ends at ${releaseCelsius} °C, not above its start at ${vacuum.onAtCelsius} °C`,
        ),
      );
    else if (releaseCelsius > top)
      found.push(
        refusal(
          "vacuum-never-starts",
          undefined,
          `vacuum ends at ${releaseCelsius} °C, above the top of ${top} °C`,
        ),
      );
  } else if (vacuum.release.hold > climbs.length)
    found.push(
      refusal(
        "vacuum-hold-missing",
        undefined,
        `vacuum ends with hold ${vacuum.release.hold}, but the plan has ${climbs.length} climb(s) with a hold`,
      ),
    );
  if (vacuum.levelHectopascals > WEAKEST_VACUUM_HECTOPASCALS)
    found.push(
      notice("vacuum-not-low", undefined, `a vacuum of ${vacuum.levelHectopascals} hPa takes little air out`),
    );
  return found;
}

function coolingFindings(plan: Plan): PlanFinding[] {
  const lastCelsius = legs(plan).at(-1)?.toCelsius ?? plan.lowCelsius;
  if (plan.cooling.kind === "steady" && plan.cooling.toCelsius >= lastCelsius)
    return [
      refusal(
        "cooling-upwards",
        undefined,
        `cooling goes to ${plan.cooling.toCelsius} °C, not below the last ${lastCelsius} °C`,
      ),
    ];
  if (plan.cooling.kind === "free" && (plan.cooling.openAtCelsius ?? 0) > lastCelsius)
    return [
      notice(
        "opens-above-top",
        undefined,
        `the muffle opens at ${plan.cooling.openAtCelsius} °C, which the bake is never above`,
      ),
    ];
  return [];
}

function lengthFindings(plan: Plan): PlanFinding[] {
  const hours = planLengthSeconds(plan) / 3600;
  if (hours <= LONGEST_HOURS) return [];
  return [
    refusal(
      "takes-too-long",
      undefined,
      `the plan takes ${Math.ceil(hours)} hours, more than ${LONGEST_HOURS}: raise a rate or shorten a hold`,
    ),
  ];
}

function refusal(code: PlanFinding["code"], step: number | undefined, sentence: string): PlanFinding {
  return { code, refuses: true, step, sentence };
}

function notice(code: PlanFinding["code"], step: number | undefined, sentence: string): PlanFinding {
  return { code, refuses: false, step, sentence };
}
