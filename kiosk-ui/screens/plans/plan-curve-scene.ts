import { heatWorkRate, type Kinetics } from "#core/heat/heat-work";
import { sampledCurve } from "#core/plan/adaptation-effects";
import { type Plan, topCelsius } from "#core/plan/plan";
import { planLengthSeconds, type SetpointCorner, setpointCurve } from "#core/plan/setpoint";
import type { TimeWindow } from "#core/trace/decimate";
import { plannedVacuumWindow } from "#kiosk-ui/chart/stage-spans";

/** Rate of heat work at a moment: 1 at the reference temperature. */
export interface RatePoint {
  readonly atSeconds: number;
  readonly rate: number;
}

/** One plan in the picture. */
export interface DrawnPlan {
  readonly curve: readonly SetpointCorner[];
  readonly vacuum: TimeWindow | null;
  readonly rates: readonly RatePoint[];
  /** Where its top begins, for the mark beside it. */
  readonly top: SetpointCorner;
  readonly topEndSeconds: number;
}

/** Everything that the picture of one plan over another draws, in s and °C from the start of both. */
export interface PlanCurveScene {
  readonly toSeconds: number;
  readonly range: { readonly fromCelsius: number; readonly toCelsius: number };
  readonly plan: DrawnPlan;
  readonly base: DrawnPlan | null;
  /** The highest rate of heat work of both. */
  readonly mostRate: number;
}

const AIR_FRACTION = 0.08;
const LEAST_SECONDS = 60;
const LEAST_KELVIN = 20;

/**
 * What the picture of a plan draws, over another plan where there is one.
 * @param activationEnergyJoulesPerMole of the heat work, which is counted at the base plan's top
 */
export function planCurveScene(
  plan: Plan,
  base: Plan | null,
  activationEnergyJoulesPerMole: number,
): PlanCurveScene {
  const kinetics = { activationEnergyJoulesPerMole, referenceCelsius: topCelsius(base ?? plan) };
  const drawn = drawnPlan(plan, kinetics);
  const under = base && drawnPlan(base, kinetics);
  const all = [drawn, ...(under ? [under] : [])];
  const celsius = all.flatMap(({ curve }) => curve.map((corner) => corner.celsius));
  const low = Math.min(...celsius);
  const high = Math.max(low + LEAST_KELVIN, ...celsius);
  const air = (high - low) * AIR_FRACTION;
  return {
    toSeconds: Math.max(LEAST_SECONDS, planLengthSeconds(plan), base ? planLengthSeconds(base) : 0),
    range: { fromCelsius: low - air, toCelsius: high + air },
    plan: drawn,
    base: under,
    mostRate: Math.max(...all.flatMap(({ rates }) => rates.map(({ rate }) => rate))),
  };
}

function drawnPlan(plan: Plan, kinetics: Kinetics): DrawnPlan {
  const curve = setpointCurve(plan);
  const highest = topCelsius(plan);
  return {
    curve,
    vacuum: plannedVacuumWindow(plan),
    rates: sampledCurve(plan).map(({ atSeconds, celsius }) => ({
      atSeconds,
      rate: heatWorkRate(celsius, kinetics),
    })),
    top: curve.find(({ celsius }) => celsius === highest) ?? { atSeconds: 0, celsius: highest },
    topEndSeconds: curve.findLast(({ celsius }) => celsius === highest)?.atSeconds ?? 0,
  };
}
