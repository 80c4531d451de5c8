import { legs, type Plan } from "#core/plan/plan";

/** A corner of the set-point curve. */
export interface SetpointCorner {
  readonly atSeconds: number;
  readonly celsius: number;
}

/**
 * The corners of the planned curve, from the plan's zero to its planned end; straight in between.
 * A free cooling is not planned, so the curve then ends with the last hold.
 * @param plan any plan, also one with findings
 * @returns at least the two ends of the low temperature
 * @example setpointCurve({ name: "t", dryingSeconds: 60, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 52 }], cooling: { kind: "free" } }) // [{ atSeconds: 0, celsius: 500 }, { atSeconds: 60, celsius: 500 }, { atSeconds: 360, celsius: 760 }]
 */
export function setpointCurve(plan: Plan): SetpointCorner[] {
  const corners: SetpointCorner[] = [{ atSeconds: 0, celsius: plan.lowCelsius }];
  for (const leg of legs(plan)) {
    corners.push({ atSeconds: leg.climbStartSeconds, celsius: leg.fromCelsius });
    corners.push({ atSeconds: leg.holdStartSeconds, celsius: leg.toCelsius });
    corners.push({ atSeconds: leg.holdEndSeconds, celsius: leg.toCelsius });
  }
  const top = corners.at(-1);
  if (top && plan.cooling.kind === "steady") {
    const { toCelsius, kelvinPerMinute } = plan.cooling;
    const coolingSeconds = (Math.max(0, top.celsius - toCelsius) / kelvinPerMinute) * 60;
    corners.push({ atSeconds: top.atSeconds + coolingSeconds, celsius: Math.min(top.celsius, toCelsius) });
  }
  return corners.filter((corner, index) => corner.atSeconds !== corners[index - 1]?.atSeconds);
}

/**
 * Planned temperature at a moment, °C.
 * @param plan       any plan, also one with findings
 * @param atSeconds  seconds since the plan's zero; before it, the low temperature is planned
 * @returns null after the planned end, where nothing is planned
 * @example setpointCelsius({ name: "t", dryingSeconds: 60, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 52 }], cooling: { kind: "free" } }, 210) // 630
 */
export function setpointCelsius(plan: Plan, atSeconds: number): number | null {
  return setpointOnCurve(setpointCurve(plan), atSeconds);
}

/**
 * The same on a curve already at hand, for many moments of one plan.
 * @param curve corners as `setpointCurve` returns them
 */
export function setpointOnCurve(curve: readonly SetpointCorner[], atSeconds: number): number | null {
  const next = curve.findIndex((corner) => corner.atSeconds >= atSeconds);
  const to = curve[next];
  if (!to) return null;
  const from = curve[next - 1] ?? to;
  const lengthSeconds = to.atSeconds - from.atSeconds;
  const share = lengthSeconds > 0 ? (atSeconds - from.atSeconds) / lengthSeconds : 1;
  return from.celsius + Math.min(1, Math.max(0, share)) * (to.celsius - from.celsius);
}

/**
 * Planned length, s: from the start of drying to the end of the last hold, with the cooling where it is
 * led down at a rate; a free cooling takes what it takes and is not counted.
 * @example planLengthSeconds({ name: "t", dryingSeconds: 60, closingSeconds: 0, lowCelsius: 500, lowHoldSeconds: 0, steps: [{ kind: "climb", toCelsius: 760, kelvinPerMinute: 52 }], cooling: { kind: "steady", toCelsius: 500, kelvinPerMinute: 26 } }) // 960
 */
export function planLengthSeconds(plan: Plan): number {
  return setpointCurve(plan).at(-1)?.atSeconds ?? 0;
}
