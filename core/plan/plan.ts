/** The furnace raises the chamber at a steady rate. */
export interface ClimbStep {
  readonly kind: "climb";
  readonly toCelsius: number;
  readonly kelvinPerMinute: number;
}

/** The furnace keeps the temperature that the climb before it reached. */
export interface HoldStep {
  readonly kind: "hold";
  readonly seconds: number;
}

export type PlanStep = ClimbStep | HoldStep;

/** When the vacuum ends: on passing a temperature, or with the n-th hold (counted from 1). */
export type VacuumRelease =
  | { readonly kind: "at-temperature"; readonly celsius: number }
  | { readonly kind: "hold-start"; readonly hold: number }
  | { readonly kind: "hold-end"; readonly hold: number };

/** The pump runs from a temperature on, to a level, until it is released. */
export interface VacuumWindow {
  readonly onAtCelsius: number;
  /** Absolute pressure to reach, hPa. */
  readonly levelHectopascals: number;
  readonly release: VacuumRelease;
}

/**
 * How the piece cools. Free: nothing is planned but, perhaps, the temperature at which the muffle opens.
 * Steady: the furnace is led down at a rate, then opens.
 */
export type Cooling =
  | { readonly kind: "free"; readonly openAtCelsius?: number | undefined }
  | { readonly kind: "steady"; readonly toCelsius: number; readonly kelvinPerMinute: number };

/**
 * What a bake should do.
 *
 *     °C                      ______ hold
 *                            /      \
 *              climb        /        \  cooling
 *     ________.____________/          \
 *     drying   closing, low temperature
 */
export interface Plan {
  readonly name: string;
  /** Before the muffle closes: the piece dries in the open furnace, s. */
  readonly dryingSeconds: number;
  /** While the muffle closes, s. */
  readonly closingSeconds: number;
  /** The low temperature: where the furnace stands by and the first climb begins, °C. */
  readonly lowCelsius: number;
  /** Wait at the low temperature with the muffle closed, before the first climb, s. */
  readonly lowHoldSeconds: number;
  /** Climbs and holds in the order of firing; the first is a climb. */
  readonly steps: readonly PlanStep[];
  /** Absent for a bake in air. */
  readonly vacuum?: VacuumWindow | undefined;
  readonly cooling: Cooling;
  readonly notes?: string | undefined;
}

/** One climb with the hold that follows it; the hold may be of no length. */
export interface Leg {
  readonly fromCelsius: number;
  readonly toCelsius: number;
  readonly kelvinPerMinute: number;
  readonly holdSeconds: number;
  /** Planned moments, seconds since the plan's zero. */
  readonly climbStartSeconds: number;
  readonly holdStartSeconds: number;
  readonly holdEndSeconds: number;
}

/**
 * The climbs of a plan, each with its hold, on the plan's own time.
 * Two holds in a row count as one; a hold before any climb lengthens the wait at the low temperature.
 * @param plan any plan, also one with findings
 * @returns one leg per climb, in firing order
 * @example legs({ name: "t", dryingSeconds: 60, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 52 }, { kind: "hold", seconds: 60 }], cooling: { kind: "free" } }).map((leg) => [leg.climbStartSeconds, leg.holdStartSeconds, leg.holdEndSeconds]) // [[60, 360, 420]]
 */
export function legs(plan: Plan): Leg[] {
  const found: Leg[] = [];
  let fromCelsius = plan.lowCelsius;
  let atSeconds = plan.dryingSeconds + plan.closingSeconds + plan.lowHoldSeconds;
  for (const step of plan.steps) {
    const last = found.at(-1);
    if (step.kind === "hold") {
      atSeconds += step.seconds;
      if (last)
        found[found.length - 1] = {
          ...last,
          holdSeconds: last.holdSeconds + step.seconds,
          holdEndSeconds: atSeconds,
        };
      continue;
    }
    const climbSeconds = (Math.abs(step.toCelsius - fromCelsius) / step.kelvinPerMinute) * 60;
    const reachedAtSeconds = atSeconds + climbSeconds;
    found.push({
      fromCelsius,
      toCelsius: step.toCelsius,
      kelvinPerMinute: step.kelvinPerMinute,
      holdSeconds: 0,
      climbStartSeconds: atSeconds,
      holdStartSeconds: reachedAtSeconds,
      holdEndSeconds: reachedAtSeconds,
    });
    fromCelsius = step.toCelsius;
    atSeconds = reachedAtSeconds;
  }
  return found;
}

/**
 * The highest temperature of a plan, °C: the reference temperature of its heat work.
 * @example topCelsius({ name: "t", dryingSeconds: 0, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }], cooling: { kind: "free" } }) // 760
 */
export function topCelsius(plan: Plan): number {
  return Math.max(plan.lowCelsius, ...legs(plan).map((leg) => leg.toCelsius));
}

/**
 * Which leg leads to the highest temperature, counted from 0; the last of several, −1 for a plan without climbs.
 * @example topLegIndex({ name: "t", dryingSeconds: 0, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 45 }], cooling: { kind: "free" } }) // 0
 */
export function topLegIndex(plan: Plan): number {
  const top = topCelsius(plan);
  return legs(plan).findLastIndex((leg) => leg.toCelsius === top);
}
