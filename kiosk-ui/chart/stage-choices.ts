import type { Plan } from "#core/plan/plan";
import type { Trace } from "#core/trace/trace";
import { chartWords, stageName } from "#kiosk-ui/chart/chart-words";
import { type StageSpan, stageSpans } from "#kiosk-ui/chart/stage-spans";
import type { Comparison } from "#shared/comparison";

/** A stage's name for programs: `climb-2`. */
export function stageKey({ kind, index }: StageSpan): string {
  return `${kind}-${index}`;
}

/** What a chart can look at: the whole bake, whose value is empty, then its stages by their keys. */
export function stageChoices(plan: Plan, comparison: Comparison | null, samples: Trace) {
  const spans = stageSpans(plan, comparison, samples.at(-1)?.atSeconds ?? 0);
  return [
    { value: "", name: chartWords.wholeBake },
    ...spans.map((span) => ({ value: stageKey(span), name: stageName(span) })),
  ];
}
