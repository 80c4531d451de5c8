import type { Plan } from "#core/plan/plan";
import { setpointCurve } from "#core/plan/setpoint";
import type { Trace } from "#core/trace/trace";
import { sampled } from "#tests/helpers/trace";

/**
 * A plan fired exactly as it stands, then cooled at a rate to its low temperature.
 * @param everySeconds     time between two samples
 * @param kelvinPerMinute  of the cooling after the planned end
 */
export function fired(plan: Plan, everySeconds = 1, kelvinPerMinute = 60): Trace {
  const corners = setpointCurve(plan);
  const top = corners.at(-1) ?? { atSeconds: 0, celsius: 0 };
  const fallSeconds = ((top.celsius - plan.lowCelsius) / kelvinPerMinute) * 60;
  const rest = { atSeconds: top.atSeconds + fallSeconds, celsius: plan.lowCelsius };
  return sampled(fallSeconds > 0 ? [...corners, rest] : corners, everySeconds);
}

/** One trace behind another, its time going on after the first one's end. */
export function joined(first: Trace, second: Trace): Trace {
  const offset = (first.at(-1)?.atSeconds ?? 0) + 1 - (second[0]?.atSeconds ?? 0);
  return [...first, ...second.map((sample) => ({ ...sample, atSeconds: sample.atSeconds + offset }))];
}
