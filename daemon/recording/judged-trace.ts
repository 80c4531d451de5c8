import { legs, type Plan, topCelsius } from "#core/plan/plan";
import { bakeSpan } from "#core/trace/bake-span";
import { despiked } from "#core/trace/despike";
import { noiseKelvin } from "#core/trace/noise";
import { smoothed } from "#core/trace/smooth";
import type { Trace } from "#core/trace/trace";
import { trustedTrace } from "#core/trace/trusted";

/**
 * The part of a recording that a comparison counts the heat work of, by the same rules: without readings that
 * no chamber can have had, lone spikes, and what is left of another bake. One spike of an open thermocouple
 * would else be worth hours at the top.
 * @param plan null leaves the ends as they are
 */
export function judgedTrace(samples: Trace, plan: Plan | null): Trace {
  const { trace } = trustedTrace(samples);
  const noise = noiseKelvin(trace);
  const clean = despiked(trace, noise);
  const first = plan && legs(plan)[0];
  if (!first) return clean;
  const span = bakeSpan(smoothed(clean, noise), plan.lowCelsius, first.toCelsius, topCelsius(plan));
  return clean.slice(span.first, span.end);
}
